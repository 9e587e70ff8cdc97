//! The frame of every chart: title, description, legend, drawing, reading line, and the table behind it; from figures to places on
//! a drawing.

use maud::{Markup, html};

use crate::output::text::{fixed, month_head};

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
    pub x: f64,
    pub y: f64,
    pub width: f64,
    pub height: f64,
    /// The figures in words.
    pub words: String,
}

/// How a key of the legend is drawn.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Key {
    Line,
    Box,
}

/// A chart with all that belongs to it.
#[derive(Default)]
pub(super) struct Chart<'a> {
    /// Anchor, unique on the page.
    pub id: &'a str,
    pub title: String,
    /// What it shows, in one or two sentences.
    pub about: String,
    /// Style class and name of each series.
    pub legend: Vec<(&'a str, Key, &'a str)>,
    /// More keys, where samples of series are not enough.
    pub keys: Markup,
    /// Height of the drawing.
    pub height: f64,
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

/// Stretches of one month along a chart, counted in places, with its name where it has as many as `least`: a shorter one at an end
/// has no room for it.
pub(super) fn month_stretches(months: &[u32], least: usize) -> Vec<(usize, usize, &'static str)> {
    let mut from = 0;
    let stretch = |run: &[u32]| {
        let start = from;
        from += run.len();
        let name = if run.len() < least {
            ""
        } else {
            month_head(run[0])
        };
        (start, from, name)
    };
    months.chunk_by(|a, b| a == b).map(stretch).collect()
}

/// Stretches on the drawing.
pub(super) fn feet(
    stretches: &[(usize, usize, &'static str)],
    across: &Scale,
) -> Vec<(f64, f64, &'static str)> {
    let place = |(from, to, name): &(usize, usize, &'static str)| {
        (across.at(*from as f64), across.at(*to as f64), *name)
    };
    stretches.iter().map(place).collect()
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

/// A straight scale from a range of figures to a range of places.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Scale {
    /// Lowest and highest figure.
    figures: (f64, f64),
    /// Their places.
    places: (f64, f64),
}

impl Scale {
    /// A scale over exactly these figures; an empty range is widened, so that no place is undefined.
    pub(super) fn new(figures: (f64, f64), places: (f64, f64)) -> Self {
        let (low, high) = figures;
        let figures = if high > low {
            (low, high)
        } else {
            (low, low + 1.0)
        };
        Scale { figures, places }
    }

    /// A scale whose ends are round figures around all values given; values that are no numbers are passed over.
    pub(super) fn around(values: impl IntoIterator<Item = f64>, places: (f64, f64)) -> Self {
        let finite: Vec<f64> = values
            .into_iter()
            .filter(|value| value.is_finite())
            .collect();
        let low = finite.iter().copied().fold(f64::INFINITY, f64::min);
        let high = finite.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        if low > high {
            return Scale::new((0.0, 1.0), places);
        }
        let step = round_step(high - low);
        Scale::new(
            ((low / step).floor() * step, (high / step).ceil() * step),
            places,
        )
    }

    /// Place of a figure.
    pub(super) fn at(&self, figure: f64) -> f64 {
        let (low, high) = self.figures;
        let (from, to) = self.places;
        from + (figure - low) / (high - low) * (to - from)
    }

    /// True if a figure lies within the scale.
    pub(super) fn holds(&self, figure: f64) -> bool {
        (self.figures.0..=self.figures.1).contains(&figure)
    }

    /// Round figures to mark on the scale.
    pub(super) fn ticks(&self) -> Vec<f64> {
        let (low, high) = self.figures;
        let step = round_step(high - low);
        let first = (low / step).ceil() as i64;
        let last = (high / step + 1e-9).floor() as i64;
        (first..=last).map(|number| number as f64 * step).collect()
    }

    /// Decimals that the marks need.
    pub(super) fn decimals(&self) -> usize {
        let step = round_step(self.figures.1 - self.figures.0);
        if step >= 1.0 {
            0
        } else {
            (-step.log10()).ceil().max(0.0) as usize
        }
    }
}

/// A step of 1, 2 or 5 times a power of ten that gives four to nine marks over a range.
fn round_step(range: f64) -> f64 {
    /// Marks aimed at (own choice: more of them clutter a small drawing).
    const MARKS: f64 = 5.0;
    let raw = if range > 0.0 { range / MARKS } else { 1.0 };
    let power = 10.0_f64.powf(raw.log10().floor());
    let factor = match raw / power {
        mantissa if mantissa < 1.5 => 1.0,
        mantissa if mantissa < 3.5 => 2.0,
        mantissa if mantissa < 7.5 => 5.0,
        _ => 10.0,
    };
    factor * power
}

/// A polyline through points, as the `d` of a path; a point that is no number breaks the line.
pub(super) fn line(points: impl IntoIterator<Item = (f64, f64)>) -> String {
    let mut path = String::new();
    let mut pen_down = false;
    for (x, y) in points {
        if x.is_finite() && y.is_finite() {
            path.push_str(&format!(
                "{}{x:.1} {y:.1}",
                if pen_down { "L" } else { "M" }
            ));
        }
        pen_down = x.is_finite() && y.is_finite();
    }
    path
}

/// The area between two lines over the same places.
pub(super) fn area(upper: &[(f64, f64)], lower: &[(f64, f64)]) -> String {
    let around = upper.iter().copied().chain(lower.iter().rev().copied());
    let path = line(around.filter(|(x, y)| x.is_finite() && y.is_finite()));
    if path.is_empty() { path } else { path + "Z" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_round_and_inside() {
        let scale = Scale::around([-7.3, 33.8], (100.0, 0.0));
        assert_eq!(scale.ticks(), [-10.0, 0.0, 10.0, 20.0, 30.0, 40.0]);
        assert_eq!(scale.at(-10.0), 100.0);
        assert_eq!(scale.at(40.0), 0.0);
        assert_eq!(scale.decimals(), 0);
        assert_eq!(Scale::around([0.0, 0.9], (0.0, 1.0)).decimals(), 1);
    }

    #[test]
    fn nothing_to_show_is_no_failure() {
        assert!(Scale::around([], (0.0, 1.0)).at(0.5).is_finite());
        assert!(Scale::around([3.0, 3.0], (0.0, 1.0)).at(3.0).is_finite());
        assert!(Scale::around([f64::NAN], (0.0, 1.0)).ticks().len() < 20);
        assert_eq!(line([(0.0, f64::NAN)]), "");
        assert_eq!(
            line([(0.0, 1.0), (1.0, f64::NAN), (2.0, 1.0)]),
            "M0.0 1.0M2.0 1.0"
        );
    }
}
