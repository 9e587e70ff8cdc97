//! Tables and lists: of any view, crops against months, the work, sources, notes.

use maud::{Markup, html};

use crate::calendar::MONTH_HEADS;
use crate::output::tables::season::{LEGEND, letter};
use crate::output::tables::{self, DataTable, Head};
use crate::output::text::{capital, short_date};
use crate::output::units::Units;
use crate::output::view::{Note, PlanView, SeasonView, SourceRow};
use crate::output::work::{trays, weeks};
use crate::words::Word;

/// A table with heads under a caption; the first column names the row, those of `words` stand at the left, the others hold figures.
/// Nothing at all where it has no rows.
pub(super) fn grid(
    caption: &str,
    heads: &[String],
    rows: &[Vec<String>],
    words: &[usize],
) -> Markup {
    let class = |column: usize| (column > 0 && !words.contains(&column)).then_some("number");
    html! {
        @if !rows.is_empty() {
            table {
                caption { span { (caption) } }
                thead { tr {
                    @for (column, head) in heads.iter().enumerate() {
                        @if head.trim().is_empty() { td {} }
                        @else { th scope="col" class=[class(column)] { (head) } }
                    }
                } }
                tbody {
                    @for row in rows {
                        tr {
                            @for (column, cell) in row.iter().enumerate() {
                                @if column == 0 && !cell.is_empty() { th scope="row" { (cell) } }
                                @else if words.contains(&column) { td { div.words { (cell) } } }
                                @else { td.number { (cell) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// A table of a view, with what its heads mean; nothing where it has no rows.
pub fn draw(table: &DataTable, units: Units) -> Markup {
    let said = table.said(units);
    let head = |head: &Head| match (head.words.trim(), head.unit.as_str()) {
        (words, "") => words.to_owned(),
        (words, unit) => format!("{words}, {unit}"),
    };
    let heads: Vec<String> = said.heads.iter().map(head).collect();
    let words = said.heads.iter().enumerate();
    let words: Vec<usize> = words
        .filter(|(_, head)| !head.number)
        .map(|(at, _)| at)
        .collect();
    html! {
        @if !table.rows.is_empty() {
            div.scroll tabindex="0" role="region" aria-label=(table.title) { (grid(&table.title, &heads, &said.rows, &words)) }
            @if !said.note.is_empty() { p.key { (said.note) } }
            @if !said.footnotes.is_empty() { ol.key { @for note in &said.footnotes { li { (note) } } } }
        }
    }
}

/// All tables that are shown together.
pub(super) fn draw_all(tables: &[DataTable], units: Units) -> Markup {
    html! { @for table in tables.iter().filter(|table| !table.by_name) { (draw(table, units)) } }
}

/// The work by week, grouped by bed, with a box to tick for each line.
pub fn work(plan: &PlanView, units: Units) -> Markup {
    html! {
        ol.work {
            @for week in weeks(plan, units) {
                li {
                    h3 { (short_date(week.day)) }
                    ul { @for line in &week.lines { li { @if !line.place.is_empty() { b { (line.place) } ": " } (line.work) } } }
                }
            }
        }
        p { (trays(plan, units)) }
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
                    li class=(note.kind.word()) {
                        b { (capital(note.kind.word())) ": " } (units.say(&note.text))
                        @if !note.source.is_empty() { " " span.source { "(" (note.source) ")" } }
                    }
                }
            }
        }
    }
}

/// The whole section.
pub fn section(view: &SeasonView, units: Units) -> Markup {
    html! {
        (matrix(view, units))
        @for table in tables::season(view).iter().filter(|table| table.name != "letters" && !table.by_name) {
            (draw(table, units))
        }
    }
}

fn matrix(view: &SeasonView, units: Units) -> Markup {
    html! {
        div.scroll tabindex="0" role="region" aria-label="Table: crops against months" {
            table.season {
                caption { span { "Crops against months in " (view.place) } }
                thead { tr {
                    th scope="col" { "Crop" }
                    @for head in MONTH_HEADS { th scope="col" { (head) } }
                } }
                tbody {
                    @for crop in &view.crops {
                        tr {
                            th scope="row" { (crop.name) }
                            @for month in &crop.months {
                                @let letter = letter(month.state, month.sow);
                                td.state.(state_class(letter)) title=[month.cause.as_ref().map(|cause| units.say(cause))] { (letter) }
                            }
                        }
                    }
                }
            }
        }
        ul.legend {
            @for (letter, meaning) in LEGEND { li { span.state.(state_class(letter)) { (letter) } " " (meaning) } }
        }
    }
}

/// Style class of a letter.
fn state_class(letter: &str) -> &'static str {
    match letter {
        "P" => "state-pick",
        "S" => "state-sow",
        "B" => "state-both",
        "=" => "state-stand",
        "g" => "state-grow",
        _ => "state-no",
    }
}
