//! Small charts one below the other: a named row of bars each, all on one scale.

use maud::{Markup, html};

use super::chart::{BOTTOM, Chart, RIGHT, Spot, WIDTH, month_feet, place, seamed_line};
use super::scale::Scale;

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
    /// Head line.
    pub title: &'a str,
    /// What it shows.
    pub about: String,
    /// The rows.
    pub rows: Vec<StripRow>,
    /// Stretches of bars with a name at the foot.
    pub stretches: Vec<(usize, usize, &'static str)>,
    /// Style class of bars that go up.
    pub bars: &'a str,
    /// Bars in a row.
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
        let feet: Vec<(f64, f64, &'static str)> = self
            .stretches
            .iter()
            .map(|(from, to, name)| (across.at(*from as f64), across.at(*to as f64), *name))
            .collect();
        let drawing = html! {
            @for (row, place) in self.rows.iter().zip(&places) { (row_drawing(row, place, &across, self.bars)) }
            (month_feet(&feet, height))
        };
        Chart {
            id: self.id,
            title: self.title.to_string(),
            about: self.about,
            legend: Vec::new(),
            keys: html! {},
            height,
            drawing,
            spots: spots(&self.rows, &places, &across),
            table: self.table,
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
