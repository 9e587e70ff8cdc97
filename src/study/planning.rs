//! The plan of a project: solved, laid out by bed and date, lived through every weather year.

use std::collections::BTreeSet;

use super::frontier::{FrontierRow, Lives, frontier};
use super::plan_file::asked_in_bed;
use super::problem::{Asked, Problem, problem};
use super::replan::agreed;
use super::second_pass::SecondPass;
use super::{ClimateStudy, Job, StudyError};
use crate::calendar::{WEEKS_PER_YEAR, date_of_day};
use crate::phrase::Phrase;
use crate::plan::candidate::{Outcome, kg_of};
use crate::plan::fate::DRAWS;
use crate::plan::gaps::{self, Gap, Lived, Looked};
use crate::plan::replay::{self, Replay};
use crate::plan::years::{Turn, YearsOn, arrange_around, follow};
use crate::plan::{
    Candidate, FormerPlan, Plan, Questions, Simplicity, Solution, SolveOptions, Target, schedule,
    solve_beside, unmet, verify,
};
use crate::value::FoodFlow;
use chrono::{Datelike, NaiveDate};
use rayon::prelude::*;

/// One planting of the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Planting {
    /// Bed of the file.
    pub bed: usize,
    /// Candidate of the instance.
    pub candidate: usize,
    /// Patches of the bed that carry it, from 0, in order.
    pub patches: Vec<usize>,
    /// Area of these patches together, m2.
    pub area_m2: f64,
    /// Day of sowing.
    pub sow: NaiveDate,
    /// Day of setting out, if raised in a tray.
    pub transplant: Option<NaiveDate>,
    /// First day on which the bed is free again.
    pub clear: NaiveDate,
    /// Expected pickings: first day of the week and kilograms, in order.
    pub picks: Vec<(NaiveDate, f64)>,
    /// First and last week of picking in the middle year, of those in which it bears.
    pub picked: Option<(NaiveDate, NaiveDate)>,
    /// Share of the weather years in which it comes through by the weather.
    pub survival: f64,
    /// The same with what is lost beside the weather, as the replay draws it.
    pub in_all: f64,
}

/// A plan.
#[derive(Clone, Debug)]
pub struct PlanStudy {
    /// What was solved.
    pub problem: Problem,
    /// The plan itself and what is known of it.
    pub found: Found,
    /// Plantings by bed, then by day.
    pub plantings: Vec<Planting>,
    /// The plan in every weather year.
    pub replay: Replay,
    /// Weeks in which a wish is not met in the mean of the weather years.
    pub gaps: Vec<Gap>,
    /// What becomes of it in the years that follow.
    pub years_on: YearsOn,
    /// Food at the household's table in each weather year, all of them once with each draw of luck, 52 weeks of the calendar:
    /// what the money is counted from. Of a longer horizon these are the first 52 weeks.
    pub tables: Vec<Vec<FoodFlow>>,
    /// Plans of fewer and of more kinds, this one among them; empty for a plan from a file.
    pub frontier: Vec<FrontierRow>,
    /// What the plan replaces less as it keeps families apart over the years, where that was looked for.
    pub rotation_costs: Option<f64>,
    /// Where this is the plan on its own leaves, what that changed.
    pub second_pass: Option<SecondPass>,
}

/// A plan, solved or taken from a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// What each patch carries.
    pub plan: Plan,
    /// Worth of what is eaten, less costs and penalties.
    pub value: f64,
    /// The most that a plan of its kinds was found to be worth in that measure; at least `value`.
    pub searched: f64,
    /// No plan is worth more; infinite where a file does not say.
    pub bound: f64,
    /// What is missing from `searched` to the bound, as a share of what the best plan may add to bare beds.
    pub gap: f64,
    /// Whether the search was ended before it was done.
    pub stopped: bool,
    /// What cannot be had, or which rules are broken, in words.
    pub remarks: Vec<Phrase>,
    /// No plan of just its kinds of crop is worth more, where that was looked for.
    pub bound_of_kinds: Option<f64>,
    /// What is missing to that, counted in the same way.
    pub gap_of_kinds: Option<f64>,
    /// What became of the former plan, where one was named.
    pub former: Option<FormerPlan>,
    /// How much there is to do.
    pub simplicity: Simplicity,
    /// What the household's own time weighs for it, taken off `value`.
    pub effort: f64,
}

