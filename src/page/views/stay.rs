//! How long can it stay: one warm crop in four spans, what ends each, and what heating uses for it.

use chrono::{Datelike, NaiveDate};
use maud::{Markup, html};

use super::cold::degrees;
use super::field::{Fields, button};
use super::{View, one, state_of};
use crate::calendar::MONTH_HEADS;
use crate::output::html::part;
use crate::output::tables::season::other_roofs;
use crate::output::text::{fixed, month_head};
use crate::output::view::{DateRange, SeasonCrop, SeasonView, Spread};
use crate::page::desk::Seen;

/// Crop shown first where the person has not chosen one.
const FIRST: &str = "tomato";

pub fn view(seen: &Seen) -> Markup {
    let fields = Fields::new(seen, View::Stay);
    let slot = &seen.answers.season;
    html! {
        (state_of(seen, slot))
        @if let Some(view) = &slot.value {
            (crop(seen, view))
            div.beside.knobs {
                section aria-labelledby="all" {
                    h2 id="all" { "Every crop against the months" }
                    (part::season(view, seen.units))
                    (part::notes(&view.notes, seen.units))
                }
                section aria-labelledby="knobs" {
                    h2 id="knobs" { "What can be turned" }
                    (fields.fields(&["heater.set_point", "heater.capacity", "heater.energy", "money.fuel", "money.electricity", "building.glazing", "vents.open_above"]))
                }
            }
        }
    }
}

fn crop(seen: &Seen, view: &SeasonView) -> Markup {
    let warm: Vec<&SeasonCrop> = view.warm_crops().collect();
    let asked = seen.query.get("crop").map_or(FIRST, String::as_str);
    let named = warm.iter().find(|crop| crop.crop == asked);
    let like = || warm.iter().find(|crop| crop.crop.starts_with(asked));
    let Some(chosen) = named.or_else(like).or(warm.first()) else {
        return html! { p.answer { "No warm crop is on file." } };
    };
    let heated = view.heated_to_c.map_or_else(
        || "heated".to_owned(),
        |celsius| format!("heated to {}", degrees(seen.units, celsius)),
    );
    let (months, stay) = (chosen.months_in, chosen.stay);
    let roofs = [
        ("as it is".to_owned(), months.as_is, stay.as_is),
        (heated, months.heated, stay.heated),
        ("plain tunnel".to_owned(), months.tunnel, stay.tunnel),
        ("outdoors".to_owned(), months.outdoors, stay.outdoors),
    ]
    .map(|(name, months, stay)| Roof { name, months, stay });
    html! {
        p.answer {
            b { (chosen.name) } " can stay in this house "
            @match months.as_is {
                Some(as_is) => { b { (fixed(as_is.p50, 1)) " months" } " of a usual year" },
                None => "not at all",
            }
            @if let (Some(heated), Some(celsius)) = (months.heated, view.heated_to_c) { ", " b { (fixed(heated.p50, 1)) } " heated to " (degrees(seen.units, celsius)) }
            @if let Some(tunnel) = months.tunnel { ", " (fixed(tunnel.p50, 1)) " in a plain tunnel" }
            @if let Some(outdoors) = months.outdoors { ", " (fixed(outdoors.p50, 1)) " outdoors" } "."
            @if let Some(kwh) = view.heated_kwh_year { " That heater gives " (fixed(kwh, 0)) " kWh a year." }
        }
        form.entry method="get" action="/stay" {
            label for="warm-crop" { "Crop" }
            select id="warm-crop" name="crop" data-now { @for one in &warm { option value=(one.crop) selected[one.crop == chosen.crop] { (one.name) } } }
            (button("Show", "quiet"))
        }
        (draw(&chosen.name, &roofs))
        p.small { (other_roofs(view)) }
        (ends(seen, chosen))
    }
}

/// What holds the crop back in the months in which it cannot be in.
fn ends(seen: &Seen, crop: &SeasonCrop) -> Markup {
    let mut causes: Vec<(String, Vec<&str>)> = Vec::new();
    for (month, head) in crop.months.iter().zip(MONTH_HEADS) {
        let Some(cause) = &month.cause else { continue };
        let words = seen.units.say(cause);
        match causes.iter_mut().find(|(known, _)| *known == words) {
            Some((_, months)) => months.push(head),
            None => causes.push((words, vec![head])),
        }
    }
    html! {
        @if !causes.is_empty() {
            p { "What holds it back in this house: " @for (at, (cause, months)) in causes.iter().enumerate() { @if at > 0 { "; " } b { (cause) } " in " (months.join(", ")) } "." }
        }
    }
}

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

struct Roof {
    name: String,
    /// Months in, over the weather years.
    months: Option<Spread>,
    /// From when to when in the middle year.
    stay: Option<DateRange>,
}

impl Roof {
    /// `as it is: 5.2 months (4.8 to 5.9), 12 May to 18 October`.
    fn words(&self) -> String {
        let Some(months) = self.months else {
            return format!("{}: not tried", self.name);
        };
        let span = self.stay.map_or_else(String::new, |stay| {
            let day = |date: NaiveDate| format!("{} {}", date.day(), month_head(date.month()));
            format!(", {} to {}", day(stay.from), day(stay.to))
        });
        let [low, middle, high] = [months.p10, months.p50, months.p90].map(one);
        let name = &self.name;
        format!("{name}: {middle} months ({low} to {high} in eight years of ten){span}")
    }
}

fn x(day: f64) -> f64 {
    EDGE + (WIDTH - 2.0 * EDGE) * day / DAYS
}

/// Pieces of a span on one calendar year; one that runs over the turn of the year is two.
fn pieces(stay: DateRange) -> Vec<(f64, f64)> {
    let (from, to) = (stay.from.ordinal0().into(), stay.to.ordinal().into());
    if (stay.to - stay.from).num_days() >= 364 {
        return vec![(0.0, DAYS)];
    }
    match from < to {
        true => vec![(from, to)],
        false => vec![(0.0, to), (from, DAYS)],
    }
}

/// How long a crop stays under four roofs, as spans over the months.
fn draw(crop: &str, roofs: &[Roof]) -> Markup {
    let height = MONTHS + ROW * roofs.len() as f64;
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
