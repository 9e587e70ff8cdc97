//! The beds through the weeks, the plantings, and what is missing.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};
use maud::{Markup, html};

use super::chart::{BOTTOM, Chart, RIGHT, Spot, WIDTH, month_feet, place};
use super::scale::Scale;
use super::table::Grid;
use crate::calendar::WEEKS_PER_YEAR;
use crate::crops::COMES_THROUGH;
use crate::output::chances::MISSING;
use crate::output::lanes::{BedLanes, Letters, Strip, day_of_week, lanes, letters};
use crate::output::text::{fixed, money_decimals, month_head, percent};
use crate::output::units::Units;
use crate::output::view::{PlanView, PlantingRow};

/// Height of a bed's name.
const NAME: f64 = 14.0;
/// Height of a lane.
const LANE: f64 = 17.0;
/// Gap below a bed.
const GAP: f64 = 4.0;
/// Left edge of the lanes.
const EDGE: f64 = 4.0;
/// Hues of the style sheet; letters tell crops apart where hues repeat.
const HUES: usize = 8;
/// Width of a letter as shown on a wide and on a narrow screen, in units of the drawing.
const LETTER_WIDE: f64 = 3.6;
const LETTER_NARROW: f64 = 5.6;
/// Room that words need beside themselves.
const MARGIN: f64 = 4.0;

/// The whole section.
pub(super) fn section(view: &PlanView, units: Units) -> Markup {
    html! {
        (worth(view))
        (chart(view, units))
        (gaps(view, units))
    }
}

fn worth(view: &PlanView) -> Markup {
    let decimals = money_decimals(&[view.value, view.bound]);
    html! {
        dl.figures {
            div { dt { "Worth of the plan" } dd { (fixed(view.value, decimals)) " " (view.currency) } }
            div { dt { "No plan is worth more than" } dd { (fixed(view.bound, decimals)) " " (view.currency) } }
            div {
                dt { "Gap between them" }
                dd {
                    (fixed((view.bound - view.value).max(0.0), decimals)) " " (view.currency)
                    @if view.value > 0.0 { " (" (percent(view.gap, 1)) ")" }
                    @if view.value == 0.0 && view.bound <= 0.0 { " (no plan pays)" }
                }
            }
            @if let Some(median) = view.replayed_value_p50 {
                div {
                    dt { "Replayed through the weather years" }
                    dd {
                        (fixed(median, decimals)) " " (view.currency)
                        @if let Some(spread) = view.replayed_value {
                            " (" (fixed(spread.p10, decimals)) " to " (fixed(spread.p90, decimals)) ")"
                        }
                    }
                }
            }
        }
    }
}

/// Months over the weeks of the chart.
pub(super) fn month_stretches(start: NaiveDate) -> Vec<(usize, usize, &'static str)> {
    let months: Vec<u32> = (0..WEEKS_PER_YEAR)
        .map(|week| day_of_week(start, week).month())
        .collect();
    let mut from = 0;
    months
        .chunk_by(|a, b| a == b)
        .map(|run| {
            let start = from;
            from += run.len();
            // A month of one or two weeks at an end has no room for its name.
            let name = if run.len() > 2 {
                run.first().map_or("", |month| month_head(*month))
            } else {
                ""
            };
            (start, from, name)
        })
        .collect()
}

