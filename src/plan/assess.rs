//! What a plan is worth and which rules it breaks, however it came about.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Instance, Plan, schedule, verify};

/// Kilograms to the gram: no finer is known of a harvest than a kitchen scale shows.
pub fn to_grams(kg: f64) -> f64 {
    const G_PER_KG: f64 = 1000.0;
    (kg * G_PER_KG).round() / G_PER_KG
}

/// What a plan gave when it was saved, lived week by week through the weather years: what a plan changed by hand is held
/// against. Money and food are those that every verb shows.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Saved {
    /// What it replaces of what the household would have bought, middle weather year, units of the currency.
    pub replaced: f64,
    /// What is eaten beyond that, at shop prices, middle weather year, units of the currency.
    pub beyond: f64,
    /// Seed, trays and compost.
    pub costs: f64,
    /// Eaten over the horizon, by food, mean of the weather years, kg.
    #[serde(default)]
    pub eaten_kg: BTreeMap<String, f64>,
    /// The search's own measure of it.
    pub search: SearchSaw,
}

/// A plan in the search's own measure: mean harvests eaten as well as can be, wishes and the household's own time weighed in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SearchSaw {
    /// Its value.
    pub value: f64,
    /// No plan is worth more.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bound: Option<f64>,
}

/// What a plan gives and breaks.
#[derive(Clone, Debug, PartialEq)]
pub struct Assessment {
    /// Worth of what is eaten, less costs, penalties and the household's own time.
    pub value: f64,
    /// Worth of what is eaten, at shop prices.
    pub food_worth: f64,
    /// Seed and trays.
    pub costs: f64,
    /// Rules broken.
    pub faults: Vec<verify::Fault>,
    /// Picked over the horizon, per food, kg.
    pub harvest_kg: Vec<f64>,
    /// Eaten over the horizon, per food, kg.
    pub eaten_kg: Vec<f64>,
}

/// Values a plan and checks its rules, however it came about.
pub fn assess(instance: &Instance, plan: &Plan) -> Assessment {
    let harvest = schedule::harvest(instance, plan);
    let eaten = schedule::eating(instance, &harvest);
    let sums = |table: &[Vec<f64>]| table.iter().map(|weeks| weeks.iter().sum()).collect();
    let costs = schedule::costs(instance, plan);
    Assessment {
        value: schedule::value(instance, plan, &eaten),
        food_worth: (0..instance.weeks)
            .map(|week| schedule::food_worth(instance, &eaten, week))
            .sum(),
        costs,
        faults: verify::check_rules(instance, plan),
        harvest_kg: sums(&harvest),
        eaten_kg: sums(&eaten),
    }
}
