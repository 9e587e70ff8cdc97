//! What food costs the household, and where each figure comes from.

use serde::Serialize;

use super::Note;
use crate::output::row::row;

row! {
    /// The price of one food in one month.
    pub struct FoodMonthRow {
        /// Identifier of the food.
        food: String, "";
        /// Month, 1 to 12.
        month: u32, "";
        /// Price as bought, in the money of the price year; empty where nobody published one and none was given.
        price_per_kg: Option<f64>, "currency/kg";
        /// Where the price comes from.
        source: String, "";
        /// Year of the publication or of the latest receipt.
        source_year: Option<u32>, "";
        /// How sure it is: read, read second hand, computed, from memory, assumption, own figure, to ask.
        mark: String, "";
    }
}

/// One food that the household eats.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct FoodPriceView {
    /// Identifier.
    pub food: String,
    /// Name.
    pub name: String,
    /// Price per kg as bought, January to December; empty where it is to be asked.
    pub price_per_kg: Option<[f64; 12]>,
    /// Where the price comes from.
    pub price_source: String,
    /// Year of the publication or of the latest receipt.
    pub price_source_year: Option<i32>,
    /// How sure it is.
    pub price_mark: String,
    /// Bought in a week by the whole household, kg.
    pub bought_kg_week: f64,
    /// Where that comes from.
    pub bought_source: String,
    /// Share of the bought weight that is eaten after peel and trimmings.
    pub edible_share: f64,
}

/// All prices of a household.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct PricesView {
    /// Where the household lives.
    pub place: String,
    /// Currency.
    pub currency: String,
    /// Year in whose money everything is stated.
    pub price_year: i32,
    /// Countries whose prices are taken in place of those of the currency's own country; empty where none are.
    pub foreign_prices: String,
    /// Share of bought food that is wasted at home, beside peel and trimmings.
    pub kitchen_loss: f64,
    /// Share of what is eaten that comes from the home kitchen.
    pub eaten_at_home: f64,
    /// Foods, in the order of the table.
    pub foods: Vec<FoodPriceView>,
    /// What is assumed, and what is to be asked.
    pub notes: Vec<Note>,
}

impl PricesView {
    /// One row for each food and month.
    pub fn rows(&self) -> Vec<FoodMonthRow> {
        let of_food = |food: &FoodPriceView| {
            let price = food.price_per_kg;
            (1..=12_u32)
                .map(|month| FoodMonthRow {
                    food: food.food.clone(),
                    month,
                    price_per_kg: price.map(|months| months[month as usize - 1]),
                    source: food.price_source.clone(),
                    source_year: food.price_source_year.and_then(|year| year.try_into().ok()),
                    mark: food.price_mark.clone(),
                })
                .collect::<Vec<_>>()
        };
        self.foods.iter().flat_map(of_food).collect()
    }
}
