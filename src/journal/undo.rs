//! The last row taken back.

use super::read::layout;
use super::{Entry, Known, read};

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