impl Found {
    /// A plan that was searched for, counted once more by code that knows nothing of the search: what does not agree is said.
    fn solved(problem: &Problem, solution: Solution) -> Self {
        let instance = &problem.instance;
        let verdict = verify::check(problem.searched(), &solution.plan, &solution.claim());
        let mut remarks = unmet(instance, &solution.plan);
        for fault in verdict.faults {
            let words = format!(
                "counted once more, this plan does not hold, which is a fault of the program: {fault}"
            );
            remarks.push(words.into());
        }
        let simplicity = instance.simplicity(&solution.plan);
        Self {
            bound_of_kinds: solution.bound_of_kinds,
            gap_of_kinds: solution.gap_of_kinds,
            former: solution.former,
            simplicity,
            effort: instance.effort.of(simplicity),
            plan: solution.plan,
            value: solution.value,
            searched: solution.searched,
            bound: solution.bound,
            gap: solution.gap,
            stopped: solution.stopped,
            remarks,
        }
    }
}

/// Plans a project: the settled year, or from a date on.
///
/// # Errors
/// [`StudyError`] for a household that cannot be planned for.
pub fn plan(
    job: &Job,
    climate: &ClimateStudy,
    options: &SolveOptions,
) -> Result<PlanStudy, StudyError> {
    let former = match &job.former {
        Some(file) => agreed::former(job, file),
        None => Vec::new(),
    };
    let mut fixed = agreed::fixed(job);
    if let Some(held) = &job.held {
        fixed.extend(agreed::former(job, held));
    }
    let asked: Vec<Asked> = former
        .iter()
        .chain(&fixed)
        .filter_map(|one| asked_in_bed(job, &one.bed, (&one.crop, one.tray, one.sow, one.clear)))
        .collect();
    let mut problem = problem(job, climate, &asked)?;
    let begun = problem.instance.with_begun(None);
    let settled = agreed::start(job, &problem, &fixed, (&begun, false));
    let nothing = Plan::empty(&problem.instance);
    for (sowing, one) in job.project.household.gardening.fixed.iter().zip(&fixed) {
        let alone = std::slice::from_ref(one);
        let alone = agreed::start(job, &problem, alone, (&nothing, false));
        if alone.plan.is_empty() {
            let words = format!(
                "the sowing `{}` is settled beforehand, but cannot stand there then: it is left out",
                sowing.text
            );
            problem.notes.push(words.into());
        }
    }
    let start =
        (!former.is_empty()).then(|| agreed::start(job, &problem, &former, (&settled.plan, true)));
    let agreed = start.as_ref().map_or(&settled.plan, |start| &start.plan);
    problem.allow_families_of(agreed);
    if let Some(start) = &start {
        problem.goes_on_as(&start.plan);
    }
    let held = (!settled.plan.is_empty()).then_some(&settled.plan);
    let lives = Lives::new(&problem, held);
    let options = SolveOptions {
        judge: Some(&lives),
        former: start.as_ref().map(|former| &former.plan),
        keep_least: start.as_ref().map_or(0.0, |former| {
            let can_stay = former.kept(&problem.instance, &former.plan);
            (options.keep_least / can_stay.max(options.keep_least)).min(1.0)
        }),
        fixed: held,
        anew: job.anew,
        ..*options
    };
    let searched = problem.searched();
    let (solution, rotation_costs) = solve_beside(searched, &options, |plan| {
        rotation_costs(&problem, plan, &lives, &options)
    });
    let exchange = solution.former.is_none_or(|former| former.kept == 0.0);
    let (plan, mut rows) = (solution.plan.clone(), solution.frontier.clone());
    let arranged = || {
        let exchange = (exchange, options.fixed);
        let (plan, turns) = arrange_around(&problem.instance, &problem.places, &plan, exchange);
        // The row of this plan is this plan, where it lies.
        if let Some(chosen) = rows.iter_mut().find(|row| row.chosen) {
            chosen.plan.clone_from(&plan);
        }
        Ok::<_, StudyError>((plan, turns, frontier(&lives, &rows)?))
    };
    let (mut found, arranged) = rayon::join(|| Found::solved(&problem, solution), arranged);
    let (plan, turns, frontier) = arranged?;
    found.plan = plan;
    let mut study = lay_out(problem, found, turns)?;
    if let (Some(start), Some(former)) = (&start, &mut study.found.former) {
        former.kept = start.kept(&study.problem.instance, &study.found.plan);
        former.whole = former.kept == 1.0;
    }
    study.frontier = frontier;
    study.rotation_costs = rotation_costs?;
    Ok(study)
}

/// Answers a bed by which a plan is looked for whose families need not rest.
const FREE_ANSWERS_BED: u64 = 20;

