//! The household of the project file as the money stage knows it.

use super::{Job, StudyError};
use crate::file::FuelPrice;
use crate::value::{self, Eater, Market, OwnAppetite, OwnCosts, OwnPrice};

/// What figures of the project file rest on.
const FROM_FILE: &str = "project file";

/// Litres in a cubic metre.
const LITRES_PER_M3: f64 = 1000.0;

/// The household of a project.
pub fn household(job: &Job) -> value::Household {
    let file = &job.project.household;
    let budget = &file.budget;
    let eaters = file
        .eaters
        .iter()
        .flat_map(|eater| std::iter::repeat_n(Eater::aged(eater.age_years), eater.number))
        .collect();
    let appetites = file
        .appetite_kg_week
        .iter()
        .map(|(of, kg_week)| OwnAppetite {
            of: of.clone(),
            kg_week: *kg_week,
            basis: FROM_FILE.to_owned(),
        })
        .collect();
    let prices = file
        .prices
        .iter()
        .map(|price| OwnPrice {
            food: price.food.clone(),
            per_kg: price.per_kg,
            basis: FROM_FILE.to_owned(),
        })
        .collect();
    let usual = value::Household::of_size(0, budget.price_year);
    value::Household {
        eaters,
        country: budget.country,
        currency: budget.currency,
        exchange_rate: budget.exchange_rate,
        price_year: budget.price_year,
        inflation: budget.inflation,
        groceries_month: budget.groceries_per_month,
        produce_month: budget.produce_per_month,
        appetites,
        prices,
        eats: file.eats.clone(),
        refused: file.refuses.clone(),
        kitchen_loss: file.kitchen_loss.unwrap_or(usual.kitchen_loss),
        eaten_at_home: file.eaten_at_home.unwrap_or(usual.eaten_at_home),
        salad_bought: file.salad_bought,
        southern: job.site.place.latitude_deg < 0.0,
    }
}

/// What the household would buy, and at what price.
///
/// # Errors
/// [`StudyError::Value`] for a figure out of range or a food that is not on file.
pub fn market(job: &Job) -> Result<Market, StudyError> {
    Ok(value::market(&household(job))?)
}

/// The person's own costs.
pub fn own_costs(job: &Job) -> OwnCosts {
    let costs = &job.project.costs;
    let fuel = costs.fuel;
    let (unit, unit_kwh) = fuel.kwh_per_unit();
    OwnCosts {
        electricity_kwh: costs.electricity_per_kwh,
        region: costs.region.clone(),
        fuel,
        fuel_kwh: costs.fuel_price.map(|price| match price {
            FuelPrice::PerKwh(per_kwh) => per_kwh,
            FuelPrice::PerM3(per_m3) if unit == "L" => per_m3 / LITRES_PER_M3 / unit_kwh,
            FuelPrice::PerM3(per_unit) | FuelPrice::PerKg(per_unit) => per_unit / unit_kwh,
        }),
        efficiency: job
            .project
            .house
            .heater
            .as_ref()
            .map(|heater| heater.efficiency),
        water_m3: costs.water_per_m3,
        supplies_m2_year: None,
        seed_m2: costs.seed_per_m2,
        tray_mix_l: costs.tray_mix_per_l,
        compost_m3: costs.compost_per_m3,
        compost_mm: costs.compost_mm,
        upkeep_year: costs.upkeep_per_year,
        cover: costs
            .cover
            .map(|(cost, life_years)| value::Cover { cost, life_years }),
        building: costs.building.map(|cost| value::Building {
            cost,
            life_years: costs.life_years,
            discount_rate: costs.discount_rate,
        }),
    }
}
