//! What the building would have to be for the largest shortfalls of a plan to close: each measure simulated, the same plan
//! lived in it, and the sowing tried that then would close most.

use std::collections::BTreeSet;

use rayon::prelude::*;

use super::climate::climate_to_try;
use super::compare::energy_cost;
use super::plan_file::{LivedPlan, lived_from_file};
use super::turns::tried;
use super::{ClimateStudy, Job, PlanStudy, StudyError};
use crate::crops::Crop;
use crate::phrase::Phrase;
use crate::plan::gaps::{Cause, Gap, Looked};
use crate::plan::{Instance, Target, schedule};
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
    /// What the food that it then gives more, all year, is worth at shop prices, less the seed of the further sowing.
    pub worth_more: f64,
}

/// What a further sowing would close of a shortfall, in food and money.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Brings {
    pub kg: f64,
    /// At the shop prices of its weeks, units of the currency.
    pub worth: f64,
    /// Its seed, trays and compost.
    pub cost: f64,
}

/// The same of the remedy of a shortfall; none where it has none.
pub fn brings(instance: &Instance, gap: &Gap) -> Option<Brings> {
    let remedy = gap.remedy.as_ref()?;
    let candidate = &instance.candidates[remedy.candidate];
    let food = &instance.foods[candidate.harvest.first()?.food];
    let prices = &food.price_kg[gap.from_week..=gap.to_week];
    let kg = remedy.closes * gap.missing_kg;
    let beds = remedy.area_m2 / instance.beds[candidate.bed_class].area_m2;
    Some(Brings {
        kg,
        worth: kg * prices.iter().sum::<f64>() / prices.len() as f64,
        cost: beds * candidate.cost,
    })
}

impl Closes {
    /// What it brings in a year beyond what its energy costs; least of all where that is not known.
    pub fn gains(&self) -> f64 {
        let gains = self.energy_cost_more.map(|cost| self.worth_more - cost);
        gains.unwrap_or(f64::NEG_INFINITY)
    }

    fn best(&self) -> f64 {
        let more = self.with_more.as_ref().map_or(0.0, |more| more.0);
        self.as_planted.max(more)
    }
}

/// The buildings tried, each in a few weather years: what of it knows nothing of the plan. Name, the job with it and its climate; none
/// for what this building cannot have.
pub type Tried = Vec<(Phrase, Job, Option<ClimateStudy>)>;

/// Simulates what is tried against shortfalls; nothing where there is no target to fall short of.
///
/// # Errors
/// [`StudyError`] for a building that no usual part fits.
pub fn try_measures(job: &Job, weathers: &Weathers) -> Result<Tried, StudyError> {
    let years = weathers.first(TRIED_YEARS);
    let asked = !job.project.shopping.wishes.is_empty();
    let measures = if asked { tried(job)? } else { Vec::new() };
    let measures = measures.into_par_iter().map(|(name, job)| {
        let climate = climate_to_try(&job, &job.project.house, &years).ok();
        (name, job, climate)
    });
    Ok(measures.collect())
}

