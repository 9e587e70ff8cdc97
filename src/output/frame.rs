//! Everything behind the tables as data frames, and as Parquet.
//!
//! Column names carry their units; [`dictionary`] says what each column means.

use polars::prelude::{Column as FrameColumn, DataFrame, NamedFrom, PolarsResult, Series};

use super::row::{Cell, Column, Kind, Row};
use super::tasks::{TaskRow, seed_order, tasks};
use super::view::{
    ClimateDay, ClimateHour, ClimateMonth, CostRow, DefaultRow, FirstMonth, FoodWeekRow, GapRow,
    HeatRow, MonthsInRow, PickRow, PlantingRow, PriceRow, ReportView, SeasonRow, SeedRow,
    SourceRow, ValueMonth, WeekRow,
};

/// Rows as a data frame: quantities are `f64`, counts `i64`, days and words strings; unknown cells are null.
///
/// # Errors
/// What the data frame library reports; columns of one length with different names give no error.
pub fn from_rows<R: Row>(rows: &[R]) -> PolarsResult<DataFrame> {
    let cells: Vec<Vec<Cell>> = rows.iter().map(Row::cells).collect();
    let columns = R::columns()
        .iter()
        .enumerate()
        .map(|(index, column)| {
            let of_column = cells
                .iter()
                .map(|row| row.get(index).unwrap_or(&Cell::Empty));
            FrameColumn::from(series(column, of_column))
        })
        .collect();
    DataFrame::new(rows.len(), columns)
}

fn series<'a>(column: &Column, cells: impl Iterator<Item = &'a Cell>) -> Series {
    let name = column.name.as_str().into();
    match column.kind {
        Kind::Number => Series::new(name, cells.map(Cell::number).collect::<Vec<Option<f64>>>()),
        Kind::Count => Series::new(name, cells.map(Cell::count).collect::<Vec<Option<i64>>>()),
        Kind::Text => Series::new(name, cells.map(Cell::text).collect::<Vec<Option<&str>>>()),
        // As ISO 8601 text, which sorts as days do: the date type of the library brings four more crates along.
        Kind::Date => Series::new(
            name,
            cells
                .map(|cell| cell.date().map(|date| date.to_string()))
                .collect::<Vec<Option<String>>>(),
        ),
        Kind::Flag => Series::new(name, cells.map(Cell::flag).collect::<Vec<Option<bool>>>()),
    }
}

/// Every table behind a report, by name.
///
/// # Errors
/// As [`from_rows`].
pub fn tables(view: &ReportView) -> PolarsResult<Vec<(&'static str, DataFrame)>> {
    let task_rows: Vec<TaskRow> = tasks(&view.plan).into_iter().map(|task| task.row).collect();
    Ok(vec![
        ("climate_months", from_rows(&view.climate.months)?),
        ("climate_days", from_rows(&view.climate.days)?),
        (
            "first_year",
            from_rows(&view.climate.first_against_settled)?,
        ),
        ("heat", from_rows(&view.climate.heat_rows())?),
        ("season", from_rows(&view.season.rows())?),
        ("months_in", from_rows(&view.season.months_in_rows())?),
        ("plantings", from_rows(&view.plan.planting_rows())?),
        ("picks", from_rows(&view.plan.pick_rows())?),
        ("weeks", from_rows(&view.plan.week_rows())?),
        ("food_weeks", from_rows(&view.plan.food_week_rows())?),
        ("gaps", from_rows(&view.plan.gaps)?),
        ("tasks", from_rows(&task_rows)?),
        ("seeds", from_rows(&seed_order(&view.plan))?),
        ("value_months", from_rows(&view.value.months)?),
        ("prices", from_rows(&view.value.prices)?),
        ("costs", from_rows(&view.value.costs)?),
        ("assumptions", from_rows(&view.assumptions)?),
        ("sources", from_rows(&view.sources)?),
    ])
}

/// The data dictionary: every table with its columns, their units and meanings.
pub fn dictionary() -> Vec<(&'static str, Vec<Column>)> {
    vec![
        ("climate_months", ClimateMonth::columns()),
        ("climate_days", ClimateDay::columns()),
        ("climate_hours", ClimateHour::columns()),
        ("first_year", FirstMonth::columns()),
        ("heat", HeatRow::columns()),
        ("season", SeasonRow::columns()),
        ("months_in", MonthsInRow::columns()),
        ("plantings", PlantingRow::columns()),
        ("picks", PickRow::columns()),
        ("weeks", WeekRow::columns()),
        ("food_weeks", FoodWeekRow::columns()),
        ("gaps", GapRow::columns()),
        ("tasks", TaskRow::columns()),
        ("seeds", SeedRow::columns()),
        ("value_months", ValueMonth::columns()),
        ("prices", PriceRow::columns()),
        ("costs", CostRow::columns()),
        ("assumptions", DefaultRow::columns()),
        ("sources", SourceRow::columns()),
    ]
}
