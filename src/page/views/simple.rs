//! How simple may it be: plans of few and of many kinds of crop, as bars of what they bring.

use maud::{Markup, html};

use crate::output::text::fixed;
use crate::output::units::Units;
use crate::output::view::{FrontierRow, PlanView};

/// Width of the drawing, units of its own: about one a pixel on a phone.
const WIDTH: f64 = 340.0;
/// Height of one plan: its words, and its bar.
const ROW: f64 = 40.0;
const WORDS: f64 = 17.0;
const BAR: f64 = 14.0;
/// Room right of the longest bar for its figure.
const FIGURE: f64 = 70.0;

/// The drawing; nothing where only one plan is known.
pub fn draw(plan: &PlanView, units: Units) -> Markup {
    let rows = &plan.frontier;
    if rows.len() < 2 {
        return html! {};
    }
    let most = rows.iter().map(|row| row.eaten_kg).fold(0.0, f64::max);
    let one = |value: f64| fixed(value, 1);
    let mass = |row: &FrontierRow| {
        format!(
            "{} {}",
            fixed(units.mass(row.eaten_kg), 0),
            units.mass_unit()
        )
    };
    let short = |row: &FrontierRow| {
        let this = if row.chosen { " (this plan)" } else { "" };
        format!(
            "{} kinds, {} h in the busiest week{this}",
            row.kinds,
            one(row.busiest_h_week)
        )
    };
    let words = |row: &FrontierRow| {
        format!(
            "{}: {} sowings on {} days bring {} to the table in the middle year and replace {} {}",
            short(row),
            row.plantings,
            row.sowing_days,
            mass(row),
            fixed(row.replaced, 0),
            plan.currency
        )
    };
    html! {
        figure id="simple" {
            figcaption { "What more kinds of crop bring to the table, and what they ask for" }
            div.plot tabindex="0" role="group" aria-label="How simple: arrow keys read the values" {
                svg.simple viewBox={ "0 0 " (WIDTH) " " (one(ROW * rows.len() as f64)) } role="img" aria-labelledby="simple-title" {
                    title id="simple-title" { @for row in rows { (words(row)) ". " } }
                    @for (number, row) in rows.iter().enumerate() {
                        @let y = ROW * number as f64;
                        @let wide = (WIDTH - FIGURE) * row.eaten_kg / most.max(f64::MIN_POSITIVE);
                        text.row-name.mine[row.chosen] x="0" y=(one(y + WORDS - 4.0)) { (short(row)) }
                        rect.simple-bar.mine[row.chosen] x="0" y=(one(y + WORDS)) width=(one(wide)) height=(BAR) {}
                        text.row-name x=(one(wide + 4.0)) y=(one(y + WORDS + BAR - 3.0)) { (mass(row)) }
                    }
                    g.spots { @for (number, row) in rows.iter().enumerate() {
                        rect.spot x="0" y=(one(ROW * number as f64)) width=(WIDTH) height=(ROW) { title { (words(row)) } }
                    } }
                }
            }
            output.reading { "Point at a plan, or use the arrow keys, to read what it asks for and brings." }
        }
    }
}