/// What a plan of the same kinds replaces more, as it is lived, whose families need not rest from a place over the years, looked for
/// from the plan on that keeps it. None where nothing has to rest, or no plans are compared.
fn rotation_costs(
    problem: &Problem,
    kept: &Plan,
    lives: &Lives,
    options: &SolveOptions,
) -> Result<Option<f64>, StudyError> {
    let instance = &problem.instance;
    if instance.limits.families.is_empty() || !options.frontier {
        return Ok(None);
    }
    let grown = kept.beds.iter().flat_map(|one| &one.plantings);
    let grown = grown.map(|&one| instance.candidates[one].crop.as_str());
    let mut free = problem.in_lives(&grown.collect(), 0);
    free.limits.families.clear();
    let found = Questions::new(&free, kept).better(FREE_ANSWERS_BED);
    let costs = lives.laid_out(&found.plan)?.replaced - lives.laid_out(kept)?.replaced;
    Ok(Some(costs.max(0.0)))
}

/// What a plan replaces in the middle weather year, less its seed.
///
/// # Errors
/// [`StudyError::Value`] for a harvest that cannot be.
pub(super) fn median_of(problem: &Problem, plan: &Plan) -> Result<f64, StudyError> {
    Ok(figures(problem, plan)?.value.p50)
}

/// What a plan comes to over the weather years, each lived several times with other luck.
///
/// # Errors
/// [`StudyError::Value`] for a harvest that cannot be.
pub(super) fn figures(problem: &Problem, plan: &Plan) -> Result<Replay, StudyError> {
    let standing = schedule::can_stand(&problem.instance, plan);
    let life = |life| Ok(problem.lived(&standing, life)?.0);
    let lives = (0..problem.lives()).into_par_iter().map(life);
    let lived = lives.collect::<Result<Vec<replay::Lived>, StudyError>>()?;
    let outlay = schedule::outlay(&problem.instance, plan);
    Ok(replay::replay(&problem.instance, outlay, &lived))
}

/// A year's food at the table, food by food.
type YearFlows = Vec<FoodFlow>;

/// The same with the years, and each year's food at the table.
fn replayed(
    problem: &Problem,
    plan: &Plan,
) -> Result<(Replay, Vec<replay::Lived>, Vec<YearFlows>), StudyError> {
    let standing = schedule::can_stand(&problem.instance, plan);
    let lived: Result<Vec<_>, StudyError> = (0..problem.lives())
        .into_par_iter()
        .map(|life| problem.lived(&standing, life))
        .collect();
    let (lived, flows): (Vec<_>, Vec<_>) = lived?.into_iter().unzip();
    let outlay = schedule::outlay(&problem.instance, plan);
    let replay = replay::replay(&problem.instance, outlay, &lived);
    Ok((replay, lived, flows))
}

/// A plan over the years, each year's food at the table, and its shortfalls: those alone that share a week with some `looked` at,
/// where these are named.
pub(super) fn short_of(
    problem: &Problem,
    plan: &Plan,
    looked: Option<&[Looked]>,
) -> Result<(Replay, Vec<YearFlows>, Vec<Gap>), StudyError> {
    let (replay, lived, flows) = replayed(problem, plan)?;
    let tried: Vec<Vec<Vec<f64>>> = problem
        .sample_years()
        .into_iter()
        .map(|year| lived[year].harvest_kg.clone())
        .collect();
    let eat = |picked: &[Vec<f64>]| -> Vec<Vec<f64>> {
        let flows = problem.eaten(picked).unwrap_or_default();
        flows.into_iter().map(|flow| flow.eaten_kg).collect()
    };
    let lived = Lived {
        eaten_kg: &replay.eaten_kg,
        harvests: &tried,
        eat: &eat,
    };
    let gaps = gaps::gaps(&problem.instance, plan, &lived, looked);
    Ok((replay, flows, gaps))
}

pub(super) fn lay_out(
    problem: Problem,
    found: Found,
    turns: Vec<Turn>,
) -> Result<PlanStudy, StudyError> {
    let instance = &problem.instance;
    let (replay, flows, gaps) = short_of(&problem, &found.plan, None)?;
    let tables = flows
        .into_iter()
        .map(|flows| problem.by_calendar(flows))
        .collect();
    Ok(PlanStudy {
        gaps,
        years_on: follow(instance, &problem.places, &found.plan, turns),
        plantings: plantings(&problem, &found.plan),
        replay,
        tables,
        problem,
        found,
        frontier: Vec::new(),
        rotation_costs: None,
        second_pass: None,
    })
}

