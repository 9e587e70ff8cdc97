//! The bytes that add one row to a journal, with the mark that ends it, and the last row taken back.
//!
//! The mark is made from the row itself, so that a row cut short is known, and a row written twice.

use super::read::{Layout, layout};
use super::{COLUMNS, Entry, Known, read};
use crate::plain::{BYTE_ORDER_MARK, without_mark};
use crate::sheet;
use crate::words::Word;
use fnv::FnvHasher;
use std::hash::Hasher;

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
        .filter(|other| same(other, entry))
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
    let id = mark(&cells, again);
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

/// A journal without its last row.
#[derive(Clone, Debug, PartialEq)]
pub struct Undone {
    /// The text without it.
    pub text: String,
    /// The row, with the line on which it stood.
    pub entry: Entry,
}

/// The journal `text` without the row that stands last in it.
///
/// # Errors
/// Why there is nothing to take back: no journal, no row, or a last row that cannot be read.
pub fn undone(text: &str, known: &Known<'_>) -> Result<Undone, String> {
    let (_, rows) = layout(text).map_err(|(line, what)| format!("{line}: {what}"))?;
    let Some(last) = rows.last() else {
        return Err("1: there is no row to take back".to_owned());
    };
    let line = last.number;
    let journal = read("", text, known);
    let Some(entry) = journal.entries.into_iter().find(|entry| entry.line == line) else {
        let why = journal.bad.into_iter().find(|bad| bad.line == line);
        let why = why.map_or_else(String::new, |bad| format!(" ({})", bad.what));
        return Err(format!(
            "{line}: the last row cannot be read{why}; mend or remove it by hand"
        ));
    };
    let kept: usize = text
        .split_inclusive('\n')
        .take(line - 1)
        .map(str::len)
        .sum();
    Ok(Undone {
        text: text[..kept].to_owned(),
        entry,
    })
}

/// Characters of a mark.
const DIGITS: usize = 8;

/// The mark of a row that is the `again`-th of its kind, from 0.
///
/// It guards against a slip, not against a forger: half of a hash of 64 bits is enough.
fn mark(cells: &[String], again: usize) -> String {
    let again = again.to_string();
    let mut hasher = FnvHasher::default();
    for cell in cells.iter().chain([&again]) {
        hasher.write(cell.as_bytes());
        // Parts the cells: no cell holds it.
        hasher.write(b"\x1f");
    }
    let half = hasher.finish() & u64::from(u32::MAX);
    format!("{half:0DIGITS$x}")
}

/// Could a text be a mark that was written whole?
pub(super) fn is_whole(text: &str) -> bool {
    text.len() == DIGITS && text.bytes().all(|byte| byte.is_ascii_hexdigit())
}

/// The same row: everything but line and mark.
fn same(a: &Entry, b: &Entry) -> bool {
    let line = b.line;
    *b == Entry { line, ..a.clone() }
}
