//! The year inside: temperatures, light, day length, the heat balance.

use chrono::Datelike;
use maud::{Markup, html};

use super::chart::{
    self, BOTTOM, Chart, Key, LEFT, RIGHT, Scale, Spot, TOP, WIDTH, area, level_lines, line,
    month_feet, month_stretches, place,
};
use super::lists::{draw_all, grid};
use super::strips::heat;
use crate::output::answer::{coldest, heater_words};
use crate::output::tables;
use crate::output::text::{fixed, short_date};
use crate::output::units::Units;
use crate::output::view::{ClimateDay, ClimateView};

/// Days that one reading of a daily chart spans.
const DAYS_PER_READING: usize = 7;
/// Height of the large chart.
const TALL: f64 = 230.0;
/// Height of the small charts.
const LOW: f64 = 130.0;

/// The whole section.
pub fn section(view: &ClimateView, units: Units) -> Markup {
    html! {
        p { "Coldest night: " (coldest(view, units)) }
        @if view.weather_years > 0 {
            p {
                "Every figure of the tables is the median of " (view.weather_years) " weather years. Drawn: "
                (view.year_shown) "; beside it " (view.hard_year_shown) "."
            }
        }
        @if view.heater.is_some() { p { (heater_words(view, units)) } }
        @if !view.days.is_empty() {
            (temperatures(&view.days, units).render())
            div.pair {
                (small("light", "Light at the beds", "mol", "mol/m2 a day, photosynthetic; daily.", &view.days, |day| day.light_mol_m2_day).render())
                (small("day-length", "Day length", "h", "Hours from sunrise to sunset.", &view.days, |day| day.day_length_h).render())
            }
        }
        (draw_all(&tables::climate(view), units))
        @if !view.heat_flows.is_empty() { (heat(view)) }
    }
}

/// Scale over the days along the foot.
fn day_scale(days: &[ClimateDay]) -> Scale {
    Scale::new((0.0, days.len() as f64), (LEFT, WIDTH - RIGHT))
}

/// Months along the foot.
fn feet(days: &[ClimateDay], across: &Scale, height: f64) -> Markup {
    let months: Vec<u32> = days.iter().map(|day| day.date.month()).collect();
    month_feet(&chart::feet(&month_stretches(&months, 1), across), height)
}

/// The lowest or highest of a column over a week.
fn extreme(
    week: &[ClimateDay],
    of: fn(&ClimateDay) -> Option<f64>,
    pick: fn(f64, f64) -> f64,
) -> Option<f64> {
    week.iter().filter_map(of).reduce(pick)
}

/// What a week reads: name, and the lowest and highest of a column pair.
type Reading = (
    &'static str,
    fn(&ClimateDay) -> Option<f64>,
    fn(&ClimateDay) -> Option<f64>,
);

/// The readings of the temperature chart, in order.
const READINGS: [Reading; 4] = [
    ("air", |day| Some(day.air_min_c), |day| Some(day.air_max_c)),
    (
        "air in a hard winter",
        |day| day.hard_air_min_c,
        |day| day.hard_air_max_c,
    ),
    (
        "root zone",
        |day| Some(day.root_zone_c),
        |day| Some(day.root_zone_c),
    ),
    ("store", |day| day.store_c, |day| day.store_c),
];

