//! The produce against the budget.

use serde::Serialize;

use super::{Note, Spread};
use crate::output::row::row;

row! {
    /// One month of food and money.
    pub struct ValueMonth {
        /// Month, 1 to 12.
        month: u32, "";
        /// Picked.
        grown_kg: f64, "kg";
        /// Eaten in place of buying, what was kept before included.
        eaten_kg: f64, "kg";
        /// Put by for later.
        kept_kg: f64, "kg";
        /// Neither eaten nor kept.
        surplus_kg: f64, "kg";
        /// What the eaten food would have cost in the shop.
        value: f64, "currency";
        /// Running costs.
        cost: f64, "currency";
        /// Value less cost.
        net: f64, "currency";
        /// What the household spends on produce in the month.
        budget: f64, "currency";
        /// Value as a share of the budget; empty where the budget is nil.
        share: Option<f64>, "share";
        /// Value over the weather years.
        value_range: Option<Spread>, "currency";
    }
}

row! {
    /// The year of food and money.
    pub struct ValueYear {
        /// Picked.
        grown_kg: f64, "kg";
        /// Eaten in place of buying.
        eaten_kg: f64, "kg";
        /// Put by for later.
        kept_kg: f64, "kg";
        /// Neither eaten nor kept.
        surplus_kg: f64, "kg";
        /// What the eaten food would have cost in the shop.
        value: f64, "currency";
        /// Running costs.
        cost: f64, "currency";
        /// Value less cost.
        net: f64, "currency";
        /// What the household spends on produce.
        budget: f64, "currency";
        /// Value as a share of the budget; empty where the budget is nil.
        share: Option<f64>, "share";
        /// Net over the weather years.
        net_range: Option<Spread>, "currency";
    }
}

row! {
    /// One price and what stands behind it.
    pub struct PriceRow {
        /// Name of the food.
        food: String, "";
        /// What the household would buy in its place.
        replaces: String, "";
        /// Mean price over the year.
        price_per_kg: f64, "currency/kg";
        /// Eaten in the year.
        eaten_kg: f64, "kg";
        /// What it would have cost.
        value: f64, "currency";
        /// Where the price comes from.
        source: String, "";
    }
}

row! {
    /// One cost of the year.
    pub struct CostRow {
        /// What is paid for.
        item: String, "";
        /// Paid in the year.
        cost: f64, "currency";
        /// How it was counted, and from which source.
        basis: String, "";
    }
}

/// What the building brings back.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PaybackView {
    /// What was paid for the building, in the currency.
    pub outlay: f64,
    /// Years until the nets add up to the outlay; empty if they never do.
    pub simple_years: Option<f64>,
    /// The same with discounted nets.
    pub discounted_years: Option<f64>,
    /// Net present value over the horizon, in the currency.
    pub net_present_value: f64,
    /// Discount rate a year, as a share.
    pub discount_rate: f64,
    /// Years looked at.
    pub horizon_years: u32,
}

/// Food and money through the year.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ValueView {
    /// Where the building stands.
    pub place: String,
    /// Currency of all values, as the file names it.
    pub currency: String,
    /// January to December.
    pub months: [ValueMonth; 12],
    /// The whole year.
    pub year: ValueYear,
    /// All the fresh produce the household buys in a year: no plan can save more.
    pub ceiling: f64,
    /// Value as a share of the produce budget.
    pub share_of_produce: Option<f64>,
    /// Value as a share of all groceries.
    pub share_of_groceries: Option<f64>,
    /// Prices by food.
    pub prices: Vec<PriceRow>,
    /// Costs by item.
    pub costs: Vec<CostRow>,
    /// What the building brings back; empty where no outlay is given.
    pub payback: Option<PaybackView>,
    /// What else to know.
    pub notes: Vec<Note>,
}
