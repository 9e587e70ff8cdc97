//! JSON for machines: one object per run, SI, units in the keys.

use serde::{Serialize, Serializer};

use super::row::Cell;
use super::tables::DataTable;
use crate::plain::steers;

/// A view as one JSON object, indented, with a line end.
///
/// Numbers are written with the fewest digits that give the same value back; a figure that is not known is `null`.
///
/// Characters that could steer a terminal stand as escapes of four hexadecimal digits (RFC 8259, section 7).
///
/// # Errors
/// A view is always serialisable; the error is passed on rather than hidden.
pub fn to_string<T: Serialize>(view: &T) -> Result<String, serde_json::Error> {
    let mut text = serde_json::to_string_pretty(view)?;
    text.push('\n');
    if text.chars().any(escapable) {
        text = text.chars().fold(String::new(), |mut safe, c| {
            if escapable(c) {
                // All that steer lie in the basic plane, so that one code says it.
                safe.push_str(&format!("\\u{:04x}", u32::from(c)));
            } else {
                safe.push(c);
            }
            safe
        });
    }
    Ok(text)
}

/// A table as one JSON object with its rows, each an object by column.
///
/// # Errors
/// As [`to_string`].
pub fn table_text(table: &DataTable) -> Result<String, serde_json::Error> {
    #[derive(Serialize)]
    struct Rows<'t> {
        rows: Vec<OneRow<'t>>,
    }
    let rows = table.rows.iter().map(|cells| OneRow { table, cells });
    to_string(&Rows {
        rows: rows.collect(),
    })
}

struct OneRow<'t> {
    table: &'t DataTable,
    cells: &'t [Cell],
}

impl Serialize for OneRow<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let columns = self.table.columns.iter().map(|column| &column.name);
        serializer.collect_map(columns.zip(self.cells))
    }
}

/// Steers, and stands inside a string: outside of them only line ends do.
fn escapable(c: char) -> bool {
    c != '\n' && steers(c)
}

#[cfg(test)]
mod tests {
    #[test]
    fn what_steers_a_terminal_is_written_as_its_code() {
        let name = "a\u{1b}[2J\u{7f}\u{9b}2J\u{202e}é";
        let text = super::to_string(&[name]).unwrap();
        assert!(!text.chars().any(super::escapable), "{text:?}");
        assert_eq!(serde_json::from_str::<Vec<String>>(&text).unwrap(), [name]);
    }
}
