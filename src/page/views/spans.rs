//! How long a crop stays under four roofs, drawn as spans over the months.

use chrono::{Datelike, NaiveDate};
use maud::{Markup, html};

use crate::output::text::{fixed, month_head};
use crate::output::view::{DateRange, Spread};

/// Width of the drawing, units of its own.
const WIDTH: f64 = 720.0;
/// Left edge of the spans.
const EDGE: f64 = 4.0;
/// Height of one roof: its words, and its bar.
const ROW: f64 = 38.0;
const WORDS: f64 = 15.0;
const BAR: f64 = 14.0;
/// Height of the months.
const MONTHS: f64 = 16.0;
/// Days of a year as drawn.
const DAYS: f64 = 366.0;

/// One roof.
pub struct Roof {
    /// Its name.
    pub name: String,
    /// Months in, over the weather years.
    pub months: Option<Spread>,
    /// From when to when in the middle year.
    pub stay: Option<DateRange>,
}

impl Roof {
    /// `as it is: 5.2 months (4.8 to 5.9), 12 May to 18 October`.
    pub fn words(&self) -> String {
        let Some(months) = self.months else {
            return format!("{}: not tried", self.name);
        };
        let span = self.stay.map_or_else(String::new, |stay| {
            let day = |date: NaiveDate| format!("{} {}", date.day(), month_head(date.month()));
            format!(", {} to {}", day(stay.from), day(stay.to))
        });
        format!(
            "{}: {} months ({} to {} in eight years of ten){span}",
            self.name,
            fixed(months.p50, 1),
            fixed(months.p10, 1),
            fixed(months.p90, 1)
        )
    }
}

fn x(day: f64) -> f64 {
    EDGE + (WIDTH - 2.0 * EDGE) * day / DAYS
}

/// Pieces of a span on one calendar year; one that runs over the turn of the year is two.
fn pieces(stay: DateRange) -> Vec<(f64, f64)> {
    let (from, to) = (
        f64::from(stay.from.ordinal0()),
        f64::from(stay.to.ordinal()),
    );
    if (stay.to - stay.from).num_days() >= 364 {
        return vec![(0.0, DAYS)];
    }
    if from < to {
        vec![(from, to)]
    } else {
        vec![(0.0, to), (from, DAYS)]
    }
}

/// The drawing.
pub fn draw(crop: &str, roofs: &[Roof]) -> Markup {
    let height = MONTHS + ROW * roofs.len() as f64;
    let one = |value: f64| fixed(value, 1);
    html! {
        figure id="spans" tabindex="0" role="group" aria-label={ "How long " (crop) " can stay" } {
            svg.spans viewBox={ "0 0 " (WIDTH) " " (one(height)) } role="img" aria-labelledby="spans-title" {
                title id="spans-title" { (crop) ": " @for roof in roofs { (roof.words()) ". " } }
                @for month in 0..12u32 {
                    @let at = x(DAYS * f64::from(month) / 12.0);
                    line.month-line x1=(one(at)) x2=(one(at)) y1="0" y2=(one(height)) {}
                    text x=(one(at + (WIDTH - 2.0 * EDGE) / 24.0)) y="11" text-anchor="middle" { (month_head(month + 1)) }
                }
                @for (number, roof) in roofs.iter().enumerate() {
                    @let y = MONTHS + ROW * number as f64;
                    text.row-name.outlined x=(EDGE) y=(one(y + WORDS - 3.0)) { (roof.words()) }
                    rect.lane x=(EDGE) y=(one(y + WORDS)) width=(one(WIDTH - 2.0 * EDGE)) height=(BAR) {}
                    @for (from, to) in roof.stay.map(pieces).unwrap_or_default() {
                        rect class={ "span roof-" (number) } x=(one(x(from))) y=(one(y + WORDS)) width=(one(x(to) - x(from))) height=(BAR) {}
                    }
                }
            }
        }
    }
}
