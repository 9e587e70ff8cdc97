//! Small charts one below the other: a named row of bars each, all on one scale. The week's food, heat by path.

use std::collections::BTreeSet;

use maud::{Markup, html};

use super::beds::months_of_weeks;
use super::chart::{
    BOTTOM, Chart, RIGHT, Scale, Spot, WIDTH, feet, month_feet, place, seamed_line,
};
use super::lists::{draw, grid};
use crate::calendar::MONTH_HEADS;
use crate::output::tables;
use crate::output::text::{fixed, percent, short_date};
use crate::output::units::Units;
use crate::output::view::{ClimateView, FoodWeek, PlanView, TARGET, WeekView};

/// Height of a row's name.
const NAME: f64 = 14.0;
/// Height of the bars of the row with the widest range; the others need less.
const BARS: f64 = 40.0;
/// Least height of a row's bars, so that they can be pointed at.
const LEAST: f64 = 12.0;
/// Gap below a row.
const GAP: f64 = 5.0;
/// Share of its place that a bar fills.
const FILL: f64 = 0.8;
/// Left edge of the bars.
const EDGE: f64 = 4.0;

/// One named row.
pub(super) struct StripRow {
    /// What it shows, with its sum.
    pub name: String,
    /// A bar each, up or down.
    pub values: Vec<f64>,
    /// A line over each bar, such as a wish; empty where there is none.
    pub limits: Vec<f64>,
    /// The figures of each bar in words.
    pub words: Vec<String>,
}

/// All rows of one chart.
pub(super) struct Strips<'a> {
    /// Anchor, unique on the page.
    pub id: &'a str,
    pub title: &'a str,
    pub about: String,
    pub rows: Vec<StripRow>,
    /// Stretches of bars with a name at the foot.
    pub stretches: Vec<(usize, usize, &'static str)>,
    /// Style class of bars that go up.
    pub bars: &'a str,
    pub count: usize,
    /// Table with the figures.
    pub table: Markup,
}

/// Where a row lies.
struct Place {
    top: f64,
    foot: f64,
    up: Scale,
}

impl Strips<'_> {
    /// The chart as a figure.
    pub(super) fn render(self) -> Markup {
        let across = Scale::new((0.0, self.count as f64), (EDGE, WIDTH - RIGHT));
        let places = places(&self.rows);
        let height = places.last().map_or(0.0, |last| last.foot + GAP) + BOTTOM;
        let feet = feet(&self.stretches, &across);
        let drawing = html! {
            @for (row, place) in self.rows.iter().zip(&places) { (row_drawing(row, place, &across, self.bars)) }
            (month_feet(&feet, height))
        };
        Chart {
            id: self.id,
            title: self.title.to_string(),
            about: self.about,
            height,
            drawing,
            spots: spots(&self.rows, &places, &across),
            table: self.table,
            ..Chart::default()
        }
        .render()
    }
}

/// Rows below each other, each as high as its range needs, all on one scale.
fn places(rows: &[StripRow]) -> Vec<Place> {
    let ranges: Vec<(f64, f64)> = rows.iter().map(range).collect();
    let widest = ranges
        .iter()
        .map(|(low, high)| high - low)
        .fold(0.0, f64::max);
    let per_figure = if widest > 0.0 { BARS / widest } else { 1.0 };
    let mut next = 0.0;
    ranges
        .into_iter()
        .map(|(low, high)| {
            let height = ((high - low) * per_figure).max(LEAST);
            // A row of small figures gets room at the side on which they lie.
            let room = height / per_figure - (high - low);
            let ends = if high > 0.0 {
                (low, high + room)
            } else {
                (low - room, high)
            };
            let top = next + NAME;
            let foot = top + height;
            next = foot + GAP;
            Place {
                top,
                foot,
                up: Scale::new(ends, (foot, top)),
            }
        })
        .collect()
}

/// Lowest and highest figure, nought included.
fn range(row: &StripRow) -> (f64, f64) {
    let figures = row.values.iter().chain(&row.limits).copied();
    let ends = figures.filter(|value| value.is_finite());
    ends.fold((0.0, 0.0), |(low, high): (f64, f64), value| {
        (low.min(value), high.max(value))
    })
}

fn spots(rows: &[StripRow], places: &[Place], across: &Scale) -> Vec<Spot> {
    let of_row = |(row, place): (&StripRow, &Place)| -> Vec<Spot> {
        let spot = |(number, words): (usize, &String)| {
            let x = across.at(number as f64);
            Spot {
                x,
                y: place.top,
                width: across.at(number as f64 + 1.0) - x,
                height: place.foot - place.top,
                words: words.clone(),
            }
        };
        row.words.iter().enumerate().map(spot).collect()
    };
    rows.iter().zip(places).flat_map(of_row).collect()
}

fn row_drawing(row: &StripRow, row_place: &Place, across: &Scale, bars: &str) -> Markup {
    let up = &row_place.up;
    let ground = up.at(0.0);
    html! {
        text.row-name x=(EDGE) y=(place(row_place.top - 3.0)) { (row.name) }
        @for (number, value) in row.values.iter().enumerate().filter(|(_, value)| value.is_finite()) {
            @let edge = up.at(*value);
            rect class=(if *value < 0.0 { "bar-down" } else { bars })
                x=(place(across.at(number as f64 + (1.0 - FILL) / 2.0)))
                y=(place(edge.min(ground)))
                width=(place(FILL * (across.at(1.0) - across.at(0.0))))
                height=(place((edge - ground).abs())) {}
        }
        @for (number, limit) in row.limits.iter().enumerate().filter(|(_, limit)| **limit > 0.0) {
            (seamed_line("limit", (across.at(number as f64), across.at(number as f64 + 1.0)), up.at(*limit)))
        }
        line.ground x1=(EDGE) x2=(WIDTH - RIGHT) y1=(place(ground)) y2=(place(ground)) {}
    }
}

