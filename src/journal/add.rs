//! The bytes that add one row to a journal.

use super::read::{Layout, layout};
use super::{COLUMNS, Entry, Known, mark, read};
use crate::plain::{BYTE_ORDER_MARK, without_mark};
use crate::sheet;

/// What adding a row comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Addition {
    /// Bytes to write at the end of the file in one go.
    Append {
        /// The bytes: a line end where the last line has none, the heads of a new journal, the row.
        bytes: Vec<u8>,
        /// Line on which the row will stand, from 1.
        line: usize,
    },
    /// The very row is in the journal already.
    Present {
        /// Its line, from 1.
        line: usize,
    },
}

/// What to append to the journal `text` so that it holds `entry`; with `again`, although the very row is there.
///
/// # Errors
/// Why nothing can be added to this text: its first line names no columns of a journal.
pub fn addition(
    text: &str,
    entry: &Entry,
    known: &Known<'_>,
    again: bool,
) -> Result<Addition, String> {
    let (layout, _) = layout(text).map_err(|(line, what)| format!("line {line}: {what}"))?;
    let journal = read("", text, known);
    let alike: Vec<usize> = journal
        .entries
        .iter()
        .filter(|other| mark::same(other, entry))
        .map(|other| other.line)
        .collect();
    if let (Some(line), false) = (alike.first(), again) {
        return Ok(Addition::Present { line: *line });
    }
    let row = row(&layout, entry, alike.len())?;
    let end = if text.is_empty() || text.contains("\r\n") {
        "\r\n"
    } else {
        "\n"
    };
    let unended = text.rsplit('\n').next().unwrap_or("");
    if !unended.is_empty() && row.starts_with(unended) {
        // This very row was being written when the program or the machine was stopped.
        return Ok(Addition::Append {
            bytes: format!("{}{end}", &row[unended.len()..]).into_bytes(),
            line: text.matches('\n').count() + 1,
        });
    }
    let new = text
        .trim_matches([BYTE_ORDER_MARK, '\n', '\r', ' '])
        .is_empty();
    let mut bytes = String::new();
    if !without_mark(unended).is_empty() {
        bytes.push_str(end);
    }
    if new {
        bytes.push_str(&COLUMNS.join(","));
        bytes.push_str(end);
    }
    let line = (text.matches('\n').count() + bytes.matches('\n').count()) + 1;
    bytes.push_str(&row);
    bytes.push_str(end);
    Ok(Addition::Append {
        bytes: bytes.into_bytes(),
        line,
    })
}

/// The row as text in the journal's own layout.
fn row(layout: &Layout, entry: &Entry, again: usize) -> Result<String, String> {
    let mut cells = cells(entry);
    if layout.separator != ',' {
        // A file that parts its cells by semicolons writes its decimals with a comma.
        cells[4] = cells[4].replace('.', ",");
    }
    let id = mark::mark(&cells, again);
    let mut out = vec![String::new(); layout.width];
    for (place, cell) in layout.places.iter().zip(cells.into_iter().chain([id])) {
        match place.and_then(|place| out.get_mut(place)) {
            Some(slot) => *slot = cell,
            None => continue,
        }
    }
    let mut writer = csv::WriterBuilder::new()
        .delimiter(layout.separator as u8)
        .terminator(csv::Terminator::Any(b'\n'))
        .from_writer(Vec::new());
    writer
        .write_record(&out)
        .map_err(|error| error.to_string())?;
    let bytes = writer.into_inner().map_err(|error| error.to_string())?;
    let text = String::from_utf8(bytes).map_err(|error| error.to_string())?;
    Ok(text.trim_end_matches('\n').to_owned())
}

/// Cells of [`COLUMNS`] but the id.
fn cells(entry: &Entry) -> Vec<String> {
    use super::Amount::{Kg, M2, Money};
    let (amount, unit) = match entry.amount {
        None => (String::new(), String::new()),
        Some(Kg(kg)) => (kg.to_string(), "kg".to_owned()),
        Some(M2(m2)) => (m2.to_string(), "m2".to_owned()),
        Some(Money(paid)) => (paid.to_string(), String::new()),
    };
    vec![
        entry.date.to_string(),
        entry.event.word().to_owned(),
        sheet::safe(entry.bed.as_deref().unwrap_or("")),
        entry.crop.clone().unwrap_or_default(),
        amount,
        unit,
        sheet::safe(&entry.note),
    ]
}
