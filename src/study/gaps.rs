//! Weeks in which a wish is not met: why, and what would close them.

use super::PlanStudy;
use crate::calendar::{WEEKS_PER_YEAR, date_of_day, first_day_of_week};
use crate::plan::{Target, Wish};
use chrono::NaiveDate;

/// A wish short of so much for some weeks on end.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap {
    /// First day.
    pub from: NaiveDate,
    /// Last day.
    pub to: NaiveDate,
    /// Food or group of foods.
    pub food: String,
    /// Missing over the whole gap, kg, mean of the weather years.
    pub missing_kg: f64,
    /// Mean light on the beds in these weeks, mol/m2/day.
    pub light_mol_m2_day: f64,
    /// Best sowing that would bear in these weeks; none where no sowing does.
    pub remedy: Option<Remedy>,
}

/// More of something that bears in a gap.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// Crop, place in the problem's list.
    pub crop: usize,
    /// Day of sowing.
    pub sow: NaiveDate,
    /// Bed area that would have to be added, m2.
    pub area_m2: f64,
}

/// Shortfall that is not worth a line, kg a week.
const CRUMB_KG: f64 = 0.05;

/// The gaps of a plan, wish by wish, in the order of the year. `light` holds 365 days, `year` is the planning year.
pub fn gaps(study: &PlanStudy, light_mol_m2_day: &[f64], year: i32) -> Vec<Gap> {
    let wishes = &study.problem.instance.wishes;
    wishes
        .iter()
        .flat_map(|wish| {
            let short: Vec<f64> = (0..WEEKS_PER_YEAR)
                .map(|week| wish.kg_week[week] - study.served_kg(wish.target, week))
                .collect();
            runs(&short)
                .into_iter()
                .map(|weeks| gap(study, wish, &weeks, &short, light_mol_m2_day, year))
                .collect::<Vec<Gap>>()
        })
        .collect()
}

/// Weeks on end in which something is short.
fn runs(short: &[f64]) -> Vec<Vec<usize>> {
    let mut runs: Vec<Vec<usize>> = Vec::new();
    for (week, kg) in short.iter().enumerate() {
        if *kg <= CRUMB_KG {
            continue;
        }
        match runs.last_mut() {
            Some(run) if run.last() == Some(&(week.wrapping_sub(1))) => run.push(week),
            _ => runs.push(vec![week]),
        }
    }
    runs
}

fn gap(
    study: &PlanStudy,
    wish: &Wish,
    weeks: &[usize],
    short: &[f64],
    light: &[f64],
    year: i32,
) -> Gap {
    let first = first_day_of_week(weeks[0]);
    let last = first_day_of_week(weeks[weeks.len() - 1] + 1) - 1;
    let missing_kg = weeks.iter().map(|&week| short[week]).sum();
    let days = light.get(first..=last).unwrap_or_default();
    Gap {
        from: date_of_day(year, first),
        to: date_of_day(year, last),
        food: name(study, wish.target),
        missing_kg,
        light_mol_m2_day: days.iter().sum::<f64>() / days.len().max(1) as f64,
        remedy: remedy(study, wish.target, weeks, missing_kg, year),
    }
}

/// The outcome that bears most in the gap's weeks for each week it takes a bed, and how much of it is needed.
fn remedy(
    study: &PlanStudy,
    target: Target,
    weeks: &[usize],
    missing_kg: f64,
    year: i32,
) -> Option<Remedy> {
    let problem = &study.problem;
    let instance = &problem.instance;
    let mut best: Option<(f64, f64, usize)> = None;
    for (place, candidate) in instance.candidates.iter().enumerate() {
        let serves = candidate.harvest.first().is_some_and(|pick| match target {
            Target::Food(food) => pick.food == food,
            Target::Group(group) => instance.foods[pick.food].group == Some(group),
        });
        if !serves {
            continue;
        }
        let outcome = problem.outcome(place);
        let in_gap: f64 = outcome
            .mean_kg_m2()
            .iter()
            .filter(|(week, _)| weeks.contains(&(week % WEEKS_PER_YEAR)))
            .map(|(_, kg_m2)| kg_m2)
            .sum();
        let per_week = in_gap / outcome.weeks as f64;
        if in_gap > 0.0 && best.is_none_or(|(most, _, _)| per_week > most) {
            best = Some((per_week, in_gap, place));
        }
    }
    best.map(|(_, in_gap, place)| {
        let outcome = problem.outcome(place);
        Remedy {
            crop: outcome.crop,
            sow: date_of_day(year, first_day_of_week(outcome.sow_week)),
            area_m2: missing_kg / in_gap,
        }
    })
}

/// Name of what a wish is about.
pub fn name(study: &PlanStudy, target: Target) -> String {
    let problem = &study.problem;
    match target {
        Target::Group(group) => problem.instance.groups[group].name.clone(),
        Target::Food(food) => {
            let id = &problem.instance.foods[food].id;
            problem
                .market
                .food(id)
                .map_or_else(|| id.clone(), |line| line.name.clone())
        }
    }
}