fn temperatures(days: &[ClimateDay], units: Units) -> Chart<'static> {
    let unit = units.temperature_unit();
    let across = day_scale(days);
    let all = days.iter().flat_map(|day| {
        [
            Some(day.air_min_c),
            Some(day.air_max_c),
            day.hard_air_min_c,
            day.hard_air_max_c,
            day.store_c,
        ]
    });
    let up = Scale::around(
        all.flatten().map(|celsius| units.temperature(celsius)),
        (TALL - BOTTOM, TOP),
    );
    // A band of weeks: days would hide the course of the year.
    let points =
        |of: fn(&ClimateDay) -> Option<f64>, pick: fn(f64, f64) -> f64| -> Vec<(f64, f64)> {
            let place = |(number, week): (usize, &[ClimateDay])| {
                let y = extreme(week, of, pick)
                    .map_or(f64::NAN, |celsius| up.at(units.temperature(celsius)));
                let middle = (number * DAYS_PER_READING) as f64 + week.len() as f64 / 2.0;
                (across.at(middle), y)
            };
            days.chunks(DAYS_PER_READING)
                .enumerate()
                .map(place)
                .collect()
        };
    let hard = days.iter().any(|day| day.hard_air_min_c.is_some());
    let store = days.iter().any(|day| day.store_c.is_some());
    let freezing = units.temperature(0.0);
    let drawing = html! {
        (level_lines(&up, unit))
        @if up.holds(freezing) {
            line.frost x1=(LEFT) x2=(WIDTH - RIGHT) y1=(place(up.at(freezing))) y2=(place(up.at(freezing))) {}
        }
        path.band-usual d=(area(&points(|day| Some(day.air_max_c), f64::max), &points(|day| Some(day.air_min_c), f64::min))) {}
        @if hard {
            path.line-hard d=(line(points(|day| day.hard_air_max_c, f64::max))) {}
            path.line-hard d=(line(points(|day| day.hard_air_min_c, f64::min))) {}
        }
        path.line-root d=(line(points(|day| Some(day.root_zone_c), f64::min))) {}
        @if store { path.line-store d=(line(points(|day| day.store_c, f64::min))) {} }
        @if up.holds(freezing) {
            text.frost.outlined x=(WIDTH / 2.0) y=(place(up.at(freezing) + 8.0)) text-anchor="middle" { "freezing" }
        }
        (feet(days, &across, TALL))
    };
    let usual = "air, coldest to warmest hour of each week, usual year";
    let mut legend = vec![("band-usual", Key::Box, usual)];
    if hard {
        let ends = "the same two ends in the hard year";
        legend.push(("line-hard", Key::Line, ends));
    }
    legend.push(("line-root", Key::Line, "root zone"));
    if store {
        legend.push(("line-store", Key::Line, "heat store"));
    }
    let mut heads = vec!["Week of".to_owned()];
    let shown: Vec<&Reading> = READINGS
        .iter()
        .filter(|(_, low, _)| days.iter().any(|day| low(day).is_some()))
        .collect();
    for (name, _, _) in &shown {
        heads.push(format!("{name}, lowest {unit}"));
        heads.push(format!("{name}, highest {unit}"));
    }
    let (rows, spots) = weekly(days, &across, TALL, |week| {
        let degrees = |celsius: Option<f64>| {
            celsius.map_or_else(String::new, |c| fixed(units.temperature(c), 1))
        };
        let ends = |(name, low, high): &&Reading| {
            let low = degrees(extreme(week, *low, f64::min));
            let high = degrees(extreme(week, *high, f64::max));
            (format!("; {name} {low} to {high} {unit}"), [low, high])
        };
        let (words, cells): (String, Vec<[String; 2]>) = shown.iter().map(ends).unzip();
        (cells.concat(), words)
    });
    Chart {
        id: "temperatures",
        title: "Temperatures through the year".to_string(),
        about: "Air from the coldest to the warmest hour of each week, in the weather year nearest to the medians and in a hard one, with the root zone and the heat store.".to_string(),
        legend,
        height: TALL,
        drawing,
        spots,
        table: grid("Temperatures week by week", &heads, &rows, &[]),
        ..Chart::default()
    }
}

/// Week by week a row of the table, and a full-height spot with its words; both begin with the week's first day.
fn weekly(
    days: &[ClimateDay],
    across: &Scale,
    height: f64,
    read: impl Fn(&[ClimateDay]) -> (Vec<String>, String),
) -> (Vec<Vec<String>>, Vec<Spot>) {
    let week = |(number, week): (usize, &[ClimateDay])| {
        let (mut cells, words) = read(week);
        cells.insert(0, week[0].date.to_string());
        let from = (number * DAYS_PER_READING) as f64;
        let x = across.at(from);
        let spot = Spot {
            x,
            y: TOP,
            width: across.at(from + week.len() as f64) - x,
            height: height - TOP - BOTTOM,
            words: format!("Week of {}{words}", short_date(week[0].date)),
        };
        (cells, spot)
    };
    let weeks = days.chunks(DAYS_PER_READING).enumerate();
    weeks.map(week).unzip()
}

fn small(
    id: &'static str,
    title: &str,
    unit: &str,
    about: &str,
    days: &[ClimateDay],
    of: fn(&ClimateDay) -> f64,
) -> Chart<'static> {
    let across = day_scale(days);
    let up = Scale::around(days.iter().map(of).chain([0.0]), (LOW - BOTTOM, TOP));
    let place_of =
        |(index, day): (usize, &ClimateDay)| (across.at(index as f64 + 0.5), up.at(of(day)));
    let points: Vec<(f64, f64)> = days.iter().enumerate().map(place_of).collect();
    let floor: Vec<(f64, f64)> = points.iter().map(|(x, _)| (*x, up.at(0.0))).collect();
    let heads = ["Week of".to_owned(), format!("mean, {unit}")];
    let (rows, spots) = weekly(days, &across, LOW, |week| {
        let mean = fixed(week.iter().map(of).sum::<f64>() / week.len() as f64, 1);
        let words = format!(": {mean} {unit} a day on the mean");
        (vec![mean], words)
    });
    Chart {
        id,
        title: title.to_string(),
        about: about.to_string(),
        height: LOW,
        drawing: html! {
            (level_lines(&up, unit))
            path class=(format!("area-{id}")) d=(area(&points, &floor)) {}
            path class=(format!("line-{id}")) d=(line(points)) {}
            (feet(days, &across, LOW))
        },
        spots,
        table: grid(title, &heads, &rows, &[]),
        ..Chart::default()
    }
}
