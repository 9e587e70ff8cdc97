//! Everything behind what people see, as tables of one kind: a name, columns with units and meanings, rows.
//!
//! Every format reads a [`DataTable`]: CSV, Parquet and data frames all of it, terminal and report what [`DataTable::show`]
//! names, in the units asked for ([`DataTable::said`]). [`dictionary`] says what each column of each of them means.

mod house;
mod money;
mod people;
mod plan;
pub(crate) mod season;

pub use house::{check, climate, compare, fitted, growth, outage, tune};
pub use money::{prices, value};
pub use people::{Head, Said};
pub use plan::{gaps, plan, replan, review};
pub use season::{crop, explain, season, why};

use super::row::{Cell, Column, Field, Kind, Row};
use super::tasks::{TaskRow, seed_order, tasks};
use super::view::{
    ChangeRow, ClimateHour, CompareRow, CoverRow, CropRow, DictionaryRow, ExplainMonth, FactRow,
    FactorRow, FoodMonthRow, FrontierRow, GrowthRow, JournalRow, KeyView, KgReviewRow, MeasureRow,
    OutageRow, PlaceMonthRow, PlaceRow, ReplanRow, ReportView, Spread,
};
use crate::phrase::Phrase;
use crate::words::Word;

/// One table: its name, its columns, its rows with one cell for each column; what people see of it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DataTable {
    /// Name, also of the file it is written to.
    pub name: &'static str,
    /// The columns, in order.
    pub columns: Vec<Column>,
    /// The rows, each with a cell for every column.
    pub rows: Vec<Vec<Cell>>,
    /// What it shows, for people.
    pub title: String,
    /// What the heads mean, for people.
    pub note: Phrase,
    /// Columns that people see, in their order; all where none are named.
    pub shown: Vec<Shown>,
    /// A row below the others that sums them up, for people.
    pub total: Option<Vec<Cell>>,
    /// True where rows that begin alike stand together, and the first cell is said once.
    pub grouped: bool,
    /// True where the year repeats, so that days need none.
    pub any_year: bool,
    /// True for a table that is shown only where it is asked for by name.
    pub by_name: bool,
    /// Column whose long words are numbered and stand below the table.
    pub footnotes: Option<usize>,
    /// Column whose words stand together in one row where all else that is shown is the same.
    pub joined: Option<usize>,
    /// Why it may have no rows, for people.
    pub empty: &'static str,
}

/// A column as people see it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shown {
    /// Which column; of a spread, its first.
    index: usize,
    /// True for a figure over the weather years: median (one year in ten lower to higher), in one cell.
    spread: bool,
}

impl DataTable {
    /// A table of rows of one type.
    pub fn of<R: Row>(name: &'static str, rows: &[R]) -> Self {
        DataTable {
            name,
            columns: R::columns(),
            rows: rows.iter().map(Row::cells).collect(),
            ..DataTable::default()
        }
    }

    /// A table whose columns only people need: name, head and kind of each.
    pub fn plain(name: &'static str, columns: &[(&str, &str, Kind)], rows: Vec<Vec<Cell>>) -> Self {
        let column = |(name, head, kind): &(&str, &str, Kind)| Column::plain(name, head, "", *kind);
        DataTable::with(name, columns.iter().map(column).collect(), rows)
    }

    /// A table of these columns and rows.
    pub fn with(name: &'static str, columns: Vec<Column>, rows: Vec<Vec<Cell>>) -> Self {
        DataTable {
            name,
            columns,
            rows,
            ..DataTable::default()
        }
    }

