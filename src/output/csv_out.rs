//! CSV for machines and spreadsheets: RFC 4180, UTF-8, SI, units in the column names.

use std::io::Write;

use super::row::{Cell, Row};
use super::tables::DataTable;
use super::text::clean;
use crate::plain::known;
use crate::sheet;

/// Writes a header and one line for each row.
///
/// A text that a spreadsheet would take for a formula (its first letter is `=`, `+`, `-`, `@` or one of their wide
/// forms) gets a leading apostrophe, which spreadsheets show as text; characters that act instead of showing become
/// blanks. Numbers are never touched.
///
/// # Errors
/// What the writer reports, such as a full disk.
pub fn write_table(table: &DataTable, out: impl Write) -> Result<(), csv::Error> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(out);
    writer.write_record(table.columns.iter().map(|column| column.name.as_str()))?;
    for row in &table.rows {
        writer.write_record(row.iter().map(cell_text))?;
    }
    writer.flush()?;
    Ok(())
}

/// A table as text.
///
/// # Errors
/// As [`write_table`]; writing to memory does not fail.
pub fn table_text(table: &DataTable) -> Result<String, csv::Error> {
    let mut bytes = Vec::new();
    write_table(table, &mut bytes)?;
    String::from_utf8(bytes).map_err(|error| {
        csv::Error::from(std::io::Error::new(std::io::ErrorKind::InvalidData, error))
    })
}

/// Rows of one type as text.
///
/// # Errors
/// As [`write_table`]; writing to memory does not fail.
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
