//! The plan of a project: solved, laid out by bed and date, and served at the table.

use super::instance::{Problem, problem};
use super::{ClimateStudy, Job, StudyError};
use crate::calendar::{WEEKS_PER_YEAR, date_of_day, first_day_of_week};
use crate::plan::candidate::Outcome;
use crate::plan::{
    Candidate, Plan, PlanFile, Solution, SolveOptions, Target, planfile::assess, solve,
};
use crate::value::{FoodFlow, Harvest, serve};
use chrono::NaiveDate;

/// One planting of the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Planting {
    /// Bed of the file.
    pub bed: usize,
    /// Candidate of the instance.
    pub candidate: usize,
    /// Area, m2: the patches of this bed that carry the same planting, together.
    pub area_m2: f64,
    /// Day of sowing.
    pub sow: NaiveDate,
    /// Day of setting out, if raised in a tray.
    pub transplant: Option<NaiveDate>,
    /// First day on which the bed is free again.
    pub clear: NaiveDate,
    /// Expected pickings: first day of the week and kilograms, in order.
    pub picks: Vec<(NaiveDate, f64)>,
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
    /// Food at the table in each weather year.
    pub tables: Vec<Vec<FoodFlow>>,
}

/// A plan, solved or taken from a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// What each patch carries.
    pub plan: Plan,
    /// Worth of what is eaten, less costs and penalties.
    pub value: f64,
    /// No plan is worth more; infinite where a file does not say.
    pub bound: f64,
    /// (bound - value) / |bound|.
    pub gap: f64,
    /// Whether the search was ended before it was done.
    pub stopped: bool,
    /// What cannot be had, or which rules are broken, in words.
    pub remarks: Vec<String>,
}

impl Found {
    fn solved(solution: Solution) -> Self {
        Self {
            plan: solution.plan,
            value: solution.value,
            bound: solution.bound,
            gap: solution.gap,
            stopped: solution.stopped,
            remarks: solution.unmet,
        }
    }

    fn from_file(problem: &Problem, file: &PlanFile) -> Result<Self, StudyError> {
        let plan = file.resolve(&problem.instance)?;
        let assessment = assess(&problem.instance, &plan);
        let bound = file.bound.unwrap_or(f64::INFINITY);
        Ok(Self {
            plan,
            value: assessment.value,
            bound,
            gap: (bound - assessment.value) / bound.abs(),
            stopped: false,
            remarks: assessment
                .faults
                .iter()
                .map(|fault| format!("a rule is broken: {fault}"))
                .collect(),
        })
    }
}

/// Takes a saved plan, changed by hand or not, in place of a search.
///
/// # Errors
/// [`StudyError`] as [`plan`], or for a file whose beds or sowings do not exist here.
pub fn plan_from_file(
    job: &Job,
    climate: &ClimateStudy,
    file: &PlanFile,
) -> Result<PlanStudy, StudyError> {
    let problem = problem(job, &super::beds(job, climate))?;
    let found = Found::from_file(&problem, file)?;
    lay_out(job, problem, found)
}

/// Plans the settled year of a project.
///
/// # Errors
/// [`StudyError`] for a household that cannot be planned for, or an instance without a bed.
pub fn plan(
    job: &Job,
    climate: &ClimateStudy,
    options: &SolveOptions,
) -> Result<PlanStudy, StudyError> {
    let beds = super::beds(job, climate);
    let problem = problem(job, &beds)?;
    let found = Found::solved(solve(&problem.instance, options)?);
    lay_out(job, problem, found)
}

fn lay_out(job: &Job, problem: Problem, found: Found) -> Result<PlanStudy, StudyError> {
    let plantings = plantings(job, &problem, &found.plan);
    let tables = tables(&problem, &plantings)?;
    Ok(PlanStudy {
        problem,
        found,
        plantings,
        tables,
    })
}

impl PlanStudy {
    /// The plan as a file to keep, to change by hand and to read again.
    pub fn file(&self) -> PlanFile {
        PlanFile::new(
            &self.problem.instance,
            &self.found.plan,
            Some(self.found.value),
            Some(self.found.bound),
        )
    }

    /// Outcome behind a planting.
    pub fn outcome(&self, planting: &Planting) -> &Outcome {
        self.problem.outcome(planting.candidate)
    }

    /// Candidate behind a planting.
    pub fn candidate(&self, planting: &Planting) -> &Candidate {
        &self.problem.instance.candidates[planting.candidate]
    }

