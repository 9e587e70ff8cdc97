//! Plans of fewer and of more kinds of crop, lived through the weather years: what simplicity costs.

use std::collections::BTreeSet;
use std::sync::{Mutex, PoisonError};

use super::StudyError;
use super::planning::figures;
use super::problem::Problem;
use crate::plan::years::laid_out;
use crate::plan::{Instance, Judge, Plan, Simpler, Simplicity, schedule};

/// What a plan of the frontier gives, lived through the weather years.
#[derive(Clone, Debug, PartialEq)]
pub struct FrontierRow {
    /// How much there is to do.
    pub simplicity: Simplicity,
    /// Work a week in the busiest month, hours: sowing, setting out and picking.
    pub busiest_h_week: f64,
    /// Eaten in the middle weather year, kg.
    pub eaten_kg: f64,
    /// What it replaces of bought food in the middle weather year.
    pub replaced: f64,
    /// Value of the middle weather year, household's time not counted.
    pub median: f64,
    /// What decides between plans: the value of the middle year, less what the targets miss, the household's time and families
    /// that come back too early.
    pub worth: f64,
    /// Share of what is wished for that is on the table, mean of the weather years, 0 to 1; none without wishes.
    pub targets: Option<f64>,
    /// Sections in which a family comes back a year too early each year.
    pub early: usize,
    /// Whether it is the plan taken.
    pub chosen: bool,
}

/// Most rows that a frontier shows.
const FRONTIER_ROWS: usize = 5;

/// The plans of fewer and of more kinds, lived through the weather years: the chosen one, the ends, and some between.
pub(super) fn frontier(lives: &Lives, rows: &[Simpler]) -> Result<Vec<FrontierRow>, StudyError> {
    let mut shown: Vec<FrontierRow> = Vec::new();
    for row in rows {
        let lived = if row.chosen {
            lives.of(&row.plan)?
        } else {
            lives.laid_out(&row.plan)?
        };
        let row = FrontierRow {
            early: row.early,
            worth: lived.worth - row.early_weighs,
            chosen: row.chosen,
            ..lived
        };
        // Nobody would take a plan of more kinds that is worth no more.
        if row.chosen || shown.iter().all(|fewer| fewer.worth < row.worth) {
            shown.push(row);
        }
    }
    while shown.len() > FRONTIER_ROWS {
        // The row whose neighbours are nearest in kinds says least.
        let kinds = |at: usize| shown[at].simplicity.kinds;
        let least = (1..shown.len() - 1)
            .filter(|&at| !shown[at].chosen)
            .min_by_key(|&at| kinds(at + 1) - kinds(at - 1));
        match least {
            Some(at) => drop(shown.remove(at)),
            None => break,
        }
    }
    Ok(shown)
}

/// Plans lived through the weather years, each once.
pub(super) struct Lives<'a> {
    problem: &'a Problem,
    /// What is settled beforehand stays where it is.
    held: Option<&'a Plan>,
    known: Mutex<Vec<(Plan, FrontierRow)>>,
}

impl<'a> Lives<'a> {
    /// None yet.
    pub(super) fn new(problem: &'a Problem, held: Option<&'a Plan>) -> Self {
        let known = Mutex::default();
        Lives {
            problem,
            held,
            known,
        }
    }

    /// What a plan gives with equal plantings side by side, as it would be handed over: what fails in a bed fails in all its
    /// sections, so where they lie tells.
    ///
    /// # Errors
    /// As [`Lives::of`].
    pub(super) fn laid_out(&self, plan: &Plan) -> Result<FrontierRow, StudyError> {
        let problem = self.problem;
        self.of(&laid_out(
            &problem.instance,
            &problem.places,
            plan,
            self.held,
        ))
    }

    /// What a plan gives. One after the other: the years of each keep all cores at work, and those of all at once take much
    /// memory.
    ///
    /// # Errors
    /// [`StudyError::Value`] for a harvest that cannot be.
    pub(super) fn of(&self, plan: &Plan) -> Result<FrontierRow, StudyError> {
        let known = || self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, row)) = known().iter().find(|(known, _)| known == plan) {
            return Ok(row.clone());
        }
        let row = frontier_row(self.problem, plan)?;
        known().push((plan.clone(), row.clone()));
        Ok(row)
    }
}

impl Judge for Lives<'_> {
    fn worth(&self, plan: &Plan) -> f64 {
        self.laid_out(plan)
            .map_or(f64::NEG_INFINITY, |row| row.worth)
    }

    fn in_lives(&self, kinds: &BTreeSet<&str>, set: usize) -> Instance {
        self.problem.in_lives(kinds, set)
    }
}

fn frontier_row(problem: &Problem, plan: &Plan) -> Result<FrontierRow, StudyError> {
    let instance = &problem.instance;
    let lived = figures(problem, plan)?;
    let mut hours = std::collections::BTreeMap::<(i32, u32), (f64, f64)>::new();
    let mut of_week = vec![0.0; instance.weeks];
    for &planting in plan.beds.iter().flat_map(|one| &one.plantings) {
        for work in &instance.candidates[planting].labour {
            of_week[work.week] += work.hours;
        }
    }
    for (week, worked) in of_week.into_iter().enumerate() {
        for (month, part) in instance.months_of_week(week) {
            let month = hours.entry(month).or_default();
            *month = (month.0 + worked * part, month.1 + part);
        }
    }
    let simplicity = instance.simplicity(plan);
    let (mut wished, mut met) = (0.0, 0.0);
    let mut worth = lived.value.p50 - instance.effort.of(simplicity);
    for wish in &instance.wishes {
        for (week, &kg) in wish.kg_week.iter().enumerate() {
            let there = schedule::on_table(instance, wish.target, week, &lived.eaten_kg).min(kg);
            wished += kg;
            met += there;
            worth -= wish.penalty_kg * (kg - there);
        }
    }
    Ok(FrontierRow {
        simplicity,
        busiest_h_week: hours
            .values()
            .map(|(hours, weeks)| hours / weeks.max(1.0))
            .fold(0.0, f64::max),
        eaten_kg: lived.eaten_kg.iter().flatten().sum(),
        replaced: lived.replaced.p50,
        median: lived.value.p50,
        worth,
        targets: (wished > 0.0).then(|| met / wished),
        early: 0,
        chosen: false,
    })
}
