//! Everything behind what people see, as tables of one kind: a name, columns with units and meanings, rows.
//!
//! Every machine format (CSV, Parquet, data frames) reads a [`DataTable`]; [`dictionary`] says what each column of
//! each of them means.

use super::row::{Cell, Column, Row};
use super::tasks::{TaskRow, seed_order, tasks};
use super::view::{
    ChangeRow, ClimateHour, CompareRow, CoverRow, CropRow, DictionaryRow, ExplainMonth, FactRow,
    FactorRow, FoodMonthRow, GrowthRow, JournalRow, KeyView, KgReviewRow, MeasureRow, OutageRow,
    PlaceMonthRow, PlaceRow, ReplanRow, ReportView,
};

/// One table: its name, its columns, its rows with one cell for each column.
#[derive(Clone, Debug, PartialEq)]
pub struct DataTable {
    /// Name, also of the file it is written to.
    pub name: &'static str,
    /// The columns, in order.
    pub columns: Vec<Column>,
    /// The rows, each with a cell for every column.
    pub rows: Vec<Vec<Cell>>,
}

impl DataTable {
    /// A table of rows of one type.
    pub fn of<R: Row>(name: &'static str, rows: &[R]) -> Self {
        DataTable {
            name,
            columns: R::columns(),
            rows: rows.iter().map(Row::cells).collect(),
        }
    }

    /// The cells of one column, counted from 0, top to bottom.
    pub fn column(&self, index: usize) -> impl Iterator<Item = &Cell> {
        self.rows
            .iter()
            .map(move |row| row.get(index).unwrap_or(&Cell::Empty))
    }
}

/// Every table behind a report.
pub fn of_report(view: &ReportView) -> Vec<DataTable> {
    all(Some(view))
}

/// What every column of every table means, those of `climate --hourly` among them.
pub fn dictionary() -> Vec<DictionaryRow> {
    let mut tables = all(None);
    tables.extend(of_verbs());
    tables
        .iter()
        .flat_map(|table| {
            table.columns.iter().map(|column| DictionaryRow {
                table: table.name.to_owned(),
                column: column.name.clone(),
                unit: column.unit.to_owned(),
                holds: column.kind.word().to_owned(),
                meaning: column.meaning.to_owned(),
            })
        })
        .collect()
}

/// Tables that verbs show as CSV and that no report holds, by the verb's name; no rows.
fn of_verbs() -> [DataTable; 18] {
    [
        DataTable::of::<FactRow>("check", &[]),
        DataTable::of::<ClimateHour>("climate_hours", &[]),
        DataTable::of::<MeasureRow>("climate_why", &[]),
        DataTable::of::<ExplainMonth>("season_explain", &[]),
        DataTable::of::<ReplanRow>("plan_journal", &[]),
        DataTable::of::<ChangeRow>("plan_check", &[]),
        DataTable::of::<CoverRow>("value_cover", &[]),
        DataTable::of::<FoodMonthRow>("prices_by_month", &[]),
        DataTable::of::<CompareRow>("compare", &[]),
        DataTable::of::<OutageRow>("outage", &[]),
        DataTable::of::<KeyView>("schema", &[]),
        DataTable::of::<CropRow>("crops", &[]),
        DataTable::of::<PlaceMonthRow>("climates_months", &[]),
        DataTable::of::<PlaceRow>("climates", &[]),
        DataTable::of::<JournalRow>("log", &[]),
        DataTable::of::<KgReviewRow>("review", &[]),
        DataTable::of::<FactorRow>("tune", &[]),
        DataTable::of::<GrowthRow>("tune_journal", &[]),
    ]
}

/// The tables of a report; without one, the same tables with no rows.
fn all(view: Option<&ReportView>) -> Vec<DataTable> {
    fn table<R: Row>(
        name: &'static str,
        view: Option<&ReportView>,
        rows: impl FnOnce(&ReportView) -> Vec<R>,
    ) -> DataTable {
        DataTable::of(name, &view.map(rows).unwrap_or_default())
    }
    let task_rows = |view: &ReportView| -> Vec<TaskRow> {
        tasks(&view.plan).into_iter().map(|task| task.row).collect()
    };
    vec![
        table("climate_months", view, |v| v.climate.months.to_vec()),
        table("climate_days", view, |v| v.climate.days.clone()),
        table("first_year", view, |v| {
            v.climate.first_against_settled.clone()
        }),
        table("heat", view, |v| v.climate.heat_rows()),
        table("season", view, |v| v.season.rows()),
        table("months_in", view, |v| v.season.months_in_rows()),
        table("plantings", view, |v| v.plan.planting_rows()),
        table("picks", view, |v| v.plan.pick_rows()),
        table("weeks", view, |v| v.plan.week_rows()),
        table("food_weeks", view, |v| v.plan.food_week_rows()),
        table("gaps", view, |v| v.plan.gaps.clone()),
        table("plan_months", view, |v| v.plan.months.clone()),
        table("risks", view, |v| v.plan.risks.clone()),
        table("tasks", view, task_rows),
        table("seeds", view, |v| seed_order(&v.plan)),
        table("value_months", view, |v| v.value.months.to_vec()),
        table("prices", view, |v| v.value.prices.clone()),
        table("costs", view, |v| v.value.costs.clone()),
        table("costs_by_month", view, |v| v.value.costs_by_month.clone()),
        table("lives", view, |v| v.value.lives()),
        table("assumptions", view, |v| v.assumptions.clone()),
        table("sources", view, |v| v.sources.clone()),
    ]
}
