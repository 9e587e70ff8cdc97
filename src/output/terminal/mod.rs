//! Tables and character charts for a terminal, at 80 columns and wider.
//!
//! Every function returns text; nothing here asks whether a terminal is there: the caller says how wide it is and
//! whether colour is wanted. Colour never carries a meaning alone.

mod check;
mod climate;
mod compare;
mod draw;
mod explain;
mod log;
mod outage;
mod overview;
mod plan;
mod plan_check;
mod prices;
mod replan;
mod review;
mod season;
mod shelf;
mod table;
mod tune;
mod value;
mod why;
mod work;

pub use check::{check, check_notes};
pub use climate::{climate, climate_course};
pub use compare::{compare, compare_notes};
#[cfg(feature = "frames")]
pub use draw::designs;
pub use draw::{draw, fitted, more, rows};
pub use explain::{explain, explain_notes};
pub use log::log;
pub use outage::outage;
pub use overview::overview;
pub use plan::{plan, plan_notes, weeks};
pub use plan_check::{plan_check, swaps};
pub use prices::{prices, prices_notes};
pub use replan::replan;
pub use review::{review, review_notes};
pub use season::season;
pub use shelf::{columns, crop, crops, data_tables, design, key_tables, keys, place, places};
pub use tune::{growth, tune, tune_notes};
pub use value::{value, value_notes};
pub use why::{why, why_notes};
pub use work::{work_list, work_soon};

use super::units::Units;
use super::view::{Note, NoteKind};
use table::{Align, Sheet, Tint};

/// Narrowest width that is laid out for, in columns.
pub const NARROWEST: u16 = 80;

/// How the text is to look.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// Width in columns; below [`NARROWEST`] counts as that.
    pub width: u16,
    /// Colour wanted.
    pub colour: bool,
    /// Units for people.
    pub units: Units,
}

impl Default for Look {
    fn default() -> Self {
        Look {
            width: NARROWEST,
            colour: false,
            units: Units::Si,
        }
    }
}

impl Look {
    /// Width that is laid out for.
    fn columns(&self) -> u16 {
        self.width.max(NARROWEST)
    }

    /// A head line, bold where colour is wanted.
    fn head(&self, text: &str) -> String {
        let text = super::text::clean(text);
        if text.chars().count() > usize::from(self.columns()) {
            return self.prose(&text);
        }
        if self.colour {
            format!("\u{1b}[1m{text}\u{1b}[0m\n")
        } else {
            format!("{text}\n")
        }
    }
}

impl Look {
    /// Sentences, broken at the width.
    fn prose(&self, text: &str) -> String {
        let mut sheet = Sheet::new(&[("", Align::Left)]);
        for line in text.lines() {
            sheet.row(vec![line.to_string()]);
        }
        sheet.render(self)
    }
}

/// What cautions are about, a word or two each.
fn topics(cautions: &[Note], look: &Look) -> String {
    let said = cautions.iter().map(|note| look.units.say(&note.text));
    let topics = said.map(|text| text.split(':').next().unwrap_or_default().to_owned());
    topics.collect::<Vec<_>>().join("; ")
}

/// The notes that belong to an answer: warnings and cautions.
fn warnings(all: &[Note], look: &Look) -> String {
    let kept = all.iter().filter(|note| note.kind != NoteKind::Note);
    notes(&kept.cloned().collect::<Vec<Note>>(), look)
}

/// The notes that stand behind an answer.
fn remarks(all: &[Note], look: &Look) -> String {
    let kept = all.iter().filter(|note| note.kind == NoteKind::Note);
    notes(&kept.cloned().collect::<Vec<Note>>(), look)
}

/// Notes below a table; warnings and cautions say what they are in words.
fn notes(notes: &[Note], look: &Look) -> String {
    if notes.is_empty() {
        return String::new();
    }
    let mut sheet = Sheet::new(&[("", Align::Left), ("", Align::Left)]);
    for note in notes {
        let (word, tint) = match note.kind {
            NoteKind::Note => ("note", Tint::None),
            NoteKind::Warning => ("warning", Tint::Warn),
            NoteKind::Caution => ("CAUTION", Tint::Bad),
        };
        let said = look.units.say(&note.text);
        let text = match note.source.as_str() {
            "" => said,
            source => format!("{said} [{source}]"),
        };
        sheet.tinted(vec![(word.to_string(), tint), (text, Tint::None)]);
    }
    format!("\n{}", sheet.render(look))
}
