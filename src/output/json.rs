//! JSON for machines: one object per run, SI, units in the keys.

use std::io::{self, Write};

use serde::ser::Error as _;
use serde::{Serialize, Serializer};
use serde_json::ser::{Formatter, PrettyFormatter};

use super::row::Cell;
use super::tables::DataTable;
use crate::plain::{is_control_or_bidi, known};

/// A view as one JSON object, indented, with a line end.
///
/// Numbers are written with seven significant digits (see [`known`]); a figure that is not known is `null`.
///
/// Characters that could steer a terminal stand as escapes of four hexadecimal digits (RFC 8259, section 7).
///
/// # Errors
/// A view is always serialisable; the error is passed on rather than hidden.
pub fn to_string<T: Serialize>(view: &T) -> Result<String, serde_json::Error> {
    let mut bytes = Vec::new();
    let known = Known(PrettyFormatter::new());
    view.serialize(&mut serde_json::Serializer::with_formatter(
        &mut bytes, known,
    ))?;
    let mut text = String::from_utf8(bytes).map_err(serde_json::Error::custom)?;
    text.push('\n');
    if text.chars().any(escapable) {
        text = text.chars().fold(String::new(), |mut safe, c| {
            if escapable(c) {
                for unit in c.encode_utf16(&mut [0; 2]) {
                    safe.push_str(&format!("\\u{unit:04x}"));
                }
            } else {
                safe.push(c);
            }
            safe
        });
    }
    Ok(text)
}

/// Indented, with the digits that are known.
struct Known(PrettyFormatter<'static>);

/// Hands on what the indented form does.
macro_rules! as_indented {
    ($($name:ident($($first:ident)?)),* $(,)?) => {$(
        fn $name<W: ?Sized + Write>(&mut self, to: &mut W $(, $first: bool)?) -> io::Result<()> {
            self.0.$name(to $(, $first)?)
        }
    )*};
}

impl Formatter for Known {
    as_indented!(
        begin_array(),
        end_array(),
        begin_array_value(first),
        end_array_value(),
        begin_object(),
        end_object(),
        begin_object_key(first),
        begin_object_value(),
        end_object_value(),
    );

    fn write_f64<W: ?Sized + Write>(&mut self, to: &mut W, value: f64) -> io::Result<()> {
        self.0.write_f64(to, known(value))
    }
}

/// A table as one JSON object with its rows, each an object by column.
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
    c != '\n' && is_control_or_bidi(c)
}

#[cfg(test)]
mod tests {
    #[test]
    fn what_steers_a_terminal_is_written_as_its_code() {
        let name = "a\u{1b}[2J\u{7f}\u{9b}2J\u{202e}\u{e0041}é";
        let text = super::to_string(&[name]).unwrap();
        assert!(!text.chars().any(super::escapable), "{text:?}");
        assert_eq!(serde_json::from_str::<Vec<String>>(&text).unwrap(), [name]);
    }
}
