//! One row added to the journal.

use super::Look;
use crate::output::text::{clean, fixed};
use crate::output::view::{JournalRow, LogView};

/// Where the row stands, in one sentence.
pub fn log(view: &LogView, look: &Look) -> String {
    let row = words(&view.row, look);
    let line = view.row.line;
    let journal = clean(&view.journal);
    if view.taken_back {
        format!("{journal}, line {line} is taken back: {row}\n")
    } else if view.added {
        format!("{journal}, line {line}: {row}\n")
    } else {
        format!(
            "{journal}, line {line} says so already: {row}\nNothing was added; if it happened twice, say --again.\n"
        )
    }
}

fn words(row: &JournalRow, look: &Look) -> String {
    let amount = row.amount.map(|amount| match row.unit.as_str() {
        "kg" => format!(
            "{} {}",
            fixed(look.units.mass(amount), 3),
            look.units.mass_unit()
        ),
        "m2" => format!(
            "{} {}",
            fixed(look.units.area(amount), 2),
            look.units.area_unit()
        ),
        unit => format!("{} {unit}", fixed(amount, 2)),
    });
    let parts = [
        Some(row.date.to_string()),
        Some(row.event.clone()),
        amount,
        Some(row.crop.clone()),
        Some(row.bed.clone()),
        Some(row.note.clone()),
    ];
    let said: Vec<String> = parts
        .into_iter()
        .flatten()
        .filter(|part| !part.is_empty())
        .map(|part| clean(&part))
        .collect();
    said.join(", ")
}
