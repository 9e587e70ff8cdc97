//! The project as the money stage is told it.

use super::project::Project;
use crate::value::{Eater, Household, OwnCosts};

impl Project {
    /// The household as the money stage knows it; `southern` south of the equator, where seasons of price turn about.
    pub fn market_household(&self, southern: bool) -> Household {
        Household {
            eaters: self.eaters(),
            wishes: self
                .household
                .wishes
                .iter()
                .map(super::Wish::to_market)
                .collect(),
            southern,
            ..self.shopping.clone()
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
        OwnCosts {
            efficiency: self.house.heater.as_ref().map(|heater| heater.efficiency),
            ..self.costs.clone()
        }
    }
}
