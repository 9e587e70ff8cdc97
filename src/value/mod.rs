//! What the food is worth: prices, the household, running costs, and what a building pays back.
//!
//! ```text
//! Household -> market() -> Market (what is bought, at which price: the plan's demand)
//! harvests  -> allocate_food() -> FoodFlow (eaten, kept, surplus by week) -> count_all() (what it replaces, what is beyond)
//! flows, energy, water -> tariff(), fixed_costs() -> year() -> YearValue -> payback(), what_it_takes()
//! ```
//!
//! Three rules hold throughout. Food counts only where it replaces a purchase, at the price of what it replaces, so no
//! saving is above what the household buys; what is eaten beyond that stands beside it and in no sum with it. What nobody
//! published is asked of the person and listed, never guessed in silence. Money is kept in whole minor units where it is
//! shown, so that every table adds up. The rows of `data/` name their sources.

mod account;
mod allocate_food;
mod appetite;
mod cost;
mod count;
mod coverage;
mod demand;
mod energy;
mod finance;
pub mod food;
mod household;
mod market;
mod money;
mod price;
pub mod receipts;
mod sources;
pub mod water;
mod year;

pub use account::year;
pub use allocate_food::{Course, Harvest, allocate_food, allocate_food_over};
pub use appetite::{bought_kg_week, of_person, persons};
pub use cost::{
    CoverRenewal, FixedCosts, InputRow, NotCounted, OwnCosts, Sowing, fixed_costs, input,
    pick_hours_per_kg, published_cost, work_hours,
};
pub use count::{Counted, Counts, count_all};
pub use coverage::{Answer, Endless, ShortFood, Today, Whole, what_it_takes};
pub use demand::market;
pub use energy::{Fuel, Priced, Running, Tariff, tariff};
pub use finance::{
    Investment, Payback, capital_recovery, payback, single_present_value, uniform_present_value,
};
pub use household::{
    Country, EATEN_AT_HOME, Eater, Household, KITCHEN_LOSS, OwnAppetite, OwnPrice, PRICE_YEARS,
    SaladBought, Wish,
};
pub use market::{Basis, FoodLine, GroupLine, Market, Rest, WishLine, WishOf, price_of_week};
pub use money::{Currency, Money};
pub use price::per_usd;
pub use sources::{SourceRow, sources};
pub use year::{
    CostKind, FixedCost, FoodFlow, FoodValue, MonthValue, WeatherYear, YearInput, YearValue,
};

/// Why a value could not be worked out.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ValueError {
    /// A figure that no household, price or building has.
    #[error("{what} is {value}, outside {low} to {high}")]
    OutOfRange {
        /// What the figure is, with its unit.
        what: String,
        /// The figure.
        value: f64,
        /// Lowest that is taken.
        low: f64,
        /// Highest that is taken.
        high: f64,
    },
    /// A food or group that the table does not know.
    #[error("`{food}` is not a food or group on file{}", crate::suggest::meant(.near.as_deref()))]
    UnknownFood {
        /// As given.
        food: String,
        /// The nearest known name.
        near: Option<String>,
    },
    /// A group where one food is meant.
    #[error("`{group}` is a group of foods; one of them belongs here: {foods}")]
    GroupForFood {
        /// Identifier of the group.
        group: String,
        foods: String,
    },
    /// No rate to the currency is on file and none was given.
    #[error(
        "no exchange rate from {from} to {to} is on file: give `exchange_rate`, the {to} for one {from}"
    )]
    NoExchangeRate {
        /// Currency of the statistics.
        from: &'static str,
        /// Currency of the household.
        to: &'static str,
    },
    /// A region without a published energy price.
    #[error("no energy price is on file for `{region}`; give your own price per kWh")]
    UnknownRegion {
        /// As given.
        region: String,
    },
    /// The bill for all food at home is not known.
    #[error(
        "what the household spends on food is not known, or nothing, so no share of it can be told; give `groceries` or \
         `produce` under [money]"
    )]
    NoGroceries,
}

/// Refuses a value outside its range; not-a-number is outside every range.
fn in_range(what: &str, value: f64, low: f64, high: f64) -> Result<(), ValueError> {
    if (low..=high).contains(&value) {
        Ok(())
    } else {
        Err(ValueError::OutOfRange {
            what: what.to_owned(),
            value,
            low,
            high,
        })
    }
}
