//! Tables as data frames, for programs that go on computing with them.

mod ask;
mod read;

pub use ask::{Answer, AskError, Question, ask};
pub use read::{PartColumn, columns, gather};

use polars::prelude::{Column as FrameColumn, DataFrame, NamedFrom, PolarsResult, Series};

use super::row::{Cell, Column, Kind};
use super::tables::DataTable;

/// A table as a data frame: quantities are `f64`, counts `i64`, days and words strings; unknown cells are null.
///
/// # Errors
/// What the data frame library reports; columns of one length with different names give no error.
pub fn from_table(table: &DataTable) -> PolarsResult<DataFrame> {
    let columns = table
        .columns
        .iter()
        .enumerate()
        .map(|(index, column)| FrameColumn::from(series(column, table.column(index))))
        .collect();
    DataFrame::new(table.rows.len(), columns)
}

fn series<'a>(column: &Column, cells: impl Iterator<Item = &'a Cell>) -> Series {
    let name = column.name.as_str().into();
    match column.kind {
        Kind::Number => Series::new(name, cells.map(Cell::number).collect::<Vec<Option<f64>>>()),
        Kind::Count => Series::new(name, cells.map(Cell::count).collect::<Vec<Option<i64>>>()),
        Kind::Text => Series::new(
            name,
            cells
                .map(|cell| cell.text().map(std::borrow::Cow::into_owned))
                .collect::<Vec<Option<String>>>(),
        ),
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
