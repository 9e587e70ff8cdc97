//! Small charts one below the other: a named row of bars each, all on one scale.

use maud::{Markup, html};

use super::chart::{BOTTOM, Chart, RIGHT, Spot, WIDTH, month_feet, place};
use super::scale::Scale;

/// Height of a row's name.
const NAME: f64 = 14.0;
/// Height of a row's bars.
const BARS: f64 = 34.0;
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
    /// Bars in a row.
    pub count: usize,
    /// Table with the figures.
    pub table: Markup,
}

impl Strips<'_> {
    /// The chart as a figure.
    pub(super) fn render(self) -> Markup {
        let across = Scale::new((0.0, self.count as f64), (EDGE, WIDTH - RIGHT));
        let figures = self
            .rows
            .iter()
            .flat_map(|row| row.values.iter().chain(&row.limits));
        let ends = figures.copied().filter(|value| value.is_finite());
        let (low, high) = ends.fold((0.0_f64, 0.0_f64), |(low, high), value| {
            (low.min(value), high.max(value))
        });
        let height = self.rows.len() as f64 * (NAME + BARS + GAP) + BOTTOM;
        let feet: Vec<(f64, f64, &'static str)> = self
            .stretches
            .iter()
            .map(|(from, to, name)| (across.at(*from as f64), across.at(*to as f64), *name))
            .collect();
        let mut spots = Vec::new();
        let drawing = html! {
            @for (index, row) in self.rows.iter().enumerate() {
                @let top = index as f64 * (NAME + BARS + GAP) + NAME;
                @let up = Scale::new((low, high), (top + BARS, top));
                (row_drawing(row, top, &across, &up))
            }
            (month_feet(&feet, height))
        };
        for (index, row) in self.rows.iter().enumerate() {
            let y = index as f64 * (NAME + BARS + GAP) + NAME;
            for (number, words) in row.words.iter().enumerate() {
                let x = across.at(number as f64);
                let width = across.at(number as f64 + 1.0) - x;
                spots.push(Spot {
                    x,
                    y,
                    width,
                    height: BARS,
                    words: words.clone(),
                });
            }
        }
        Chart {
            id: self.id,
            title: self.title.to_string(),
            about: self.about,
            legend: Vec::new(),
            height,
            drawing,
            spots,
            table: self.table,
        }
        .render()
    }
}

fn row_drawing(row: &StripRow, top: f64, across: &Scale, up: &Scale) -> Markup {
    let ground = up.at(0.0);
    html! {
        text.row-name x=(EDGE) y=(place(top - 3.0)) { (row.name) }
        @for (number, value) in row.values.iter().enumerate().filter(|(_, value)| value.is_finite()) {
            @let edge = up.at(*value);
            rect class=(if *value < 0.0 { "bar-down" } else { "bar-up" })
                x=(place(across.at(number as f64 + (1.0 - FILL) / 2.0)))
                y=(place(edge.min(ground)))
                width=(place(FILL * (across.at(1.0) - across.at(0.0))))
                height=(place((edge - ground).abs())) {}
        }
        @for (number, limit) in row.limits.iter().enumerate().filter(|(_, limit)| **limit > 0.0) {
            line.limit x1=(place(across.at(number as f64))) x2=(place(across.at(number as f64 + 1.0)))
                y1=(place(up.at(*limit))) y2=(place(up.at(*limit))) {}
        }
        line.ground x1=(EDGE) x2=(WIDTH - RIGHT) y1=(place(ground)) y2=(place(ground)) {}
    }
}
