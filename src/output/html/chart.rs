//! The frame of every chart: title, description, legend, drawing, reading line, and the table behind it.

use maud::{Markup, html};

use super::scale::Scale;
use crate::output::text::fixed;

/// Width of a drawing in its own units. Small, so that a phone shows it at about one unit a pixel; letters are sized
/// by the style sheet for each width of screen.
pub(super) const WIDTH: f64 = 400.0;
/// Room at the left for the marks of the scale.
pub(super) const LEFT: f64 = 30.0;
/// Room at the right.
pub(super) const RIGHT: f64 = 4.0;
/// Room at the top.
pub(super) const TOP: f64 = 8.0;
/// Room below for the months.
pub(super) const BOTTOM: f64 = 18.0;

/// A place on the drawing that tells its figures when pointed at or reached with the arrow keys.
pub(super) struct Spot {
    /// Left edge.
    pub x: f64,
    /// Upper edge.
    pub y: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// The figures in words.
    pub words: String,
}

/// How a key of the legend is drawn.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Key {
    /// A line.
    Line,
    /// A filled box.
    Box,
}

/// A chart with all that belongs to it.
pub(super) struct Chart<'a> {
    /// Anchor, unique on the page.
    pub id: &'a str,
    /// Head line.
    pub title: String,
    /// What it shows, in one or two sentences.
    pub about: String,
    /// Style class and name of each series.
    pub legend: Vec<(&'a str, Key, String)>,
    /// More keys, where samples of series are not enough.
    pub keys: Markup,
    /// Height of the drawing.
    pub height: f64,
    /// The drawing.
    pub drawing: Markup,
    /// Where figures can be read.
    pub spots: Vec<Spot>,
    /// Table with the figures of the drawing.
    pub table: Markup,
}

impl Chart<'_> {
    /// The chart as a figure.
    pub(super) fn render(&self) -> Markup {
        let title_id = format!("{}-title", self.id);
        let about_id = format!("{}-about", self.id);
        let size = format!("0 0 {WIDTH} {:.0}", self.height);
        html! {
            figure id=(self.id) {
                figcaption {
                    h3 { (self.title) }
                    p { (self.about) }
                }
                @if !self.legend.is_empty() {
                    ul.legend {
                        @for (class, key, name) in &self.legend { li { (swatch(class, *key)) (name) } }
                    }
                }
                (self.keys)
                // The arrow keys walk through the values, so the drawing takes the focus as one thing.
                div.plot tabindex="0" role="group" aria-label=(format!("{}: arrow keys read the values", self.title)) {
                    svg viewBox=(size) role="img" aria-labelledby=(format!("{title_id} {about_id}")) {
                        title id=(title_id) { (self.title) }
                        desc id=(about_id) { (self.about) }
                        (self.drawing)
                        g.spots {
                            @for spot in &self.spots {
                                rect.spot x=(place(spot.x)) y=(place(spot.y)) width=(place(spot.width)) height=(place(spot.height)) {
                                    title { (spot.words) }
                                }
                            }
                        }
                    }
                }
                output.reading { "Point at the drawing, or use the arrow keys, to read its values." }
                @if !self.table.0.is_empty() {
                    details.behind {
                        summary { "Table: " (self.title) }
                        div.scroll tabindex="0" role="region" aria-label=(format!("Table: {}", self.title)) { (self.table) }
                    }
                }
            }
        }
    }
}

/// A line that stays visible over bars: with a seam in the colour of the paper.
pub(super) fn seamed_line(class: &str, (x1, x2): (f64, f64), y: f64) -> Markup {
    html! {
        line.seam x1=(place(x1)) x2=(place(x2)) y1=(place(y)) y2=(place(y)) {}
        line.(class) x1=(place(x1)) x2=(place(x2)) y1=(place(y)) y2=(place(y)) {}
    }
}

/// A small sample of a series for the legend.
fn swatch(class: &str, key: Key) -> Markup {
    html! {
        svg.swatch viewBox="0 0 24 10" aria-hidden="true" {
            @match key {
                Key::Line => path class=(class) d="M1 5L23 5" {},
                Key::Box => rect class=(class) x="1" y="1" width="22" height="8" {},
            }
        }
    }
}

/// A place with one decimal.
pub(super) fn place(value: f64) -> String {
    fixed(value, 1)
}

/// Horizontal lines with their figures.
pub(super) fn level_lines(scale: &Scale, unit: &str) -> Markup {
    let decimals = scale.decimals();
    html! {
        g.levels {
            @for (number, tick) in scale.ticks().into_iter().enumerate() {
                line x1=(LEFT) x2=(WIDTH - RIGHT) y1=(place(scale.at(tick))) y2=(place(scale.at(tick))) {}
                text x=(LEFT - 3.0) y=(place(scale.at(tick) + 3.0)) text-anchor="end" {
                    (fixed(tick, decimals))
                    @if number == 0 && !unit.is_empty() { tspan.unit x=(LEFT - 3.0) dy="9" { (unit) } }
                }
            }
        }
    }
}

/// Months along the foot, each centred under its stretch.
pub(super) fn month_feet(stretches: &[(f64, f64, &'static str)], height: f64) -> Markup {
    html! {
        g.feet {
            @for (from, to, name) in stretches {
                line x1=(place(*from)) x2=(place(*from)) y1=(place(height - BOTTOM)) y2=(place(height - BOTTOM + 4.0)) {}
                text x=(place((from + to) / 2.0)) y=(place(height - 5.0)) text-anchor="middle" { (name) }
            }
        }
    }
}
