//! Work list, seed order, assumptions, sources, cautions.

use chrono::{Datelike, Days, NaiveDate};
use maud::{Markup, html};

use super::table::Grid;
use crate::output::tasks::{Task, TaskKind, seed_order, tasks};
use crate::output::text::{fixed, short_date};
use crate::output::units::Units;
use crate::output::view::{DefaultRow, Note, NoteKind, PlanView, SourceRow};

/// The work by week, with a box to tick for each task.
pub(super) fn work(plan: &PlanView, units: Units) -> Markup {
    let tasks = tasks(plan);
    html! {
        ol.work {
            @for week in tasks.chunk_by(|a, b| a.row.date.iso_week() == b.row.date.iso_week()) {
                li {
                    h3 { "Week of " (week.first().map(|task| monday(task.row.date).to_string()).unwrap_or_default()) }
                    ul {
                        @for task in week.iter().filter(|task| !is_picking(task)) { (item(task, units)) }
                        @for task in week.iter().filter(|task| is_picking(task)) { (item(task, units)) }
                    }
                }
            }
        }
    }
}

fn is_picking(task: &Task) -> bool {
    matches!(task.kind, TaskKind::FirstPick | TaskKind::Pick)
}

/// First day of the week (ISO 8601: Monday) in which a day lies.
fn monday(date: NaiveDate) -> NaiveDate {
    let since = u64::from(date.weekday().num_days_from_monday());
    date.checked_sub_days(Days::new(since)).unwrap_or(date)
}

fn item(task: &Task, units: Units) -> Markup {
    let row = &task.row;
    html! {
        li {
            span.tick aria-hidden="true" { "☐ " }
            (row.date.format("%a").to_string()) " " (short_date(row.date)) ": "
            (row.task) " " b { (row.crop_name) } ", " (row.bed) ", " (row.amount_words(units))
            @if !row.note.is_empty() { ", " (row.note) }
        }
    }
}

/// Seed to order.
pub(super) fn seeds(plan: &PlanView, units: Units) -> Markup {
    let area = format!("Area {}", units.area_unit());
    let mut grid = Grid::new(
        "Seed to order",
        &["Crop", "Sowings", &area, "Seeds", "Needed by"],
    );
    for order in seed_order(plan) {
        grid.row(vec![
            order.crop_name.clone(),
            order.sowings.to_string(),
            fixed(units.area(order.area_m2), 1),
            order
                .seeds
                .map(|seeds| fixed(seeds.ceil(), 0))
                .unwrap_or_default(),
            order.needed_by.to_string(),
        ]);
    }
    grid.scrolling()
}

/// What was assumed in the person's name.
pub(super) fn assumptions(rows: &[DefaultRow], units: Units) -> Markup {
    let mut grid = Grid::new(
        "Assumed, as the file does not say",
        &["Key", "Assumed", "From"],
    )
    .words(&[1, 2]);
    for row in rows {
        grid.row(vec![
            row.key.clone(),
            units.say(&row.assumed),
            row.source.clone(),
        ]);
    }
    grid.scrolling()
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
pub(super) fn notes(notes: &[Note], units: Units) -> Markup {
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