    /// What the plan serves and what was wished for in a week (0 to 51) of a wish, kg, mean of the weather years.
    pub fn served_kg(&self, target: Target, week: usize) -> f64 {
        let instance = &self.problem.instance;
        let belongs = |flow: &&FoodFlow| {
            let place = self.problem.food_of_flow(flow);
            place.is_some_and(|place| match target {
                Target::Food(food) => place == food,
                Target::Group(group) => instance.foods[place].group == Some(group),
            })
        };
        let total: f64 = self
            .tables
            .iter()
            .flatten()
            .filter(belongs)
            .map(|flow| flow.eaten_kg.get(week).copied().unwrap_or(0.0))
            .sum();
        total / self.tables.len().max(1) as f64
    }
}

impl Problem {
    /// Outcome behind a candidate.
    pub fn outcome(&self, candidate: usize) -> &Outcome {
        &self.outcomes[self.outcome_of[candidate]]
    }

    /// Food of the instance that a flow is about.
    pub fn food_of_flow(&self, flow: &FoodFlow) -> Option<usize> {
        self.instance
            .foods
            .iter()
            .position(|food| food.id == flow.food)
    }
}

/// The plan laid out by bed and date: equal plantings on patches of one bed are one.
fn plantings(job: &Job, problem: &Problem, plan: &Plan) -> Vec<Planting> {
    let instance = &problem.instance;
    let year = job.project.planning.year;
    let date = |week: usize| date_of_day(year, first_day_of_week(week));
    let mut laid = Vec::new();
    for (bed, patches) in problem.patches.iter().enumerate() {
        let mut counts = std::collections::BTreeMap::new();
        for plan in &plan.beds {
            let within = (patches.first..patches.first + patches.count).contains(&plan.bed);
            if plan.class == patches.class && within {
                for &candidate in &plan.plantings {
                    *counts.entry(candidate).or_insert(0_usize) += 1;
                }
            }
        }
        for (candidate, count) in counts {
            let planted = &instance.candidates[candidate];
            let outcome = problem.outcome(candidate);
            let area_m2 = instance.beds[planted.bed_class].area_m2 * count as f64;
            laid.push(Planting {
                bed,
                candidate,
                area_m2,
                sow: date(outcome.sow_week),
                transplant: (planted.tray_weeks > 0).then(|| date(outcome.bed_week)),
                clear: date(outcome.bed_week + outcome.weeks),
                picks: outcome
                    .mean_kg_m2()
                    .into_iter()
                    .map(|(week, kg_m2)| (date(week), kg_m2 * area_m2))
                    .collect(),
            });
        }
    }
    laid.sort_by_key(|planting| (planting.bed, planting.sow, planting.candidate));
    laid
}

/// Food at the table in each weather year: what the plantings bear in that year, eaten and kept.
///
/// The plan repeats, so a year's harvest is what was sown in it and, past the turn, what was sown the year before.
fn tables(problem: &Problem, plantings: &[Planting]) -> Result<Vec<Vec<FoodFlow>>, StudyError> {
    let years = problem
        .outcomes
        .first()
        .map_or(1, |outcome| outcome.years.len());
    (0..years)
        .map(|year| {
            let harvests = harvests(problem, plantings, year, years);
            Ok(serve(&problem.market, &harvests)?)
        })
        .collect()
}

fn harvests(problem: &Problem, plantings: &[Planting], year: usize, years: usize) -> Vec<Harvest> {
    let planted = plantings
        .iter()
        .map(|planting| (planting.candidate, planting.area_m2));
    bearing(problem, planted, year, years)
}

/// What candidates bear in a weather year, on so many m2 each, food by food.
pub(super) fn bearing(
    problem: &Problem,
    planted: impl Iterator<Item = (usize, f64)>,
    year: usize,
    years: usize,
) -> Vec<Harvest> {
    let foods = &problem.instance.foods;
    let mut harvests: Vec<Harvest> = foods
        .iter()
        .map(|food| Harvest {
            food: food.id.clone(),
            kg: vec![0.0; WEEKS_PER_YEAR],
            keeps_weeks: food.keeps_weeks,
        })
        .collect();
    for (candidate, area_m2) in planted {
        let Some(pick) = problem.instance.candidates[candidate].harvest.first() else {
            continue;
        };
        let outcome = problem.outcome(candidate);
        for turn in 0..=1 {
            let sown = (year + years - turn % years) % years;
            for (week, kg_m2) in &outcome.years[sown] {
                if week / WEEKS_PER_YEAR == turn {
                    harvests[pick.food].kg[week % WEEKS_PER_YEAR] += kg_m2 * area_m2;
                }
            }
        }
    }
    harvests
}
