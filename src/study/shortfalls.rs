//! What the building would have to be for the largest shortfalls of a plan to close: each measure simulated, the same plan
//! lived in it, and the sowing tried that then would close most.

use std::collections::BTreeSet;

use rayon::prelude::*;

use super::climate::climate_to_try;
use super::compare::energy_cost;
use super::plan_file::{LivedPlan, lived_from_file};
use super::turns::tried;
use super::{ClimateStudy, Job, PlanStudy, StudyError};
use crate::phrase::Phrase;
use crate::plan::gaps::{Cause, Gap, Looked};
use crate::plan::{Target, schedule};
use crate::site::Weathers;
use crate::value;

/// Weather years on which a measure is tried (own choice: enough for a mean, and an overview does not wait for it).
const TRIED_YEARS: usize = 5;
/// Shortfalls that are looked into, the largest.
const LOOKED_INTO: usize = 3;
/// Share of a shortfall that a measure must close beyond what a further sowing closes without it, to be named (own choice).
const WORTH_NAMING: f64 = 0.1;

/// What a measure does to a shortfall.
#[derive(Clone, Debug, PartialEq)]
pub struct Closes {
    /// The measure, as people say it.
    pub measure: Phrase,
    /// Share of the shortfall that it closes with the plan as it stands, 0 to 1.
    pub as_planted: f64,
    /// Share that it closes with more bed of one sowing besides, 0 to 1: that sowing, by crop and day of the year, and the area.
    pub with_more: Option<(f64, String, chrono::NaiveDate, f64)>,
    /// What the measure adds to the energy bill of a year, units of the currency; none where a price is not known.
    pub energy_cost_more: Option<f64>,
}

impl Closes {
    fn best(&self) -> f64 {
        let more = self.with_more.as_ref().map_or(0.0, |more| more.0);
        self.as_planted.max(more)
    }
}

/// The buildings tried, each in a few weather years: what of it knows nothing of the plan.
pub struct Tried {
    /// Name, the job with it and its climate; none for what this building cannot have.
    measures: Vec<(Phrase, Job, Option<ClimateStudy>)>,
}

/// Simulates what is tried against shortfalls; nothing where there is no target to fall short of.
///
/// # Errors
/// [`StudyError`] for a building that no usual part fits.
pub fn try_measures(job: &Job, weathers: &Weathers) -> Result<Tried, StudyError> {
    let years = weathers.first(TRIED_YEARS);
    let asked = !job.project.household.wishes.is_empty();
    let measures = if asked { tried(job)? } else { Vec::new() };
    let measures = measures.into_par_iter().map(|(name, job)| {
        let climate = climate_to_try(&job, &job.project.house, &years).ok();
        (name, job, climate)
    });
    Ok(Tried {
        measures: measures.collect(),
    })
}

/// The largest shortfalls of a plan (index into its gaps), each with the measure that closes most of it; none where all were
/// tried in vain.
///
/// # Errors
/// [`StudyError`] if the plan cannot be lived anew.
pub fn shortfalls(
    job: &Job,
    study: &ClimateStudy,
    tried: &Tried,
    plan: &PlanStudy,
) -> Result<Vec<(usize, Option<Closes>)>, StudyError> {
    let mut largest: Vec<usize> = (0..plan.gaps.len())
        .filter(|&gap| plan.gaps[gap].cause != Cause::TooEarly)
        .collect();
    largest.sort_by(|&a, &b| plan.gaps[b].missing_kg.total_cmp(&plan.gaps[a].missing_kg));
    largest.truncate(LOOKED_INTO);
    if largest.is_empty() {
        return Ok(Vec::new());
    }
    let job = &with_crops_that_matter(job, plan, &largest);
    let file = plan.bare_file();
    let as_is = study.first_years(TRIED_YEARS);
    let looked = |&gap: &usize| {
        let gap = &plan.gaps[gap];
        (gap.wish, (gap.from_week, gap.to_week))
    };
    let looked: Vec<Looked> = largest.iter().map(looked).collect();
    let live = |job: &Job, climate: &ClimateStudy| lived_from_file(job, climate, &file, &looked);
    let bill = |job: &Job, climate: &ClimateStudy| {
        let tariff = value::tariff(&job.household(), &job.project.own_costs()).ok()?;
        energy_cost(climate.tried(), &tariff)
    };
    let own_bill = bill(job, &as_is);
    let try_all = || -> Vec<(Phrase, Option<f64>, LivedPlan)> {
        let tried = tried
            .measures
            .par_iter()
            .filter_map(|(name, with, climate)| {
                // A measure that this building cannot have, or a plan that cannot stand in it, closes nothing.
                let climate = climate.as_ref()?;
                let mut job = job.clone();
                job.project.house.clone_from(&with.project.house);
                job.project.beds.clone_from(&with.project.beds);
                let more = bill(&job, climate)
                    .zip(own_bill)
                    .map(|(new, own)| new - own);
                Some((name.clone(), more, live(&job, climate).ok()?))
            });
        tried.collect()
    };
    let (before, lived) = rayon::join(|| live(job, &as_is), try_all);
    let before = before?;
    let of_gap = |gap: usize| {
        let of = &plan.gaps[gap];
        let missing = missing_kg(&before, of);
        let as_built = closes((&Phrase::default(), None), of, missing, &before).best();
        let best = lived
            .iter()
            .map(|(measure, more, after)| closes((measure, *more), of, missing, after))
            .filter(|closes| closes.best() >= as_built + WORTH_NAMING)
            .reduce(|best, next| {
                if next.best() > best.best() {
                    next
                } else {
                    best
                }
            });
        (gap, best)
    };
    Ok(largest.into_iter().map(of_gap).collect())
}

