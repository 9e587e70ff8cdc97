//! This week: at most ten lines of work, each with done, later or lost; what was picked; and the rest of the year anew.

use chrono::Days;
use maud::{Markup, html};

use super::field::{act, button, hidden};
use super::{View, state_of};
use crate::output::html::part;
use crate::output::text::{fixed, short_date};
use crate::output::units::Units;
use crate::output::view::{ReviewView, WorkRow};
use crate::page::answers::Need;
use crate::page::desk::Seen;
use crate::page::journal::put_off;

/// Lines shown at first.
const LINES: usize = 10;
/// How far `later` puts off, days.
const LATER_DAYS: u64 = 7;

pub fn view(seen: &Seen) -> Markup {
    let slot = &seen.answers.review;
    html! {
        form.entry method="get" action="/week" {
            label for="day" { "The week from" }
            input type="date" id="day" name="day" value=(seen.day) data-now;
            (button("Show", "quiet"))
        }
        @if seen.answers.plan.error.is_some() { (state_of(seen, &seen.answers.plan)) } @else { (state_of(seen, slot)) }
        @if let Some(view) = &slot.value {
            (answer(seen, view))
            ol.work-lines { @for work in view.work.iter().take(LINES) { (line(seen, work)) } }
            @if view.work.len() > LINES {
                details id="more-work" { summary { (view.work.len() - LINES) " more in the two weeks ahead" }
                    ol.work-lines { @for work in view.work.iter().skip(LINES) { (line(seen, work)) } } }
            }
        }
        (picked(seen))
        @if let Some(view) = &slot.value {
            (so_far(view, seen.units))
            (part::notes(&view.notes, seen.units))
            section aria-labelledby="anew" {
                h2 id="anew" { "When things went otherwise" }
                p { "The rest of the year can be planned anew from what the journal says; you see the list of changes first." }
                @if seen.needs.contains(&Need::Replan) {
                    p.waiting role="status" { "Being planned …" }
                    (act(seen, View::Week, "stop", "Stop", ""))
                } @else {
                    (act(seen, View::Week, "replan", "Plan the rest of the year", ""))
                }
                (super::beds::offer(seen, View::Week))
            }
        }
    }
}

fn answer(seen: &Seen, view: &ReviewView) -> Markup {
    let late = view.work.iter().filter(|work| work.late_days > 0).count();
    html! {
        p.answer {
            @match view.work.len() { 0 => b { "Nothing to do in the two weeks ahead." }, 1 => b { "One thing to do" }, n => b { (n) " things to do" } }
            @if !view.work.is_empty() { " in the two weeks from " (short_date(seen.day)) " on" @if late > 0 { ", " b { (late) " of them late" } } "." }
            @if let Some(start) = seen.answers.plan.value.as_ref().map(|plan| plan.view.start).filter(|start| seen.day < *start) {
                " The year of the plan begins on " (start) "."
            }
            @if view.rows_bad > 0 { " " (view.rows_bad) " rows of the journal cannot be read." }
        }
    }
}

/// Event of the journal that says a piece of work is done.
fn event(task: &str) -> &'static str {
    match task {
        "set out" => "transplanted",
        "clear" => "cleared",
        task if ["sow", "plant", "buy"]
            .iter()
            .any(|begins| task.starts_with(begins)) =>
        {
            "sown"
        }
        _ => "harvested",
    }
}

fn log(seen: &Seen, work: &WorkRow, event: &str, note: &str) -> Markup {
    html! {
        (hidden(seen, View::Week))
        input type="hidden" name="date" value=(seen.day);
        input type="hidden" name="event" value=(event);
        input type="hidden" name="bed" value=(work.bed);
        input type="hidden" name="crop" value=(work.crop_name);
        input type="hidden" name="note" value=(note);
    }
}

fn line(seen: &Seen, work: &WorkRow) -> Markup {
    let units = seen.units;
    let picks = event(&work.task) == "harvested";
    let area = units.said(work.area_m2, "m2", 1);
    let id = format!("kg-{} {} {}", work.due, work.bed, work.crop_name).replace(' ', "-");
    let later = seen.day.checked_add_days(Days::new(LATER_DAYS));
    let later = later.unwrap_or(seen.day);
    html! {
        li {
            p {
                b { (work.task) " " (work.crop_name) } ", " (work.bed) ", " (area)
                span.quiet {
                    @if work.late_days > 0 { ", " (work.late_days) " days late" } @else { ", " (short_date(work.due)) }
                    @if let Some(kg) = work.harvest_kg { ", about " (units.said(kg, "kg", 1)) }
                }
            }
            @if picks {
                form.inline method="post" action="/do/log" {
                    (log(seen, work, "harvested", ""))
                    label for=(id) { "Picked" }
                    input.short type="text" inputmode="decimal" id=(id) name="amount" required autocomplete="off";
                    (mass_unit(units))
                    (button("Done", "main"))
                }
            } @else {
                form.inline method="post" action="/do/log" { (log(seen, work, event(&work.task), "")) (button("Done", "main")) }
            }
            form.inline method="post" action="/do/log" {
                (log(seen, work, "note", &put_off(&work.task, later)))
                (button("Later", ""))
            }
            form.inline method="post" action="/do/log" { (log(seen, work, "lost", "")) (button("Lost", "")) }
        }
    }
}

fn mass_unit(units: Units) -> Markup {
    html! {
        select name="unit" aria-label="Unit" {
            option value="kg" selected[units == Units::Si] { "kg" }
            option value="lb" selected[units == Units::Us] { "lb" }
            option value="g" { "g" }
        }
    }
}

/// Anything else that was picked.
fn picked(seen: &Seen) -> Markup {
    let project = &seen.ready.job.project;
    html! {
        details.more id="log-more" {
            summary { "Write something else into the journal" }
            form.entry method="post" action="/do/log" {
                (hidden(seen, View::Week))
                label for="log-date" { "Day" } input type="date" id="log-date" name="date" value=(seen.day);
                label for="log-event" { "What" }
                select id="log-event" name="event" { @for event in ["harvested", "sown", "transplanted", "lost", "cleared", "note"] { option value=(event) { (event) } } }
                label for="log-bed" { "Bed" }
                select id="log-bed" name="bed" { option value="" { "none" } @for bed in &project.beds { option value=(bed.name) { (bed.name) } } }
                label for="log-crop" { "Crop" }
                select id="log-crop" name="crop" { option value="" { "none" } @for crop in seen.ready.job.table.iter() { option value=(crop.id) { (crop.name) } } }
                label for="log-amount" { "How much" } input.short type="text" id="log-amount" name="amount" autocomplete="off" placeholder="1.2 kg";
                label for="log-note" { "Note" } input type="text" id="log-note" name="note" autocomplete="off";
                (button("Write", ""))
            }
        }
    }
}

fn so_far(view: &ReviewView, units: Units) -> Markup {
    let mass = |kg: f64| units.said(kg, "kg", 1);
    let money = &view.to_date;
    html! {
        @if view.rows_used > 0 {
            p { "From " (short_date(view.from)) " to " (short_date(view.at)) " the plan had " (mass(view.planned_kg)) " and " b { (mass(view.picked_kg)) " were picked" }
                ", worth " (fixed(money.saved, 0)) " " (view.currency) "." }
        }
    }
}
