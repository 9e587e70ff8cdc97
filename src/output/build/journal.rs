//! Rows of the journal, as they are shown.

use crate::journal::{Amount, Entry, Undone};
use crate::output::view::{JournalRow, LogView};

/// What became of a row that was to be added on a line.
pub fn log(journal: &str, entry: &Entry, line: usize, added: bool, currency: &str) -> LogView {
    LogView {
        journal: journal.to_owned(),
        added,
        taken_back: false,
        row: JournalRow {
            line: line as u32,
            ..journal_row(entry, currency)
        },
    }
}

/// A row that was taken back.
pub fn taken_back(journal: &str, undone: &Undone, currency: &str) -> LogView {
    LogView {
        journal: journal.to_owned(),
        added: false,
        taken_back: true,
        row: journal_row(&undone.entry, currency),
    }
}

/// A row of the journal.
pub fn journal_row(entry: &Entry, currency: &str) -> JournalRow {
    let (amount, unit) = match entry.amount {
        None => (None, ""),
        Some(Amount::Kg(kg)) => (Some(kg), "kg"),
        Some(Amount::M2(m2)) => (Some(m2), "m2"),
        Some(Amount::Money(paid)) => (Some(paid), currency),
    };
    JournalRow {
        line: entry.line as u32,
        date: entry.date,
        event: entry.event.word().to_owned(),
        bed: entry.bed.clone().unwrap_or_default(),
        crop: entry.crop.clone().unwrap_or_default(),
        amount,
        unit: unit.to_owned(),
        note: entry.note.clone(),
    }
}
