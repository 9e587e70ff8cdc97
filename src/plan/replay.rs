//! A plan lived through every weather year: what it gives in a poor, a middling and a good one.
//!
//! The plan is made on expected harvests, and the mean of what is eaten is less than what could be eaten of the
//! mean; the replayed value is therefore the one to believe.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use super::{Harvest, Instance, Plan, schedule};
use crate::profile::Quantiles;

/// A week counts as empty below this on the table, kg (own choice: a side dish for one).
const EMPTY_KG: f64 = 0.05;
/// A planting counts as lost below this share of its expected harvest (own choice).
const LOST_SHARE: f64 = 0.1;

/// One month over the weather years.
#[derive(Clone, Debug, PartialEq)]
pub struct Month {
    /// First day of the month.
    pub start: NaiveDate,
    /// Picked, kg.
    pub harvest_kg: Quantiles,
    /// Eaten, kg.
    pub eaten_kg: Quantiles,
    /// Worth of what is eaten, currency; penalties and costs not counted.
    pub worth: Quantiles,
}

/// One planting over the weather years.
#[derive(Clone, Debug, PartialEq)]
pub struct PlantingRisk {
    /// Index into [`Instance::candidates`].
    pub candidate: usize,
    /// Place in the order of [`schedule::plantings`].
    pub place: usize,
    /// Share of the years in which it gives next to nothing.
    pub lost: f64,
    /// Harvest, kg.
    pub harvest_kg: Quantiles,
}

/// A plan over the weather years.
#[derive(Clone, Debug, PartialEq)]
pub struct Replay {
    /// Value of the plan: worth of what is eaten, less costs and penalties.
    pub value: Quantiles,
    /// Month by month.
    pub months: Vec<Month>,
    /// Per week of the horizon: share of the years in which nothing is on the table.
    pub empty_week: Vec<f64>,
    /// Share of the years with at least one such week.
    pub any_empty_week: f64,
    /// Plantings, the one most likely lost first.
    pub plantings: Vec<PlantingRisk>,
}

/// Replays a plan: `years[y][p]` is what the `p`-th planting, in the order of [`schedule::plantings`], gave in
/// weather year `y`. What already stands gives its expected harvest every year.
///
/// The household eats as well as it can with the year's harvest, kept food within its time.
pub fn replay(instance: &Instance, plan: &Plan, years: &[Vec<Vec<Harvest>>]) -> Replay {
    let planted: Vec<usize> = plan
        .beds
        .iter()
        .flat_map(|one| one.plantings.iter().copied())
        .collect();
    let costs = schedule::costs(instance, plan);
    let month_of: Vec<(i32, u32)> = (0..instance.weeks)
        .map(|week| instance.date_of_week(week))
        .map(|date| (date.year(), date.month()))
        .collect();
    let mut values = Vec::new();
    let mut months: BTreeMap<(i32, u32), [Vec<f64>; 3]> = BTreeMap::new();
    let mut empty = vec![0usize; instance.weeks];
    let mut any_empty = 0usize;
    for year in years {
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
        values.push(schedule::worth(instance, &eaten) - costs);
        let mut of_month: BTreeMap<(i32, u32), [f64; 3]> = BTreeMap::new();
        let mut one_empty = false;
        for week in 0..instance.weeks {
            let picked: f64 = harvest.iter().map(|weeks| weeks[week]).sum();
            let on_table: f64 = eaten.iter().map(|weeks| weeks[week]).sum();
            let worth = schedule::food_worth(instance, &eaten, week);
            let sums = of_month.entry(month_of[week]).or_default();
            for (sum, part) in sums.iter_mut().zip([picked, on_table, worth]) {
                *sum += part;
            }
            if on_table < EMPTY_KG {
                empty[week] += 1;
                one_empty = true;
            }
        }
        any_empty += usize::from(one_empty);
        for (month, sums) in of_month {
            for (list, sum) in months.entry(month).or_default().iter_mut().zip(sums) {
                list.push(sum);
            }
        }
    }
    let count = years.len().max(1) as f64;
    Replay {
        value: range(values),
        months: months
            .into_iter()
            .filter_map(|((year, month), lists)| {
                let [harvest, eaten, worth] = lists;
                Some(Month {
                    start: NaiveDate::from_ymd_opt(year, month, 1)?,
                    harvest_kg: range(harvest),
                    eaten_kg: range(eaten),
                    worth: range(worth),
                })
            })
            .collect(),
        empty_week: empty
            .into_iter()
            .map(|years| years as f64 / count)
            .collect(),
        any_empty_week: any_empty as f64 / count,
        plantings: risks(instance, &planted, years),
    }
}

fn risks(instance: &Instance, planted: &[usize], years: &[Vec<Vec<Harvest>>]) -> Vec<PlantingRisk> {
    let risk = |(place, &candidate): (usize, &usize)| {
        let expected: f64 = instance
            .candidates
            .get(candidate)?
            .harvest
            .iter()
            .map(|pick| pick.kg)
            .sum();
        let given: Vec<f64> = years
            .iter()
            .map(|year| {
                year.get(place)
                    .map_or(0.0, |picks| picks.iter().map(|pick| pick.kg).sum())
            })
            .collect();
        let lost = given
            .iter()
            .filter(|&&kg| kg < LOST_SHARE * expected)
            .count();
        let lost = lost as f64 / years.len().max(1) as f64;
        Some(PlantingRisk {
            candidate,
            place,
            lost,
            harvest_kg: range(given),
        })
    };
    let mut risks: Vec<PlantingRisk> = planted.iter().enumerate().filter_map(risk).collect();
    risks.sort_by(|a, b| b.lost.total_cmp(&a.lost).then(a.place.cmp(&b.place)));
    risks
}

/// Quantiles of a list; nothing at all without years.
fn range(values: Vec<f64>) -> Quantiles {
    Quantiles::of(&values).unwrap_or(Quantiles {
        p10: 0.0,
        p50: 0.0,
        p90: 0.0,
    })
}
