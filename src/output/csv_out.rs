//! CSV for machines and spreadsheets: RFC 4180, UTF-8, SI, units in the column names.

use std::io;

use super::row::{Cell, Row};
use super::tables::DataTable;
use super::text::clean;
use crate::plain::known;
use crate::sheet;

/// A table as text: a header and one line for each row.
///
/// A text that a spreadsheet would take for a formula (its first letter is `=`, `+`, `-`, `@` or one of their wide
/// forms) gets a leading apostrophe, which spreadsheets show as text; characters that act instead of showing become
/// blanks. Numbers are never touched.
///
/// # Errors
/// What the writer reports; writing to memory does not fail.
pub fn table_text(table: &DataTable) -> Result<String, csv::Error> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    writer.write_record(table.columns.iter().map(|column| column.name.as_str()))?;
    for row in &table.rows {
        writer.write_record(row.iter().map(cell_text))?;
    }
    let bytes = writer.into_inner().map_err(|error| error.into_error())?;
    String::from_utf8(bytes)
        .map_err(|error| io::Error::new(io::ErrorKind::InvalidData, error).into())
}

/// Rows of one type as text.
///
/// # Errors
/// As [`table_text`].
pub fn to_string<R: Row>(rows: &[R]) -> Result<String, csv::Error> {
    table_text(&DataTable::of("rows", rows))
}

/// One cell as it stands in the file.
fn cell_text(cell: &Cell) -> String {
    match cell {
        Cell::Empty => String::new(),
        Cell::Number(value) if !value.is_finite() => String::new(),
        Cell::Number(value) => known(*value).to_string(),
        Cell::Count(value) => value.to_string(),
        Cell::Text(value) => sheet::safe(&clean(value)),
        Cell::Said(value) => sheet::safe(&clean(&value.to_string())),
        Cell::Date(value) => value.to_string(),
        Cell::Flag(value) => value.to_string(),
    }
}
