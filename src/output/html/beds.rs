//! The beds through the weeks.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Datelike, NaiveDate};
use maud::{Markup, html};

use super::chart::{
    BOTTOM, Chart, RIGHT, Scale, Spot, WIDTH, feet, month_feet, month_stretches, place,
};
use crate::calendar::WEEKS_PER_YEAR;
use crate::output::lanes::{BedLanes, Strip, codes, day_of_week, lanes};
use crate::output::text::{percent, short_date};
use crate::output::units::Units;
use crate::output::view::{PlanView, PlantingRow};

/// Height of the months' names above.
const HEADS: f64 = 12.0;
/// Height of a lane.
const LANE: f64 = 11.5;
/// Gap below a bed.
const GAP: f64 = 3.0;
/// Least and most room at the left for the names of beds and sections.
const LABELS: (f64, f64) = (20.0, 130.0);
/// Hues of the style sheet; names and codes tell families apart where hues repeat.
const HUES: usize = 12;
/// Width of a letter as shown on a wide and on a narrow screen, in units of the drawing.
const LETTER_WIDE: f64 = 3.9;
const LETTER_NARROW: f64 = 5.6;
/// Room that words need beside themselves.
const MARGIN: f64 = 3.0;

/// Months over the weeks of the chart.
pub(super) fn months_of_weeks(start: NaiveDate) -> Vec<(usize, usize, &'static str)> {
    let weeks = 0..WEEKS_PER_YEAR;
    let months: Vec<u32> = weeks.map(|week| day_of_week(start, week).month()).collect();
    month_stretches(&months, 3)
}

/// The chart of beds against weeks, months named above and below.
pub(super) fn chart(view: &PlanView, units: Units) -> Markup {
    let families: BTreeSet<&str> = view
        .plantings
        .iter()
        .map(|planting| planting.row.family.as_str())
        .collect();
    let hues: BTreeMap<&str, usize> = families
        .iter()
        .zip(0..)
        .map(|(family, number)| (*family, number % HUES))
        .collect();
    let beds = lanes(view, view.start);
    let longest = beds.iter().flat_map(|bed| {
        let lanes = bed.lanes.iter().enumerate();
        lanes.map(|(number, lane)| label_of(bed, number, &lane.sections).chars().count())
    });
    let letters = longest.max().unwrap_or(0) as f64;
    let labels = (letters * LETTER_NARROW).clamp(LABELS.0, LABELS.1);
    let across = Scale::new((0.0, WEEKS_PER_YEAR as f64), (labels, WIDTH - RIGHT));
    let height_of = |bed: &BedLanes| LANE * bed.lanes.len() as f64 + GAP;
    let height = HEADS + beds.iter().map(height_of).sum::<f64>() + BOTTOM;
    let feet = feet(&months_of_weeks(view.start), &across);
    let mut spots = Vec::new();
    let mut rows = Vec::new();
    let mut top = HEADS;
    for bed in &beds {
        for (number, lane) in bed.lanes.iter().enumerate() {
            let y = top + LANE * number as f64;
            let name = label_of(bed, number, &lane.sections);
            rows.push((name, y, lane));
            for strip in &lane.strips {
                spots.extend(strip.used.iter().map(|run| Spot {
                    x: across.at(run.0 as f64),
                    y,
                    width: across.at(run.1 as f64) - across.at(run.0 as f64),
                    height: LANE,
                    words: words(strip.row, units),
                }));
            }
        }
        top += height_of(bed);
    }
    let drawing = html! {
        @for (from, _, _) in &feet { line.month-line x1=(place(*from)) x2=(place(*from)) y1=(place(HEADS)) y2=(place(height - BOTTOM)) {} }
        @for (from, to, name) in &feet { text.month-head x=(place((from + to) / 2.0)) y="8" text-anchor="middle" { (name) } }
        @for (name, y, lane) in &rows {
            text.row-name x=(place(labels - 3.0)) y=(place(y + 8.5)) text-anchor="end" { (name) }
            rect.lane x=(place(labels)) y=(place(*y)) width=(place(WIDTH - RIGHT - labels)) height=(place(LANE - 1.5)) {}
            @for strip in &lane.strips { (bars(strip, *y, &across, &hues)) }
        }
        (month_feet(&feet, height))
    };
    let keys = html! {
        ul.legend {
            li { span.sample.growing {} " in the bed" }
            li { span.sample.picking {} " weeks of picking" }
            @for (family, hue) in &hues { li { span.crop-key.(format!("hue-{hue}")) { "\u{a0}" } " " (family) } }
        }
        p.key {
            @for (number, (code, name)) in codes(view).iter().enumerate() {
                @if number > 0 { "; " }
                b { (code) } " " (name)
            }
            "."
        }
    };
    let chart = Chart {
        id: "beds-chart",
        title: "The beds through the year".to_string(),
        about: format!(
            "What stands in each section of each bed in the 52 weeks from {}{}; coloured by family, so that rotation shows.",
            short_date(view.start),
            if view.repeats {
                ", a year that repeats: what passes its end comes in at its start"
            } else {
                ""
            },
        ),
        keys,
        height,
        drawing,
        spots,
        ..Chart::default()
    };
    chart.render()
}

