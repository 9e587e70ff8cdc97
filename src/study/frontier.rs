//! Plans of fewer and of more kinds of crop, lived through the weather years: what simplicity costs.

use super::StudyError;
use super::planning::figures;
use super::problem::Problem;
use crate::plan::{Simpler, Simplicity, schedule};

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
    /// Value in the search's own measure.
    pub value: f64,
    /// Share of what is wished for that is on the table, mean of the weather years, 0 to 1; none without wishes.
    pub targets: Option<f64>,
    /// Whether it is the plan taken.
    pub chosen: bool,
}

/// Most rows that a frontier shows.
const FRONTIER_ROWS: usize = 5;

/// The plans of fewer kinds, lived through the weather years: the chosen one, the ends, and some between.
pub(super) fn frontier(
    problem: &Problem,
    rows: &[Simpler],
) -> Result<Vec<FrontierRow>, StudyError> {
    let chosen = rows.iter().position(|row| row.chosen);
    let mut shown: Vec<usize> = (0..rows.len()).collect();
    while shown.len() > FRONTIER_ROWS {
        // The row whose neighbours are nearest in kinds says least.
        let kinds = |at: usize| rows[shown[at]].simplicity.kinds;
        let least = (1..shown.len() - 1)
            .filter(|&at| Some(shown[at]) != chosen)
            .min_by_key(|&at| kinds(at + 1) - kinds(at - 1));
        match least {
            Some(at) => drop(shown.remove(at)),
            None => break,
        }
    }
    // One after the other: the years of each keep all cores at work, and those of all at once take much memory.
    let shown = shown.into_iter();
    let lived: Result<Vec<FrontierRow>, StudyError> =
        shown.map(|at| frontier_row(problem, &rows[at])).collect();
    let lived = lived?;
    let worth_showing =
        |row: &&FrontierRow| row.chosen || !lived.iter().any(|other| other.betters(row));
    Ok(lived.iter().filter(worth_showing).cloned().collect())
}

impl FrontierRow {
    /// Is there less to do and no less to eat: nobody would take the other?
    fn betters(&self, other: &Self) -> bool {
        let fewer = self.simplicity.kinds < other.simplicity.kinds;
        fewer && self.replaced >= other.replaced && self.targets >= other.targets
    }
}

fn frontier_row(problem: &Problem, row: &Simpler) -> Result<FrontierRow, StudyError> {
    let instance = &problem.instance;
    let lived = figures(problem, &row.plan)?;
    let mut hours = std::collections::BTreeMap::<(i32, u32), (f64, f64)>::new();
    let mut of_week = vec![0.0; instance.weeks];
    for &planting in row.plan.beds.iter().flat_map(|one| &one.plantings) {
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
    let (mut wished, mut met) = (0.0, 0.0);
    for wish in &instance.wishes {
        for (week, &kg) in wish.kg_week.iter().enumerate() {
            wished += kg;
            met += schedule::on_table(instance, wish.target, week, &lived.eaten_kg).min(kg);
        }
    }
    Ok(FrontierRow {
        simplicity: row.simplicity,
        busiest_h_week: hours
            .values()
            .map(|(hours, weeks)| hours / weeks.max(1.0))
            .fold(0.0, f64::max),
        eaten_kg: lived.eaten_kg.iter().flatten().sum(),
        replaced: lived.replaced.p50,
        median: lived.value.p50,
        value: row.value,
        targets: (wished > 0.0).then(|| met / wished),
        chosen: row.chosen,
    })
}
