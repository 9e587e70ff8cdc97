//! A plan lived through every weather year: what it gives in a poor, a middling and a good one.
//!
//! The plan is made on expected harvests and eats them as well as can be; here each year is eaten week by week, without
//! knowing what comes. Its figures are the ones to believe, and the ones that are shown.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{Instance, schedule};
use crate::profile::Quantiles;

/// A week counts as empty below this on the table, kg (own choice: a side dish for one).
const EMPTY_KG: f64 = schedule::ON_TABLE_KG;

/// One weather year of a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Lived {
    /// Picked per food and week, kg.
    pub harvest_kg: Vec<Vec<f64>>,
    /// Eaten per food and week, kg.
    pub eaten_kg: Vec<Vec<f64>>,
    /// Per week: what the food eaten in place of buying would have cost, currency.
    pub replaced: Vec<f64>,
    /// Per week: what the food eaten beyond that would cost, currency.
    pub beyond: Vec<f64>,
}

/// One month over the weather years.
#[derive(Clone, Debug, PartialEq)]
pub struct Month {
    /// First day of the month.
    pub start: NaiveDate,
    /// Picked, kg; a week that two months share counts in each by its days.
    pub harvest_kg: Quantiles,
    /// Eaten, kg.
    pub eaten_kg: Quantiles,
    /// What the food eaten in place of buying would have cost, currency; seed not taken off.
    pub replaced: Quantiles,
    /// What the food eaten beyond that would cost, currency: in no sum with `replaced`.
    pub beyond: Quantiles,
    /// Different foods in a week, mean of the month's weeks and of the years.
    pub foods_week: f64,
    /// Share of the years with a week in the month in which nothing is on the table.
    pub empty: f64,
}

/// A plan over the weather years.
#[derive(Clone, Debug, PartialEq)]
pub struct Replay {
    /// What the plan replaces in its horizon, less seed, trays and compost, currency.
    pub value: Quantiles,
    /// What it replaces, currency.
    pub replaced: Quantiles,
    /// What is eaten beyond that, at shop prices, currency: in no sum with the others.
    pub beyond: Quantiles,
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

/// What the weather years of a plan come to; `outlay` is its seed, trays and compost.
pub fn replay(instance: &Instance, outlay: f64, lived: &[Lived]) -> Replay {
    let count = lived.len().max(1) as f64;
    let on_table = |lived: &Lived, week: usize| -> f64 {
        lived.eaten_kg.iter().map(|weeks| weeks[week]).sum()
    };
    let is_empty = |lived: &Lived, week: usize| on_table(lived, week) < EMPTY_KG;
    let weeks = 0..instance.weeks;
    let share = |lost: usize| lost as f64 / count;
    let of_week = |week: usize| lived.iter().filter(|year| is_empty(year, week)).count();
    let any = |year: &&Lived| weeks.clone().any(|week| is_empty(year, week));
    let mut eaten_kg = vec![vec![0.0; instance.weeks]; instance.foods.len()];
    let mut foods = vec![0.0; instance.weeks];
    for year in lived {
        for (sums, food) in eaten_kg.iter_mut().zip(&year.eaten_kg) {
            for (week, (sum, kg)) in sums.iter_mut().zip(food).enumerate() {
                *sum += kg / count;
                if *kg >= schedule::ON_TABLE_KG {
                    foods[week] += 1.0 / count;
                }
            }
        }
    }
    let sums = |of: fn(&Lived) -> &Vec<f64>| -> Vec<f64> {
        lived.iter().map(|year| of(year).iter().sum()).collect()
    };
    let replaced = sums(|year| &year.replaced);
    let value = range(replaced.iter().map(|worth| worth - outlay).collect());
    Replay {
        value,
        replaced: range(replaced),
        beyond: range(sums(|year| &year.beyond)),
        months: months(instance, lived, &foods),
        empty_week: weeks.clone().map(|week| share(of_week(week))).collect(),
        any_empty_week: share(lived.iter().filter(any).count()),
        eaten_kg,
        foods,
    }
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
                .any(|(week, _)| table(&year.eaten_kg, *week) < EMPTY_KG)
        };
        Some(Month {
            start: NaiveDate::from_ymd_opt(year, month, 1)?,
            harvest_kg: over(&|year, week| table(&year.harvest_kg, week)),
            eaten_kg: over(&|year, week| table(&year.eaten_kg, week)),
            replaced: over(&|year, week| year.replaced[week]),
            beyond: over(&|year, week| year.beyond[week]),
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