/// A panel for each target: what is on the table of that food or group, and the target as a line.
pub fn targets(view: &PlanView, units: Units) -> Markup {
    let title = "The week's food against each target";
    let about = "Food on the table week by week; the line is the target.";
    panels(view, units, ("targets", title, about), true)
}

/// A panel for each food.
pub fn foods(view: &PlanView, units: Units) -> Markup {
    let words = ("foods", "Food by food", "On the table week by week.");
    panels(view, units, words, false)
}

fn panels(
    view: &PlanView,
    units: Units,
    (id, title, about): (&'static str, &'static str, &str),
    targets: bool,
) -> Markup {
    let unit = units.mass_unit();
    let asked: BTreeSet<&str> = view
        .weeks
        .iter()
        .flat_map(|week| &week.by_food)
        .filter(|food| food.wish_kg > 0.0)
        .map(|food| food.food.as_str())
        .collect();
    let wanted = |food: &&FoodWeek| asked.contains(food.food.as_str()) == targets;
    let mut names: Vec<&str> = view
        .weeks
        .iter()
        .flat_map(|week| &week.by_food)
        .filter(wanted)
        .map(|food| food.food.as_str())
        .collect();
    names.sort_unstable();
    names.dedup();
    if names.is_empty() {
        return html! {};
    }
    let row = |name: &str| {
        let of = |week: &WeekView| {
            let found = week.by_food.iter().find(|food| food.food == name);
            found.map_or((0.0, 0.0), |food| {
                (units.mass(food.food_kg), units.mass(food.wish_kg))
            })
        };
        let pairs: Vec<(f64, f64)> = view.weeks.iter().map(of).collect();
        let name = name.trim_start_matches(TARGET);
        let sum: f64 = pairs.iter().map(|pair| pair.0).sum();
        let words = |(week, (food, target)): (&WeekView, &(f64, f64))| {
            let of = if *target > 0.0 {
                format!(" of {} {unit} asked for", fixed(*target, 1))
            } else {
                String::new()
            };
            format!(
                "{name}, week of {}: {} {unit}{of}",
                short_date(week.row.start),
                fixed(*food, 1)
            )
        };
        StripRow {
            name: format!("{name}, {} {unit} in the year", fixed(sum, 0)),
            values: pairs.iter().map(|pair| pair.0).collect(),
            limits: pairs.iter().map(|pair| pair.1).collect(),
            words: view.weeks.iter().zip(&pairs).map(words).collect(),
        }
    };
    Strips {
        id,
        title,
        about: about.to_owned(),
        rows: names.into_iter().map(row).collect(),
        stretches: months_of_weeks(view.start),
        bars: "food",
        count: view.weeks.len().max(1),
        table: html! {},
    }
    .render()
}

/// What falls short, with causes.
pub(super) fn gaps(view: &PlanView, units: Units) -> Markup {
    html! {
        @if view.gaps.is_empty() { p { "Every target is met in every week." } }
        @else { (draw(&tables::gaps(&view.gaps), units)) }
    }
}

/// A strip for each path, with the table behind it.
pub(super) fn heat(view: &ClimateView) -> Markup {
    let mut heads = vec!["Path, kWh".to_owned()];
    heads.extend(MONTH_HEADS.map(str::to_owned));
    heads.push("Year".to_owned());
    let mut cells_of_rows = Vec::new();
    let mut rows = Vec::new();
    for flow in &view.heat_flows {
        let year: f64 = flow.kwh.iter().sum();
        let mut cells = vec![flow.path.clone()];
        cells.extend(flow.kwh.iter().map(|kwh| fixed(*kwh, 0)));
        cells.push(fixed(year, 0));
        cells_of_rows.push(cells);
        let words =
            |(kwh, month): (&f64, &&str)| format!("{}, {month}: {} kWh", flow.path, fixed(*kwh, 0));
        rows.push(StripRow {
            name: format!("{}, {} kWh in the year", flow.path, fixed(year, 0)),
            values: flow.kwh.to_vec(),
            limits: Vec::new(),
            words: flow.kwh.iter().zip(&MONTH_HEADS).map(words).collect(),
        });
    }
    let about = format!(
        "Heat into the house (up) and out of it (down), month by month, all on one scale. Unexplained: {} of the heat that passed through.",
        if view.balance_residual.abs() < 1e-5 {
            "less than 0.001 %".to_string()
        } else {
            percent(view.balance_residual.abs(), 3)
        }
    );
    Strips {
        id: "heat",
        title: "Where the heat comes from and goes",
        about,
        rows,
        stretches: MONTH_HEADS
            .iter()
            .zip(0..)
            .map(|(name, index)| (index, index + 1, *name))
            .collect(),
        bars: "bar-up",
        count: MONTH_HEADS.len(),
        table: grid(
            "Heat into the house by path and month, kWh; negative where it is lost",
            &heads,
            &cells_of_rows,
            &[],
        ),
    }
    .render()
}
