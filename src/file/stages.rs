//! The project as the money stage is told it.

use super::project::Project;
use crate::value::{Building, Cover, Eater, Household, OwnAppetite, OwnCosts, OwnPrice};

/// What own figures rest on.
const BASIS: &str = "project file";

impl Project {
    /// The household as the money stage knows it; `southern` south of the equator, where seasons of price turn about.
    pub fn market_household(&self, southern: bool) -> Household {
        let household = &self.household;
        let budget = &household.budget;
        let statistics = Household::of_size(0, budget.price_year);
        let appetite = |(of, kg_week): &(String, f64)| OwnAppetite {
            of: of.clone(),
            kg_week: *kg_week,
            basis: BASIS.to_owned(),
        };
        let price = |price: &super::PriceOverride| OwnPrice {
            food: price.food.clone(),
            per_kg: price.per_kg,
            basis: BASIS.to_owned(),
            year: budget.price_year,
        };
        Household {
            eaters: self.eaters(),
            country: budget.country,
            currency: budget.currency,
            exchange_rate: budget.exchange_rate,
            price_year: budget.price_year,
            inflation: budget.inflation,
            groceries_month: budget.groceries_per_month,
            produce_month: budget.produce_per_month,
            appetites: household.appetite_kg_week.iter().map(appetite).collect(),
            wishes: household
                .wishes
                .iter()
                .map(super::Wish::to_market)
                .collect(),
            prices: household.prices.iter().map(price).collect(),
            eats: household.eats.clone(),
            refused: household.refuses.clone(),
            kitchen_loss: household.kitchen_loss.unwrap_or(statistics.kitchen_loss),
            eaten_at_home: household.eaten_at_home.unwrap_or(statistics.eaten_at_home),
            salad_bought: household.salad_bought,
            southern,
        }
    }

    fn eaters(&self) -> Vec<Eater> {
        let alike = |group: &super::Eater| {
            let eater = Eater {
                appetite: group.appetite,
                ..Eater::aged(group.age_years)
            };
            std::iter::repeat_n(eater, group.number)
        };
        self.household.eaters.iter().flat_map(alike).collect()
    }

    /// Prices and costs of the person's own as the money stage knows them.
    pub fn own_costs(&self) -> OwnCosts {
        let costs = &self.costs;
        OwnCosts {
            electricity_kwh: costs.electricity_per_kwh,
            region: costs.region.clone(),
            fuel: costs.fuel,
            fuel_kwh: costs.fuel_per_kwh,
            efficiency: self.house.heater.as_ref().map(|heater| heater.efficiency),
            water_m3: costs.water_per_m3,
            supplies_m2_year: costs.supplies_per_m2_year,
            seed_m2: costs.seed_per_m2,
            tray_mix_l: costs.tray_mix_per_l,
            compost_m3: costs.compost_per_m3,
            compost_mm: costs.compost_mm,
            upkeep_year: costs.upkeep_per_year,
            cover: costs
                .cover
                .map(|(cost, life_years)| Cover { cost, life_years }),
            building: costs.building.map(|cost| Building {
                cost,
                life_years: costs.life_years,
                discount_rate: costs.discount_rate,
            }),
        }
    }
}