/// The largest shortfalls of a plan (index into its gaps), each with the measure that gains most money in a year of those that
/// close a part of it; none where all were tried in vain.
///
/// # Errors
/// [`StudyError`] if the plan cannot be lived anew.
pub fn shortfalls(
    job: &Job,
    study: &ClimateStudy,
    tried: &[(Phrase, Job, Option<ClimateStudy>)],
    plan: &PlanStudy,
) -> Result<Vec<(usize, Option<Closes>)>, StudyError> {
    let is_short = |&gap: &usize| plan.gaps[gap].cause != Cause::TooEarly;
    let mut largest: Vec<usize> = (0..plan.gaps.len()).filter(is_short).collect();
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
        let tried = tried.par_iter();
        let lived = tried.filter_map(|(name, with, climate)| {
            // A measure that this building cannot have, or a plan that cannot stand in it, closes nothing.
            let climate = climate.as_ref()?;
            let mut job = job.clone();
            job.project.house.clone_from(&with.project.house);
            job.project.beds.clone_from(&with.project.beds);
            let bills = bill(&job, climate).zip(own_bill);
            let more = bills.map(|(new, own)| new - own);
            Some((name.clone(), more, live(&job, climate).ok()?))
        });
        lived.collect()
    };
    let (before, lived) = rayon::join(|| live(job, &as_is), try_all);
    let before = before?;
    let of_gap = |gap: usize| {
        let of = &plan.gaps[gap];
        let missing = missing_kg(&before, of);
        let nothing = Phrase::default();
        let closes = |named, after| closes(named, of, missing, (&before, after));
        let as_built = closes((&nothing, None), &before).best();
        let tried = lived.iter();
        let tried = tried.map(|(measure, more, after)| closes((measure, *more), after));
        let closing = tried.filter(|closes| closes.best() >= as_built + WORTH_NAMING);
        let best = closing.reduce(|best, next| {
            match (next.gains(), next.best()) > (best.gains(), best.best()) {
                true => next,
                false => best,
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
    (before, after): (&LivedPlan, &LivedPlan),
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
        let closed = share((missing - closed_kg).max(0.0));
        let brings = brings(instance, gap)?;
        let worth = brings.worth * within as f64 / weeks - brings.cost;
        Some((worth, (closed, crop.name.clone(), sow, remedy.area_m2)))
    });
    let more = more.max_by(|(_, a), (_, b)| a.0.total_cmp(&b.0));
    let more_worth = more.as_ref().map_or(0.0, |(worth, _)| *worth);
    Closes {
        measure: measure.clone(),
        as_planted: share(missing),
        with_more: more.map(|(_, more)| more),
        energy_cost_more,
        worth_more: eaten_worth(after) - eaten_worth(before) + more_worth,
    }
}

/// What a plan's food is worth at shop prices, as far as it is eaten.
fn eaten_worth(plan: &LivedPlan) -> f64 {
    let instance = &plan.problem.instance;
    let weeks = 0..instance.weeks;
    weeks
        .map(|week| schedule::food_worth(instance, &plan.eaten_kg, week))
        .sum()
}

/// What is missing to a target in the weeks of a shortfall, mean of the weather years, kg.
fn missing_kg(plan: &LivedPlan, of: &Gap) -> f64 {
    let instance = &plan.problem.instance;
    let Some(wish) = instance.wishes.get(of.wish) else {
        return 0.0;
    };
    let served_kg = |week| schedule::on_table(instance, wish.target, week, &plan.eaten_kg);
    let missing_kg = |week| (wish.kg_week[week] - served_kg(week)).max(0.0);
    (of.from_week..=of.to_week).map(missing_kg).sum()
}

/// The job with the crops of the plan and those that give what falls short, so that no others are grown in vain.
fn with_crops_that_matter(job: &Job, plan: &PlanStudy, gaps: &[usize]) -> Job {
    let instance = &plan.problem.instance;
    let wishes = || {
        gaps.iter()
            .map(|&gap| &instance.wishes[plan.gaps[gap].wish])
    };
    let asked = |food: usize| {
        wishes().any(|wish| match wish.target {
            Target::Food(wanted) => wanted == food,
            Target::Group(group) => instance.foods[food].group == Some(group),
        })
    };
    let planted = plan.plantings.iter().map(|one| one.candidate);
    let bearing = instance.candidates.iter().enumerate();
    let bearing = bearing.filter(|(_, one)| one.harvest.iter().any(|pick| asked(pick.food)));
    let candidates = planted.chain(bearing.map(|(number, _)| number));
    let of_candidate = |number| &plan.problem.crops[plan.problem.outcome(number).crop];
    let standing = plan.problem.standing.iter().map(|one| &one.crop);
    let gives = |crop: &&Crop| {
        let mut foods = instance.foods.iter().enumerate();
        foods.any(|(food, own)| own.id == crop.food && asked(food))
    };
    let giving = job.table.iter().filter(gives);
    let crops = candidates.map(of_candidate).chain(standing).chain(giving);
    let kept: BTreeSet<String> = crops.map(|crop| crop.id.clone()).collect();
    let mut job = job.clone();
    job.table = job.table.only(&kept);
    job.project.household.gardening.must.clear();
    job
}
