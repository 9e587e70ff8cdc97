//! Tables and character charts for a terminal, at 80 columns and wider.
//!
//! Every function returns text; nothing here asks whether a terminal is there: the caller says how wide it is and
//! whether colour is wanted. Colour never carries a meaning alone.

mod check;
mod draw;
mod house;
mod journal;
mod money;
mod overview;
mod plan;
mod plan_check;
mod season;
mod shelf;
mod table;
mod tune;

pub use check::{check, check_notes};
#[cfg(feature = "frames")]
pub use draw::designs;
pub use draw::{draw, fitted, more, nothing, rows};
pub use house::{climate, climate_course, outage, why, why_notes};
pub use journal::{log, replan, review, review_notes};
pub use money::{compare, compare_notes, prices, prices_notes, value, value_notes};
pub use overview::{overview, work_list, work_soon};
pub use plan::{plan, plan_notes, weeks};
pub use plan_check::{plan_check, swaps};
pub use season::{explain, explain_notes, season};
pub use shelf::{columns, crop, crops, data_tables, design, key_tables, keys, place, places};
pub use tune::{growth, tune, tune_notes};

use comfy_table::Color;

use super::text::{clean, joined};
use super::units::Units;
use super::view::{Note, NoteKind};
use table::{Align, Sheet, headless};

/// Narrowest width that is laid out for, in columns.
pub const NARROWEST: u16 = 80;

/// How the text is to look.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Look {
    /// Width in columns; below [`NARROWEST`] counts as that.
    pub width: u16,
    /// Colour wanted.
    pub colour: bool,
    /// Units for people.
    pub units: Units,
}

impl Look {
    /// Width that is laid out for.
    fn columns(&self) -> u16 {
        self.width.max(NARROWEST)
    }

    /// A head line, bold where colour is wanted.
    fn head(&self, text: &str) -> String {
        let text = clean(text);
        if text.chars().count() > usize::from(self.columns()) {
            return self.prose(&text);
        }
        if self.colour {
            format!("\u{1b}[1m{text}\u{1b}[0m\n")
        } else {
            format!("{text}\n")
        }
    }

    /// Sentences, broken at the width.
    fn prose(&self, text: &str) -> String {
        let lines = text.lines().map(|line| vec![line.to_owned()]);
        headless(&[Align::Left], lines, self)
    }
}

/// What cautions are about, a word or two each.
fn topics(cautions: &[Note], look: &Look) -> String {
    joined(cautions, "; ", |note| {
        let said = look.units.say(&note.text);
        said.split(':').next().unwrap_or_default().to_owned()
    })
}

/// The notes that belong to an answer: warnings and cautions.
fn warnings(all: &[Note], look: &Look) -> String {
    notes(all.iter().filter(|note| note.kind != NoteKind::Note), look)
}

/// The notes that stand behind an answer.
fn remarks(all: &[Note], look: &Look) -> String {
    notes(all.iter().filter(|note| note.kind == NoteKind::Note), look)
}

/// Notes below a table; warnings and cautions say what they are in words.
fn notes<'n>(notes: impl IntoIterator<Item = &'n Note>, look: &Look) -> String {
    let mut sheet = Sheet::new(&[("", Align::Left), ("", Align::Left)]);
    for note in notes {
        let (word, tint) = match note.kind {
            NoteKind::Note => ("note", None),
            NoteKind::Warning => ("warning", Some(Color::Yellow)),
            NoteKind::Caution => ("CAUTION", Some(Color::Red)),
        };
        let said = look.units.say(&note.text);
        let text = match note.source.as_str() {
            "" => said,
            source => format!("{said} [{source}]"),
        };
        sheet.tinted(vec![(word.to_string(), tint), (text, None)]);
    }
    match sheet.is_empty() {
        true => String::new(),
        false => format!("\n{}", sheet.render(look)),
    }
}