    /// Its name without the verb's, as `--list` takes it.
    pub fn short_name(&self) -> &'static str {
        names::short(self.name)
    }

    /// Says what the table shows.
    #[must_use]
    pub fn titled(mut self, title: impl Into<String>) -> Self {
        self.title = title.into();
        self
    }

    /// Says what its heads mean.
    #[must_use]
    pub fn noted(mut self, note: impl Into<Phrase>) -> Self {
        self.note = note.into();
        self
    }

    /// Names the columns that people see, in one text. A name whose figures are three quantiles, or one with `~` behind it, is shown
    /// with its spread in one cell.
    #[must_use]
    pub fn show(mut self, names: &str) -> Self {
        let find = |name: &str| self.columns.iter().position(|column| column.name == name);
        let shown = |name: &str| {
            let bare = name.trim_end_matches('~');
            let of_years = || find(&format!("{bare}{}", Spread::ENDINGS[0]));
            let plain = find(bare).filter(|_| bare == name || of_years().is_none());
            let spread = plain.is_none();
            let index = plain.or_else(of_years);
            debug_assert!(index.is_some(), "{}: {name}", self.name);
            index.map(|index| Shown { index, spread })
        };
        self.shown = names.split_whitespace().filter_map(shown).collect();
        self
    }

    /// Without title and note, for whoever says both himself.
    #[must_use]
    pub fn bare(self) -> Self {
        self.titled("").noted("")
    }

    /// Adds a row below the others.
    #[must_use]
    pub fn summed(mut self, total: Vec<Cell>) -> Self {
        self.total = Some(total);
        self
    }

    /// Lets rows that begin alike stand together.
    #[must_use]
    pub fn grouped(mut self) -> Self {
        self.grouped = true;
        self
    }

    /// Says why it may have no rows.
    #[must_use]
    pub fn or_empty(mut self, why: &'static str) -> Self {
        self.empty = why;
        self
    }

    /// Keeps the table from those that are all shown together.
    #[must_use]
    pub fn by_name(mut self) -> Self {
        self.by_name = true;
        self
    }

    /// Numbers the words of a column and lists them below.
    #[must_use]
    pub fn footnoted(mut self, name: &str) -> Self {
        self.footnotes = self.columns.iter().position(|column| column.name == name);
        self
    }

    /// Makes one row of those that differ for people in this column alone.
    #[must_use]
    pub fn joined(mut self, name: &str) -> Self {
        self.joined = self.columns.iter().position(|column| column.name == name);
        self
    }

    /// The cells of one column, counted from 0, top to bottom.
    pub fn column(&self, index: usize) -> impl Iterator<Item = &Cell> {
        self.rows
            .iter()
            .map(move |row| row.get(index).unwrap_or(&Cell::Empty))
    }
}

/// A row of cells behind its name.
pub(super) fn named(name: impl Into<String>, cells: impl IntoIterator<Item = Cell>) -> Vec<Cell> {
    let mut row = vec![Cell::Text(name.into())];
    row.extend(cells);
    row
}

/// Names of the tables that a verb shows, which are known before they are made: the first is the one for machines.
pub mod names {
    /// A name without the verb's.
    pub fn short(name: &str) -> &str {
        let verbs = ["climate_", "plan_", "value_"];
        let bare = verbs.iter().find_map(|verb| name.strip_prefix(verb));
        bare.unwrap_or(name)
    }

    pub const CHECK: &str = "facts assumed cautions";
    pub const CLIMATE: &str = "months spread light_spread cold_hours first_year outside room";
    pub const WHY: &str = "why flows";
    pub const SEASON: &str = "season months_in stays heats latest letters why";
    pub const EXPLAIN: &str = "months events";
    pub const OUTAGE: &str = "hours cautions";
    pub const COMPARE: &str = "figures money months_in changes fuel";
    pub const PLAN: &str = "plantings gaps frontier months risks seeds weeks food_weeks picks";
    pub const VALUE: &str = "months spread prices costs costs_by_item costs_by_month lives cover";
    pub const PRICES: &str = "prices_by_month january_to_june july_to_december sources";
    pub const CALENDAR: &str = "tasks seeds";
    pub const REVIEW: &str = "kg attention overdue work plantings money months";
    pub const TUNE: &str = "factors quality days";
    /// Of one crop: all figures, and the sections of its file.
    pub const CROP: &str = "figures cold temperature growth organ emergence planting root_zone time light bolting \
                            bulbing fruit_set yield spacing water keeping rotation";
}

/// Every table behind a report.
pub fn of_report(view: &ReportView) -> Vec<DataTable> {
    all(Some(view))
}

/// What every column of every table means, those of `climate --hourly` among them.
pub fn dictionary(currency: Option<&str>) -> Vec<DictionaryRow> {
    let mut tables = all(None);
    tables.extend(of_verbs());
    tables
        .iter()
        .flat_map(|table| {
            table.columns.iter().map(|column| DictionaryRow {
                table: table.name.to_owned(),
                column: column.name.clone(),
                unit: column.unit_in(currency),
                holds: column.kind.word().to_owned(),
                meaning: column.meant(),
            })
        })
        .collect()
}

/// Tables that verbs show as CSV and that no report holds, by the verb's name; no rows.
fn of_verbs() -> [DataTable; 19] {
    [
        DataTable::of::<FactRow>("check", &[]),
        DataTable::of::<ClimateHour>("climate_hours", &[]),
        DataTable::of::<MeasureRow>("climate_why", &[]),
        DataTable::of::<FrontierRow>("frontier", &[]),
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
        table("cold_hours", view, |v| v.climate.cold_hours.clone()),
        table("heat", view, |v| v.climate.heat_rows()),
        table("season", view, |v| v.season.rows()),
        table("latest", view, |v| v.season.latest.clone()),
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
