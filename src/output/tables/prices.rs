//! What food costs, as tables.

use super::DataTable;
use crate::calendar::MONTH_HEADS;
use crate::output::row::{Cell, Column, Kind};
use crate::output::view::{FoodPriceView, PricesView};

/// Prices by half year, what is bought of each food with the sources, and every price in its month.
pub fn prices(view: &PricesView) -> Vec<DataTable> {
    vec![
        half(view, "january_to_june", 0),
        half(view, "july_to_december", MONTH_HEADS.len() / 2),
        sources(view),
        DataTable::of("prices_by_month", &view.rows()).by_name(),
    ]
}

/// Six months of prices from `first`, counted from 0.
fn half(view: &PricesView, name: &'static str, first: usize) -> DataTable {
    let months = first..first + MONTH_HEADS.len() / 2;
    let mut columns = vec![Column::plain("food", "Food", "", Kind::Text)];
    columns.extend(months.clone().map(|at| {
        let head = MONTH_HEADS[at];
        Column::plain(head, head, "currency/kg", Kind::Number)
    }));
    let row = |food: &FoodPriceView| {
        let prices = food.price_per_kg;
        let price = |at: usize| prices.map_or(Cell::Empty, |months| Cell::Number(months[at]));
        std::iter::once(Cell::Text(food.name.clone()))
            .chain(months.clone().map(price))
            .collect()
    };
    DataTable::with(name, columns, view.foods.iter().map(row).collect()).titled(format!(
        "Prices as bought, {}, in the money of {}",
        view.currency, view.price_year
    ))
}

/// What is bought, what of it is eaten, and where price and amount come from.
fn sources(view: &PricesView) -> DataTable {
    let column = Column::plain;
    let columns = vec![
        column("food", "Food", "", Kind::Text),
        column("bought_kg_week", "Bought a week", "kg", Kind::Number),
        column("edible_share", "Eaten", "share", Kind::Number),
        column("source", "Source of the price", "", Kind::Text),
        column("mark", "How sure", "", Kind::Text),
    ];
    let row = |food: &FoodPriceView| {
        let year = food
            .price_source_year
            .map_or_else(String::new, |year| format!(" ({year})"));
        vec![
            Cell::Text(food.name.clone()),
            Cell::Number(food.bought_kg_week),
            Cell::Number(food.edible_share),
            Cell::Text(format!("{}{year}", food.price_source)),
            Cell::Text(food.price_mark.clone()),
        ]
    };
    DataTable::with("sources", columns, view.foods.iter().map(row).collect())
        .titled("What is bought, and where the prices come from")
        .footnoted("source")
}
