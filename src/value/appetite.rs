//! How much of each food a household buys in a week, from what people of the statistics eat.

use super::food::{Food, rows};
use super::{Basis, Eater, Household};
use crate::calendar::WEEKS_PER_YEAR;
use serde::Deserialize;
use std::sync::LazyLock;

/// A row of `data/consumption.csv`.
#[derive(Clone, Debug, Deserialize)]
struct Consumption {
    food: String,
    kg_person_year: f64,
    /// `eaten`: loss-adjusted, edible weight; `available`: farm weight moved to the market.
    basis: String,
    year: i32,
    source: String,
    mark: String,
}

/// A row of `data/age.csv`: what a week of food costs by age.
#[derive(Clone, Debug, Deserialize)]
struct AgeLine {
    from_age_years: f64,
    male_usd_week: f64,
    female_usd_week: f64,
}

/// A row of `data/spending.csv`.
#[derive(Clone, Debug, Deserialize)]
pub(super) struct Spending {
    pub item: String,
    pub country: String,
    pub value: f64,
    pub year: i32,
    pub source: String,
}

static CONSUMPTION: LazyLock<Vec<Consumption>> =
    LazyLock::new(|| rows(include_str!("data/consumption.csv")));
static AGES: LazyLock<Vec<AgeLine>> = LazyLock::new(|| rows(include_str!("data/age.csv")));
static SPENDING: LazyLock<Vec<Spending>> =
    LazyLock::new(|| rows(include_str!("data/spending.csv")));

/// A figure of household spending, where it is on file.
pub(super) fn spending(item: &str, country: &str) -> Option<&'static Spending> {
    SPENDING
        .iter()
        .find(|row| row.item == item && row.country == country)
}

/// Ages of the family of four that the food plans are quoted for: a couple and children of 6-8 and 9-11.
const REFERENCE_AGES: [f64; 4] = [30.0, 30.0, 7.0, 10.0];

fn cost_of_age(age_years: f64) -> f64 {
    let line = AGES
        .iter()
        .rev()
        .find(|line| line.from_age_years <= age_years);
    line.map_or(0.0, |line| {
        (line.male_usd_week + line.female_usd_week) / 2.0
    })
}

/// Appetite of one person beside the average one.
///
/// By age as the cost of the US Thrifty Food Plan falls by age, mean of the sexes, over the mean person of its
/// reference family of four; nothing in the first year of life (assumption).
pub fn of_person(eater: &Eater) -> f64 {
    let mean = REFERENCE_AGES
        .iter()
        .map(|age| cost_of_age(*age))
        .sum::<f64>()
        / REFERENCE_AGES.len() as f64;
    let by_age = eater.age_years.map_or(1.0, |age| {
        if mean > 0.0 {
            cost_of_age(age) / mean
        } else {
            1.0
        }
    });
    by_age * eater.appetite
}

/// Average persons that the household's people make together.
pub fn persons(household: &Household) -> f64 {
    household.eaters.iter().map(of_person).sum()
}

/// kg as bought of a food in a week for home, by the statistics, with its basis; `None` without a figure.
///
/// What people eat is turned back into what they buy by the food's edible share and the kitchen's loss, and only
/// the share eaten at home counts, since a meal out is not replaced.
pub fn bought_kg_week(household: &Household, food: &Food) -> Option<(f64, Basis)> {
    let row = CONSUMPTION.iter().find(|row| row.food == food.id)?;
    let eaten = match row.basis.as_str() {
        "eaten" => row.kg_person_year,
        _ => row.kg_person_year * spending("eaten_over_available", "US")?.value,
    };
    let usable = food.edible_share * (1.0 - household.kitchen_loss);
    let bought = eaten * household.eaten_at_home / usable / WEEKS_PER_YEAR as f64;
    let mark = match (row.mark.as_str(), row.basis.as_str()) {
        ("assumption", _) | (_, "eaten") => &row.mark,
        _ => "computed",
    };
    let basis = Basis::new(format!("{} ({})", row.source, row.basis), row.year, mark);
    Some((bought * persons(household), basis))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_names_a_food() {
        for row in CONSUMPTION.iter() {
            assert!(
                super::super::food::find(&row.food).is_some(),
                "{}",
                row.food
            );
        }
    }

    #[test]
    fn the_reference_family_is_four_average_persons() {
        let mut family = Household::of_size(0, 2025);
        family.eaters = REFERENCE_AGES.iter().map(|age| Eater::aged(*age)).collect();
        assert!((persons(&family) - 4.0).abs() < 1e-12);
        assert_eq!(of_person(&Eater::aged(0.5)), 0.0);
    }
}
