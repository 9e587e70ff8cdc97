//! Take away: two sheets to print, the work as CSV and calendar, the project file, the whole report.

use maud::{DOCTYPE, Markup, html};

use super::lanes::draw;
use super::state_of;
use crate::output::html::part;
use crate::output::ical::{self, CalendarStyle};
use crate::output::{csv_out, tasks};
use crate::page::ask::Planned;
use crate::page::desk::Seen;

pub struct Taken {
    /// Its media type.
    pub kind: &'static str,
    /// Name that it is saved under; none for what the browser shows.
    pub file: Option<&'static str>,
    pub text: String,
}

/// What there is: address, words, and what it is good for.
const THINGS: [(&str, &str, &str); 5] = [
    (
        "sheets",
        "Two sheets to print",
        "the beds through the year, and the work with the seed order: pin them up",
    ),
    (
        "beds.csv",
        "Work as CSV",
        "every task with its day and bed, for a spreadsheet",
    ),
    (
        "plan.csv",
        "Sowings as CSV",
        "every sowing with its days and its harvest",
    ),
    (
        "beds.ics",
        "Calendar",
        "every task as an entry for the phone (iCalendar)",
    ),
    (
        "project.toml",
        "The project file",
        "as it now is on this page, saved or not",
    ),
];

pub fn view(seen: &Seen) -> Markup {
    let slot = &seen.answers.plan;
    let there = slot.value.is_some() && !slot.rough;
    html! {
        (state_of(seen, slot))
        p.answer { "The plan on paper, in a spreadsheet or on the phone." @if seen.draft.is_changed() || seen.is_new { " What is not saved yet is in it." } }
        ul.things {
            @for (name, words, what) in THINGS {
                li {
                    @if there || name == "project.toml" { a href={ "/take/" (name) } target=[(name == "sheets").then_some("_blank")] { (words) } }
                    @else { b { (words) } }
                    span.quiet { ": " (what) @if !there && name != "project.toml" { ", once there is a plan" } "." }
                }
            }
        }
    }
}

/// A thing of that name; none where there is no such thing, or no plan yet.
pub fn take_away(seen: &Seen, what: &str) -> Option<Taken> {
    let slot = &seen.answers.plan;
    let planned = slot.value.as_ref().filter(|_| !slot.rough);
    let taken = |kind, file, text| Some(Taken { kind, file, text });
    match what {
        "project.toml" => {
            let text = seen.draft.now.text.clone();
            taken("application/toml", Some("project.toml"), text)
        }
        "beds.csv" => {
            let text = csv_out::table_text(&tasks::sheet(&planned?.view, seen.units)).ok()?;
            taken("text/csv", Some("beds.csv"), text)
        }
        "plan.csv" => {
            let text = csv_out::to_string(&planned?.view.planting_rows()).ok()?;
            taken("text/csv", Some("plan.csv"), text)
        }
        "beds.ics" => {
            let style = CalendarStyle {
                reminder_hour: None,
                units: seen.units,
            };
            let text = ical::render(&planned?.view, &[], style);
            taken("text/calendar", Some("beds.ics"), text)
        }
        "sheets" => taken("text/html", None, sheets(seen, planned?).into_string()),
        _ => None,
    }
}

/// The two sheets, on a page of their own.
fn sheets(seen: &Seen, planned: &Planned) -> Markup {
    let name = &seen.ready.job.project.name;
    let view = &planned.view;
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "Sheets: " (name) }
                link rel="stylesheet" href="/style.css";
            }
            body.sheets {
                main {
                    h1 { (name) }
                    p.on-screen { "Print this page: it fills two sheets or a few more. " a href="/take" { "Back" } }
                    section.sheet aria-label="Beds through the year" {
                        h2 { "Which bed, when: from " (view.start) }
                        (draw(seen, view, ("", "lanes", false)))
                    }
                    section.sheet aria-label="Work and seed" {
                        h2 { "The work" }
                        (part::work(view, seen.units))
                        h2 { "Seed to order" }
                        (part::seeds(view, seen.units))
                    }
                }
            }
        }
    }
}
