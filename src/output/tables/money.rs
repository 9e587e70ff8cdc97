//! Food and money, and what food costs, as tables.

use super::{DataTable, named};
use crate::calendar::MONTH_HEADS;
use crate::output::row::{Cell, Column, Kind, Row};
use crate::output::text::{month_head, prices_of};
use crate::output::view::{CostRow, FoodPriceView, PricesView, ValueMonth, ValueView, ValueYear};
use crate::phrase::Phrase;

/// Months, prices, costs, costs by month, over the building's life, and what it would take.
pub fn value(view: &ValueView) -> Vec<DataTable> {
    let currency = &view.currency;
    let mut tables = vec![
        months(view),
        DataTable::of("value_spread", &view.months)
            .titled(format!(
                "Over the weather years, in {currency}: the middle year (one year in ten lower - higher)"
            ))
            .show("month grown_range value_range net_range"),
        DataTable::of("prices", &view.prices)
            .titled(format!("Prices, in {currency}{}", prices_of(&view.foreign_prices)))
            .show("food price_per_kg eaten_kg value beyond_kg source")
            .noted(
                "The price is the mean of the year's months. The value is counted week by week at the price of that month, and \
                 what is eaten in place of another food at that food's price, so it is not price times amount.",
            )
            .footnoted("source"),
        DataTable::of("costs", &view.costs)
            .titled(format!("Costs of a year, in {currency}"))
            .summed(total(view)),
        costs_by_month(view),
        DataTable::of("costs_by_month", &view.costs_by_month).by_name(),
        DataTable::of("lives", &view.lives())
            .titled(format!("Over the life of the building, in {currency}"))
            .show("case outlay simple_years discounted_years net_present_value net_year cost_per_kg")
            .noted(
                Phrase::from("New glazing is paid for when due. Empty: never paid back, or nothing laid out.")
                    .then(net_note(view)),
            ),
    ];
    if view.cover.is_some() {
        tables.push(DataTable::of("value_cover", &view.cover_rows()).titled("What it would take"));
    }
    tables
}

/// Months of food and money, with the year below.
pub(crate) fn months(view: &ValueView) -> DataTable {
    DataTable::of("value_months", &view.months)
        .titled(format!("Produce against the budget, {}, in {}", view.place, view.currency))
        .show("month grown_kg eaten_kg beyond_kg surplus_kg value cost net budget share work_h")
        .noted(
            Phrase::from("Replaces: eaten in place of buying, fresh or stored. Beyond: eaten beyond what would have been bought, in none of the \
             money. Spare: neither eaten nor kept. Share: value as a part of the produce budget. Work: not counted as a \
             cost.").then(net_note(view)),
        )
        .summed(year(&view.year))
}

/// What every net leaves out.
fn net_note(view: &ValueView) -> Phrase {
    let last = view.left_out.len().saturating_sub(1);
    let mut said = Phrase::default();
    for (at, what) in view.left_out.iter().enumerate() {
        said = said
            .then(match at {
                0 => " In no cost and no net: ",
                _ if at == last => " and ",
                _ => ", ",
            })
            .then(what);
    }
    if said.is_empty() {
        said
    } else {
        said.then(".")
    }
}

/// The year in the columns of a month.
fn year(year: &ValueYear) -> Vec<Cell> {
    let of_year: Vec<(Column, Cell)> = ValueYear::columns().into_iter().zip(year.cells()).collect();
    let cell = |column: Column| match of_year.iter().find(|(own, _)| own.name == column.name) {
        _ if column.name == "month" => Cell::Text("Year".to_owned()),
        Some((_, cell)) => cell.clone(),
        None => Cell::Empty,
    };
    ValueMonth::columns().into_iter().map(cell).collect()
}

fn total(view: &ValueView) -> Vec<Cell> {
    CostRow {
        item: "together".to_owned(),
        cost: view.year.cost,
        basis: String::new(),
    }
    .cells()
}

/// Costs by month, one column an item, nothing where an item costs nothing all year.
fn costs_by_month(view: &ValueView) -> DataTable {
    let items: Vec<&str> = view
        .costs
        .iter()
        .filter(|cost| cost.cost != 0.0)
        .map(|cost| cost.item.as_str())
        .collect();
    let mut columns = vec![("month", "Month", Kind::Text)];
    columns.extend(items.iter().map(|item| (*item, *item, Kind::Number)));
    columns.push(("together", "Together", Kind::Number));
    let row = |month: &ValueMonth| {
        let paid = items.iter().map(|item| {
            let mut rows = view.costs_by_month.iter();
            rows.find(|row| row.month == month.month && row.item == *item)
                .map_or(Cell::Empty, |row| Cell::Number(row.cost))
        });
        let sum = Cell::Number(month.cost);
        named(month_head(month.month), paid.chain([sum]))
    };
    DataTable::plain(
        "costs_by_item",
        &columns,
        view.months.iter().map(row).collect(),
    )
    .titled(format!("Costs by month, in {}", view.currency))
}

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
        named(&food.name, months.clone().map(price))
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