fn chart(view: &PlanView, units: Units) -> Markup {
    let letters = letters(view);
    let hues: BTreeMap<&str, usize> = letters
        .keys()
        .zip(0..)
        .map(|(crop, number)| (*crop, number % HUES))
        .collect();
    let across = Scale::new((0.0, WEEKS_PER_YEAR as f64), (EDGE, WIDTH - RIGHT));
    let beds = lanes(view, view.start);
    let height_of = |bed: &BedLanes| NAME + LANE * bed.lanes.len() as f64 + GAP;
    let height = beds.iter().map(height_of).sum::<f64>() + BOTTOM;
    let mut spots = Vec::new();
    let mut top = 0.0;
    let mut tops = Vec::new();
    for bed in &beds {
        tops.push(top);
        for (number, lane) in bed.lanes.iter().enumerate() {
            let y = top + NAME + LANE * number as f64;
            for strip in lane {
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
    let feet: Vec<(f64, f64, &'static str)> = month_stretches(view.start)
        .into_iter()
        .map(|(from, to, name)| (across.at(from as f64), across.at(to as f64), name))
        .collect();
    let drawing = html! {
        @for (from, _, _) in &feet { line.month-line x1=(place(*from)) x2=(place(*from)) y1="0" y2=(place(height - BOTTOM)) {} }
        @for (bed, top) in beds.iter().zip(&tops) {
            text.row-name x=(EDGE) y=(place(top + NAME - 4.0)) { (bed.bed) }
            @for (number, lane) in bed.lanes.iter().enumerate() {
                @let y = top + NAME + LANE * number as f64;
                rect.lane x=(EDGE) y=(place(y)) width=(place(WIDTH - RIGHT - EDGE)) height=(place(LANE - 2.0)) {}
                @for strip in lane { (bars(strip, y, &across, &letters, &hues)) }
            }
        }
        (month_feet(&feet, height))
    };
    let keys = html! {
        ul.legend {
            li { span.sample.growing {} " in the bed" }
            li { span.sample.picking {} " weeks of picking" }
            @for (crop, (letter, name)) in &letters {
                li { span.crop-key.(hue(&hues, crop)) { (letter.to_ascii_uppercase()) } " " (name) }
            }
        }
    };
    let chart = Chart {
        id: "beds",
        title: "The beds through the weeks".to_string(),
        about: format!(
            "What stands in each bed in the 52 weeks from {}{}.",
            view.start,
            if view.repeats {
                "; each year repeats, so what passes the end comes in at the start"
            } else {
                ""
            },
        ),
        legend: Vec::new(),
        keys,
        height,
        drawing,
        spots,
        table: plantings(view, units),
    };
    chart.render()
}

fn hue(hues: &BTreeMap<&str, usize>, crop: &str) -> String {
    format!("hue-{}", hues.get(crop).copied().unwrap_or(0))
}

fn bars(
    strip: &Strip,
    y: f64,
    across: &Scale,
    letters: &Letters,
    hues: &BTreeMap<&str, usize>,
) -> Markup {
    let crop = strip.row.crop.as_str();
    let letter = letters
        .get(crop)
        .map_or('+', |(letter, _)| letter.to_ascii_uppercase());
    let name = &strip.row.crop_name;
    html! {
        g class=(hue(hues, crop)) {
            @for (from, to) in &strip.used {
                @let x = across.at(*from as f64);
                @let width = across.at(*to as f64) - x;
                rect.growing x=(place(x)) y=(place(y)) width=(place(width)) height=(place(LANE - 2.0)) {}
                @for (first, last) in strip.picked.iter().filter(|(first, last)| first < to && from < last) {
                    @let pick = across.at(*first.max(from) as f64);
                    rect.picking x=(place(pick)) y=(place(y + LANE - 6.5)) width=(place(across.at(*last.min(to) as f64) - pick)) height="4.5" {}
                }
                @let fits = |letter: f64| width > name.chars().count() as f64 * letter + MARGIN;
                (label(x, y, "wide-only", if fits(LETTER_WIDE) { name.clone() } else { letter.to_string() }))
                (label(x, y, "narrow-only", if fits(LETTER_NARROW) { name.clone() } else { letter.to_string() }))
            }
        }
    }
}

fn label(x: f64, y: f64, class: &str, words: String) -> Markup {
    html! { text.bar-name.(class) x=(place(x + MARGIN / 2.0)) y=(place(y + 8.5)) { (words) } }
}

/// All of a planting in words.
fn words(row: &PlantingRow, units: Units) -> String {
    let mut parts = vec![
        format!(
            "{} in {}, {} {}",
            row.crop_name,
            row.bed,
            fixed(units.area(row.area_m2), 1),
            units.area_unit()
        ),
        format!("sown {}", row.sow),
    ];
    if let Some(date) = row.transplant {
        parts.push(format!("set out {date}"));
    }
    if let Some((first, last)) = row.first_harvest.zip(row.last_harvest) {
        let kg = fixed(units.mass(row.harvest_kg), 1);
        parts.push(format!(
            "picked {first} to {last}, {kg} {}",
            units.mass_unit()
        ));
    }
    parts.push(format!(
        "comes through in {} of years by the weather, in {} in all",
        percent(row.survival, 0),
        percent(row.in_all, 0)
    ));
    parts.join("; ")
}

fn plantings(view: &PlanView, units: Units) -> Markup {
    let area = format!("Area {}", units.area_unit());
    let mass = format!("Harvest {}", units.mass_unit());
    let heads = [
        "Bed",
        "Crop",
        &area,
        "Way",
        "Sow",
        "Set out",
        "First harvest",
        "Last harvest",
        "Clear",
        "Cover on",
        "Cover off",
        &mass,
        "By the weather",
        "In all",
    ];
    let mut grid = Grid::new("Plantings", &heads).words(&[1, 3]);
    for row in view.plantings.iter().map(|planting| &planting.row) {
        let day = |date: Option<NaiveDate>| date.map(|date| date.to_string()).unwrap_or_default();
        grid.row(vec![
            row.bed.clone(),
            row.crop_name.clone(),
            fixed(units.area(row.area_m2), 1),
            row.way.clone(),
            row.sow.to_string(),
            day(row.transplant),
            day(row.first_harvest),
            day(row.last_harvest),
            day(row.clear),
            day(row.cover_on),
            day(row.cover_off),
            fixed(units.mass(row.harvest_kg), 1),
            percent(row.survival, 0),
            percent(row.in_all, 0),
        ]);
    }
    html! {
        (grid.render())
        p { (COMES_THROUGH) }
    }
}

fn gaps(view: &PlanView, units: Units) -> Markup {
    let missing = format!("Missing {}", units.mass_unit());
    let heads = [
        "Food",
        "From",
        "To",
        &missing,
        "Cause",
        "What would close it",
    ];
    let mut grid = Grid::new("Wishes that are not met", &heads).words(&[4, 5]);
    for gap in &view.gaps {
        grid.row(vec![
            gap.food.clone(),
            gap.from.to_string(),
            gap.to.to_string(),
            fixed(units.mass(gap.missing_kg), 1),
            units.say(&gap.cause),
            units.say(&gap.remedy),
        ]);
    }
    html! {
        @if view.gaps.is_empty() { p { "Every wish is met in every week." } }
        @else { (grid.scrolling()) p { (MISSING) } }
    }
}
