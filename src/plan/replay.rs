//! A plan lived through every weather year: what it gives in a poor, a middling and a good one.
//!
//! The plan is made on expected harvests, and the mean of what is eaten is less than what could be eaten of the
//! mean; the replayed value is therefore the one to believe.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rayon::prelude::*;

use super::{Harvest, Instance, Plan, schedule};
use crate::profile::Quantiles;

/// A week counts as empty below this on the table, kg (own choice: a side dish for one).
const EMPTY_KG: f64 = schedule::ON_TABLE_KG;

/// The plan's years: what each planting gave.
///
/// `years[y][p]` is what the `p`-th planting, in the order of [`schedule::plantings`], gave in weather year `y`.
pub type Years = [Vec<Vec<Harvest>>];

/// One month over the weather years.
#[derive(Clone, Debug, PartialEq)]
pub struct Month {
    /// First day of the month.
    pub start: NaiveDate,
    /// Picked, kg; a week that two months share counts in each by its days.
    pub harvest_kg: Quantiles,
    /// Eaten, kg.
    pub eaten_kg: Quantiles,
    /// Worth of what is eaten, currency; penalties and costs not counted.
    pub worth: Quantiles,
    /// Different foods in a week, mean of the month's weeks and of the years.
    pub foods_week: f64,
    /// Share of the years with a week in the month in which nothing is on the table.
    pub empty: f64,
}

/// A plan over the weather years.
#[derive(Clone, Debug, PartialEq)]
pub struct Replay {
    /// Value of the plan: worth of what is eaten, less costs and penalties.
    pub value: Quantiles,
    /// Month by month.
    pub months: Vec<Month>,
    /// Eaten per food and week, mean of the years, kg.
    pub eaten_kg: Vec<Vec<f64>>,
    /// Per week: different foods on the table, mean of the years.
    pub foods: Vec<f64>,
    /// Per week of the horizon: share of the years in which nothing is on the table.
    pub empty_week: Vec<f64>,
    /// Share of the years with at least one such week.
    pub any_empty_week: f64,
}

/// What one weather year gives, and what comes of it.
struct Lived {
    harvest: Vec<Vec<f64>>,
    eaten: Vec<Vec<f64>>,
}

/// Replays a plan. What already stands gives its expected harvest every year.
///
/// The household eats as well as it can with the year's harvest, kept food within its time.
pub fn replay(instance: &Instance, plan: &Plan, years: &Years) -> Replay {
    let costs = schedule::costs(instance, plan);
    let lived: Vec<Lived> = years.par_iter().map(|year| live(instance, year)).collect();
    let count = years.len().max(1) as f64;
    let on_table =
        |lived: &Lived, week: usize| -> f64 { lived.eaten.iter().map(|weeks| weeks[week]).sum() };
    let is_empty = |lived: &Lived, week: usize| on_table(lived, week) < EMPTY_KG;
    let weeks = 0..instance.weeks;
    let share = |lost: usize| lost as f64 / count;
    let of_week = |week: usize| lived.iter().filter(|year| is_empty(year, week)).count();
    let any = |year: &&Lived| weeks.clone().any(|week| is_empty(year, week));
    let mut eaten_kg = vec![vec![0.0; instance.weeks]; instance.foods.len()];
    let mut foods = vec![0.0; instance.weeks];
    for year in &lived {
        for (sums, food) in eaten_kg.iter_mut().zip(&year.eaten) {
            for (week, (sum, kg)) in sums.iter_mut().zip(food).enumerate() {
                *sum += kg / count;
                if *kg >= schedule::ON_TABLE_KG {
                    foods[week] += 1.0 / count;
                }
            }
        }
    }
    let value = |year: &Lived| schedule::worth(instance, &year.eaten) - costs;
    Replay {
        value: range(lived.iter().map(value).collect()),
        months: months(instance, &lived, &foods),
        empty_week: weeks.clone().map(|week| share(of_week(week))).collect(),
        any_empty_week: share(lived.iter().filter(any).count()),
        eaten_kg,
        foods,
    }
}

fn live(instance: &Instance, year: &[Vec<Harvest>]) -> Lived {
    let mut harvest = vec![vec![0.0; instance.weeks]; instance.foods.len()];
    let standing = instance
        .standing
        .iter()
        .flat_map(|standing| &standing.harvest);
    for pick in year.iter().flatten().chain(standing) {
        if let Some(kg) = harvest
            .get_mut(pick.food)
            .and_then(|weeks| weeks.get_mut(pick.week))
        {
            *kg += pick.kg;
        }
    }
    let eaten = schedule::eating(instance, &harvest);
    Lived { harvest, eaten }
}

fn months(instance: &Instance, lived: &[Lived], foods: &[f64]) -> Vec<Month> {
    let mut of_month: BTreeMap<(i32, u32), Vec<(usize, f64)>> = BTreeMap::new();
    for week in 0..instance.weeks {
        for (month, part) in instance.months_of_week(week) {
            of_month.entry(month).or_default().push((week, part));
        }
    }
    let month = |((year, month), weeks): ((i32, u32), Vec<(usize, f64)>)| {
        let over = |of: &dyn Fn(&Lived, usize) -> f64| {
            let sum = |year: &Lived| {
                weeks
                    .iter()
                    .map(|(week, part)| part * of(year, *week))
                    .sum()
            };
            range(lived.iter().map(sum).collect())
        };
        let table = |table: &[Vec<f64>], week: usize| -> f64 {
            table.iter().map(|weeks| weeks[week]).sum()
        };
        let hungry = |year: &&Lived| {
            weeks
                .iter()
                .any(|(week, _)| table(&year.eaten, *week) < EMPTY_KG)
        };
        Some(Month {
            start: NaiveDate::from_ymd_opt(year, month, 1)?,
            harvest_kg: over(&|year, week| table(&year.harvest, week)),
            eaten_kg: over(&|year, week| table(&year.eaten, week)),
            worth: over(&|year, week| schedule::food_worth(instance, &year.eaten, week)),
            foods_week: weeks
                .iter()
                .map(|(week, part)| part * foods[*week])
                .sum::<f64>()
                / weeks.iter().map(|(_, part)| part).sum::<f64>(),
            empty: lived.iter().filter(hungry).count() as f64 / lived.len().max(1) as f64,
        })
    };
    of_month.into_iter().filter_map(month).collect()
}

/// Quantiles of a list; nothing at all without years.
fn range(values: Vec<f64>) -> Quantiles {
    Quantiles::of(&values).unwrap_or(Quantiles {
        p10: 0.0,
        p50: 0.0,
        p90: 0.0,
    })
}