/// Name of a lane: the bed at its first, the sections at each.
fn label_of(bed: &BedLanes, number: usize, sections: &str) -> String {
    match (number, sections) {
        (0, "") => bed.bed.to_owned(),
        (0, sections) => format!("{} · {sections}", bed.bed),
        (_, sections) => sections.to_owned(),
    }
}

fn bars(strip: &Strip, y: f64, across: &Scale, hues: &BTreeMap<&str, usize>) -> Markup {
    let row = strip.row;
    let name = &row.crop_name;
    let hue = hues.get(row.family.as_str()).copied().unwrap_or(0);
    html! {
        g class=(format!("hue-{hue}")) {
            @for (from, to) in &strip.used {
                @let x = across.at(*from as f64);
                @let width = across.at(*to as f64) - x;
                rect.growing x=(place(x)) y=(place(y)) width=(place(width)) height=(place(LANE - 1.5)) {}
                @for (first, last) in strip.picked.iter().filter(|(first, last)| first < to && from < last) {
                    @let pick = across.at(*first.max(from) as f64);
                    rect.picking x=(place(pick)) y=(place(y + LANE - 4.1)) width=(place(across.at(*last.min(to) as f64) - pick)) height="2.6" {}
                }
                @let fits = |letter: f64, words: &str| width > words.chars().count() as f64 * letter + MARGIN;
                @for (class, letter) in [("wide-only", LETTER_WIDE), ("narrow-only", LETTER_NARROW)] {
                    @if fits(letter, name) { (label(x, y, class, name)) }
                    @else if fits(letter, &row.code) { (label(x, y, class, &row.code)) }
                }
            }
        }
    }
}

fn label(x: f64, y: f64, class: &str, words: &str) -> Markup {
    html! { text.bar-name.(class) x=(place(x + MARGIN / 2.0)) y=(place(y + 7.0)) { (words) } }
}

/// All of a planting in words.
fn words(row: &PlantingRow, units: Units) -> String {
    let area = units.said(row.area_m2, "m2", 1);
    let mut parts = vec![
        format!("{} in {}, {area}", row.crop_name, row.place()),
        format!("{} {}", row.begun().0, short_date(row.begun().1)),
    ];
    if let Some(date) = row.transplant.filter(|date| *date != row.begun().1) {
        parts.push(format!("set out {}", short_date(date)));
    }
    if let Some((first, last)) = row.first_harvest.zip(row.last_harvest) {
        parts.push(format!(
            "picked {} to {}, {}",
            short_date(first),
            short_date(last),
            units.said(row.harvest_kg, "kg", 1)
        ));
    }
    parts.push(format!(
        "comes through in {} of years",
        percent(row.in_all, 0)
    ));
    parts.join("; ")
}
