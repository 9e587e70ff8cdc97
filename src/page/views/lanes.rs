//! Beds through the weeks with every planting as a link: coloured by family, months along the top.

use std::collections::BTreeMap;

use maud::{Markup, html};

use super::field::escaped;
use super::one;
use crate::calendar::WEEKS_PER_YEAR;
use crate::output::lanes::{BedLanes, Strip, day_of_week, lanes};
use crate::output::text::{month_head, percent};
use crate::output::units::Units;
use crate::output::view::{PlanView, PlantingRow};
use crate::page::desk::Seen;
use crate::page::plan::key_of_row;
use chrono::Datelike;

/// Width of the drawing, units of its own.
const WIDTH: f64 = 720.0;
/// Left edge of the lanes.
const EDGE: f64 = 4.0;
/// Height of a bed's name, a lane, and the gap below a bed.
const NAME: f64 = 14.0;
const LANE: f64 = 20.0;
const GAP: f64 = 4.0;
/// Height of the months.
const MONTHS: f64 = 16.0;
/// Hues of the style sheet.
const HUES: usize = 8;
/// Width of a letter, and room beside a word.
const LETTER: f64 = 6.0;
const MARGIN: f64 = 6.0;
const LOCK: f64 = 12.0;

/// The planting that is looked at, by its key, empty for none; the drawing's anchor, unique on the page; whether plantings can be chosen.
pub type Show<'s> = (&'s str, &'s str, bool);

fn x(week: usize) -> f64 {
    EDGE + (WIDTH - 2.0 * EDGE) * week as f64 / WEEKS_PER_YEAR as f64
}

/// Families of the plan's crops, in order, with the hue of each.
fn families(view: &PlanView) -> BTreeMap<&str, usize> {
    let rows = view.plantings.iter().map(|planting| &planting.row);
    let mut found: BTreeMap<&str, usize> = rows.map(|row| (row.family.as_str(), 0)).collect();
    for (number, hue) in found.values_mut().enumerate() {
        *hue = number % HUES;
    }
    found
}

pub fn draw(seen: &Seen, view: &PlanView, show: Show<'_>) -> Markup {
    let (_, id, links) = show;
    let families = families(view);
    let hue = |row: &PlantingRow| families.get(row.family.as_str()).copied().unwrap_or(0);
    let beds = lanes(view, view.start);
    let height_of = |bed: &BedLanes<'_>| NAME + LANE * bed.lanes.len() as f64 + GAP;
    let mut tops = Vec::new();
    let mut height = 0.0;
    for bed in &beds {
        tops.push(height);
        height += height_of(bed);
    }
    let title = format!("{id}-title");
    html! {
        div.lanes-box tabindex="0" role="group" aria-label="Beds through the year" {
            svg.months viewBox={ "0 0 " (WIDTH) " " (MONTHS) } aria-hidden="true" { (months(view)) }
            svg.lanes id=(id) viewBox={ "0 0 " (WIDTH) " " (one(height)) } role="group" aria-labelledby=(title)
                data-start=(view.start) data-weeks=(WEEKS_PER_YEAR) {
                title id=(title) { "What stands in each bed in the 52 weeks from " (view.start) }
                @for (bed, top) in beds.iter().zip(&tops) {
                    g.bed data-bed=(bed.bed) {
                        text.row-name x=(EDGE) y=(one(top + NAME - 3.0)) { (bed.bed) }
                        @for (number, lane) in bed.lanes.iter().enumerate() {
                            @let y = top + NAME + LANE * number as f64;
                            rect.lane x=(EDGE) y=(one(y)) width=(one(WIDTH - 2.0 * EDGE)) height=(one(LANE - 2.0)) {}
                            @for strip in over_the_turn_first(&lane.strips) { (bar(seen, strip, y, hue(strip.row), show)) }
                        }
                    }
                }
            }
            ul.legend {
                @for (family, hue) in &families { li { span class={ "crop-key hue-" (hue) } {} " " (family) } }
                li { span.sample.picking {} " weeks of picking" }
                @if links { li { svg.lock-key viewBox="0 0 10 12" aria-hidden="true" { (lock(0.0, 0.0)) } " locked" } }
            }
        }
    }
}