impl PlanStudy {
    /// Outcome behind a planting.
    pub fn outcome(&self, planting: &Planting) -> &Outcome {
        self.problem.outcome(planting.candidate)
    }

    /// Candidate behind a planting.
    pub fn candidate(&self, planting: &Planting) -> &Candidate {
        &self.problem.instance.candidates[planting.candidate]
    }

    /// Plantings of the first 52 weeks: those the year's account counts.
    pub fn first_year(&self) -> impl Iterator<Item = &Planting> {
        let end = self.problem.instance.date_of_week(WEEKS_PER_YEAR);
        self.plantings
            .iter()
            .filter(move |planting| planting.sow < end)
    }

    /// Ids of the crops that the plan has in the beds on a day of the year (from 0), in order.
    pub fn crops_on_day(&self, day: usize) -> Vec<String> {
        let stands = |planting: &&Planting| {
            let from = planting.transplant.unwrap_or(planting.sow);
            // The plan repeats itself: the day may fall before or after the turn of its year.
            (0..=2).any(|later| {
                let on = date_of_day(from.year() + later, day);
                from <= on && on < planting.clear
            })
        };
        let crops: BTreeSet<String> = self
            .plantings
            .iter()
            .filter(stands)
            .map(|planting| self.problem.crops[self.outcome(planting).crop].id.clone())
            .collect();
        crops.into_iter().collect()
    }

    /// What the plan serves of a food or group in a week of the horizon, kg, mean of the weather years.
    pub fn served_kg(&self, target: Target, week: usize) -> f64 {
        schedule::on_table(&self.problem.instance, target, week, &self.replay.eaten_kg)
    }
}

/// The plan laid out by bed and date: equal plantings on patches of one bed are one.
fn plantings(problem: &Problem, plan: &Plan) -> Vec<Planting> {
    let instance = &problem.instance;
    let mut laid = Vec::new();
    for (bed, place) in problem.places.iter().enumerate() {
        let mut patches_of = std::collections::BTreeMap::<usize, Vec<usize>>::new();
        for one in plan.beds.iter().filter(|one| place.holds(one)) {
            for &candidate in &one.plantings {
                let patches = patches_of.entry(candidate).or_default();
                patches.push(one.bed - place.first);
            }
        }
        for (candidate, patches) in patches_of {
            let planted = &instance.candidates[candidate];
            let area_m2 = instance.beds[planted.bed_class].area_m2 * patches.len() as f64;
            let outcome = problem.outcome(candidate);
            // Weeks are counted on from sowing, so that dates run forward over the turn of a settled year; what was sown before
            // the horizon begins is counted from the bed.
            let sown_before = problem.origins[candidate].sown;
            let later = match sown_before {
                Some(_) => planted.bed_week as isize - outcome.bed_week as isize,
                None => planted.sow_week as isize - outcome.sow_week as isize,
            };
            let on = |week: usize| week.saturating_add_signed(later);
            let date = |week: usize| instance.date_of_week(on(week));
            let work = |week: usize| instance.work_date(on(week));
            let food = planted.harvest.first().map(|pick| pick.food);
            let least = food.map_or(0.0, |food| problem.least_picking_kg(food));
            let of_section = kg_of(instance.beds[planted.bed_class].area_m2);
            let worth_it = |pick: &(usize, f64)| of_section(*pick).1 >= least;
            let on_horizon = |(week, _): &(usize, f64)| instance.week_index(on(*week)).is_some();
            laid.push(Planting {
                bed,
                candidate,
                patches,
                area_m2,
                sow: sown_before.unwrap_or_else(|| work(outcome.sow_week)),
                transplant: (planted.tray_weeks > 0).then(|| work(outcome.bed_week)),
                clear: work(outcome.bed_week + planted.weeks),
                picks: problem
                    .expected_kg_m2(outcome)
                    .into_iter()
                    .filter(on_horizon)
                    .filter(worth_it)
                    .map(kg_of(area_m2))
                    .map(|(week, kg)| (date(week), kg))
                    .collect(),
                picked: outcome
                    .middle_weeks()
                    .map(|(first, last)| (work(first), work(last))),
                survival: outcome.survival,
                in_all: outcome.through().in_all(DRAWS, |year, draw| {
                    problem.fate(bed, outcome, (year, draw)).left
                }),
            });
        }
    }
    laid.sort_by(|a, b| {
        let place = |one: &Planting| (one.bed, one.sow);
        let sections = a.patches.cmp(&b.patches);
        place(a)
            .cmp(&place(b))
            .then(sections)
            .then(a.candidate.cmp(&b.candidate))
    });
    laid
}