fn closes(
    (measure, energy_cost_more): (&Phrase, Option<f64>),
    of: &Gap,
    missing_before_kg: f64,
    after: &LivedPlan,
) -> Closes {
    let missing = missing_kg(after, of);
    let share = |left_kg: f64| (1.0 - left_kg / missing_before_kg.max(1e-9)).clamp(0.0, 1.0);
    let instance = &after.problem.instance;
    // What of it is left, by the gaps of the plan in the changed building, and what a further sowing there would close.
    let overlaps = |gap: &&Gap| {
        gap.wish == of.wish && gap.from_week <= of.to_week && of.from_week <= gap.to_week
    };
    let left = after.gaps.iter().filter(overlaps);
    let more = left.filter_map(|gap| {
        let remedy = gap.remedy.as_ref()?;
        let weeks = (gap.to_week - gap.from_week + 1) as f64;
        let within = gap.to_week.min(of.to_week) - gap.from_week.max(of.from_week) + 1;
        let closed_kg = remedy.closes * gap.missing_kg * within as f64 / weeks;
        let candidate = &instance.candidates[remedy.candidate];
        let crop = &after.problem.crops[after.problem.outcome(remedy.candidate).crop];
        let sow = instance.date_of_week(candidate.sow_week);
        Some((
            share((missing - closed_kg).max(0.0)),
            crop.name.clone(),
            sow,
            remedy.area_m2,
        ))
    });
    Closes {
        measure: measure.clone(),
        as_planted: share(missing),
        with_more: more.max_by(|a, b| a.0.total_cmp(&b.0)),
        energy_cost_more,
    }
}

/// What is missing to a target in the weeks of a shortfall, mean of the weather years, kg.
fn missing_kg(plan: &LivedPlan, of: &Gap) -> f64 {
    let instance = &plan.problem.instance;
    let Some(wish) = instance.wishes.get(of.wish) else {
        return 0.0;
    };
    let served_kg = |week| schedule::on_table(instance, wish.target, week, &plan.eaten_kg);
    (of.from_week..=of.to_week)
        .map(|week| (wish.kg_week[week] - served_kg(week)).max(0.0))
        .sum()
}

/// The job with the crops of the plan and those that give what falls short, so that no others are grown in vain.
fn with_crops_that_matter(job: &Job, plan: &PlanStudy, gaps: &[usize]) -> Job {
    let instance = &plan.problem.instance;
    let asked = |food: usize| {
        gaps.iter()
            .any(|&gap| match instance.wishes[plan.gaps[gap].wish].target {
                Target::Food(wanted) => wanted == food,
                Target::Group(group) => instance.foods[food].group == Some(group),
            })
    };
    let mut kept: BTreeSet<String> = plan
        .plantings
        .iter()
        .map(|planting| plan.problem.crops[plan.outcome(planting).crop].id.clone())
        .collect();
    let standing = plan.problem.standing.iter();
    kept.extend(standing.map(|one| one.crop.id.clone()));
    for crop in job.table.iter() {
        let gives = |food: usize| instance.foods[food].id == crop.food && asked(food);
        if (0..instance.foods.len()).any(gives) {
            kept.insert(crop.id.clone());
        }
    }
    for (number, candidate) in instance.candidates.iter().enumerate() {
        if candidate.harvest.iter().any(|pick| asked(pick.food)) {
            kept.insert(
                plan.problem.crops[plan.problem.outcome(number).crop]
                    .id
                    .clone(),
            );
        }
    }
    let mut job = job.clone();
    job.table = job.table.only(&kept);
    job.project.household.gardening.must.clear();
    job
}
