//! Work list, seed order, sources, cautions.

use maud::{Markup, html};

use crate::output::text::short_date;
use crate::output::units::Units;
use crate::output::view::{Note, NoteKind, PlanView, SourceRow};
use crate::output::work::{Week, trays, weeks};

/// The work by week, grouped by bed, with a box to tick for each line.
pub fn work(plan: &PlanView, units: Units) -> Markup {
    html! {
        ol.work { @for week in weeks(plan, units) { (one_week(&week)) } }
        p { (trays(plan, units)) }
    }
}

fn one_week(week: &Week) -> Markup {
    html! {
        li {
            h3 { (short_date(week.day)) }
            ul { @for line in &week.lines { li { @if !line.place.is_empty() { b { (line.place) } ": " } (line.work) } } }
        }
    }
}

/// Where the figures come from.
pub(super) fn sources(rows: &[SourceRow]) -> Markup {
    html! {
        @if !rows.is_empty() {
            dl.sources {
                @for row in rows { div { dt { (row.figures) } dd { (row.source) } } }
            }
        }
    }
}

/// Notes; warnings and cautions say what they are in words.
pub fn notes(notes: &[Note], units: Units) -> Markup {
    html! {
        @if !notes.is_empty() {
            ul.notes {
                @for note in notes {
                    li class=(class(note.kind)) {
                        b { (word(note.kind)) ": " } (units.say(&note.text))
                        @if !note.source.is_empty() { " " span.source { "(" (note.source) ")" } }
                    }
                }
            }
        }
    }
}

fn word(kind: NoteKind) -> &'static str {
    match kind {
        NoteKind::Note => "Note",
        NoteKind::Warning => "Warning",
        NoteKind::Caution => "Caution",
    }
}

fn class(kind: NoteKind) -> &'static str {
    match kind {
        NoteKind::Note => "note",
        NoteKind::Warning => "warning",
        NoteKind::Caution => "caution",
    }
}