/// What runs over the turn of the year lies below what follows it: a bed cleared in the week in which the next is sown.
fn over_the_turn_first<'s, 'v>(strips: &'s [Strip<'v>]) -> Vec<&'s Strip<'v>> {
    let mut order: Vec<&Strip<'v>> = strips.iter().collect();
    order.sort_by_key(|strip| strip.used.len() < 2);
    order
}

fn months(view: &PlanView) -> Markup {
    let month = |week| day_of_week(view.start, week).month();
    let months: Vec<u32> = (0..WEEKS_PER_YEAR).map(month).collect();
    let mut from = 0;
    let mut runs = Vec::new();
    for run in months.chunk_by(|a, b| a == b) {
        runs.push((from, from + run.len(), run.first().copied().unwrap_or(1)));
        from += run.len();
    }
    html! {
        @for (from, to, month) in &runs {
            line.month-line x1=(one(x(*from))) x2=(one(x(*from))) y1="0" y2=(MONTHS) {}
            @if to - from > 2 { text x=(one((x(*from) + x(*to)) / 2.0)) y="11" text-anchor="middle" { (month_head(*month)) } }
        }
    }
}

fn bar(seen: &Seen, strip: &Strip<'_>, y: f64, hue: usize, (at, _, links): Show<'_>) -> Markup {
    let row = strip.row;
    let key = key_of_row(row);
    let locked = seen.draft.now.locked.contains(&key);
    let here = at == key;
    let words = in_words(row, seen.units);
    let class = format!("bar hue-{hue}{}", if here { " here" } else { "" });
    let movable = links && !locked && row.way != "standing";
    let drawn = html! {
        title { (words) }
        @for (from, to) in &strip.used {
            @let width = x(*to) - x(*from);
            rect.growing x=(one(x(*from))) y=(one(y)) width=(one(width)) height=(one(LANE - 2.0)) {}
            @for (first, last) in strip.picked.iter().filter(|(first, last)| first < to && from < last) {
                @let pick = x(*first.max(from));
                rect.picking x=(one(pick)) y=(one(y + LANE - 6.5)) width=(one(x(*last.min(to)) - pick)) height="4.5" {}
            }
            @let aside = if locked { LOCK } else { 0.0 };
            @let fits = width > row.crop_name.chars().count() as f64 * LETTER + MARGIN + aside;
            @let name = if fits { row.crop_name.clone() } else { row.crop_name.chars().take(((width - MARGIN - aside) / LETTER).max(1.0) as usize).collect() };
            @if locked { (lock(x(*from) + MARGIN / 2.0, y + 1.0)) }
            text.bar-name x=(one(x(*from) + MARGIN / 2.0 + aside)) y=(one(y + 11.0)) { (name) }
        }
    };
    html! {
        @if links {
            a class=(class) href={ "/beds?at=" (escaped(&key)) "#chosen" } data-key=[movable.then_some(&key)] { (drawn) }
        } @else {
            g class=(class) { (drawn) }
        }
    }
}

/// A padlock, its upper left corner at a place.
fn lock(left: f64, top: f64) -> Markup {
    html! {
        g.lock transform={ "translate(" (one(left)) " " (one(top)) ")" } {
            rect x="1" y="5" width="8" height="6" {}
            path d="M2.5 5V3.5a2.5 2.5 0 0 1 5 0V5" {}
        }
    }
}

pub fn in_words(row: &PlantingRow, units: Units) -> String {
    let area = units.said(row.area_m2, "m2", 1);
    let (crop, place, (begun, first)) = (&row.crop_name, row.place(), row.begun());
    let mut words = format!("{crop} in {place}, {area}, {begun} {first}");
    if let Some(day) = row.transplant.filter(|day| *day != first) {
        words.push_str(&format!(", set out {day}"));
    }
    if let (Some(first), Some(last)) = (row.first_harvest, row.last_harvest) {
        let mass = units.said(row.harvest_kg, "kg", 1);
        words.push_str(&format!(", picked {first} to {last}, {mass}"));
    }
    if let Some(day) = row.clear {
        words.push_str(&format!(", bed free {day}"));
    }
    let share = percent(row.survival, 0);
    words + &format!(", comes through in {share} of years")
}
