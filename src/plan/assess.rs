//! What a plan is worth and which rules it breaks, however it came about.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Instance, Plan, schedule, verify};

/// Kilograms to the gram: no finer is known of a harvest than a kitchen scale shows.
pub fn to_grams(kg: f64) -> f64 {
    const G_PER_KG: f64 = 1000.0;
    (kg * G_PER_KG).round() / G_PER_KG
}

/// What a plan was worth when it was saved: what a plan changed by hand is held against.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Saved {
    /// Value of the plan: worth of what is eaten, less costs, penalties and the household's own time.
    pub value: f64,
    /// Proven bound.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bound: Option<f64>,
    /// Worth of what is eaten, at shop prices.
    pub food_worth: f64,
    /// Seed and trays.
    pub costs: f64,
    /// Eaten over the horizon, by food, kg.
    #[serde(default)]
    pub eaten_kg: BTreeMap<String, f64>,
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

impl Saved {
    /// What a plan is worth now.
    pub fn of(instance: &Instance, plan: &Plan, bound: Option<f64>) -> Self {
        let found = assess(instance, plan);
        Self {
            value: found.value,
            bound: bound.filter(|bound| bound.is_finite()),
            food_worth: found.food_worth,
            costs: found.costs,
            eaten_kg: instance
                .foods
                .iter()
                .zip(found.eaten_kg)
                .map(|(food, kg)| (food.id.clone(), to_grams(kg)))
                .filter(|(_, kg)| *kg > 0.0)
                .collect(),
        }
    }
}
