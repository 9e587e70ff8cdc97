//! How long can it stay: one warm crop in four spans, what ends each, and what heating uses for it.

use maud::{Markup, html};

use super::cold::degrees;
use super::field::{Fields, button};
use super::spans::{Roof, draw};
use super::{View, state_of};
use crate::calendar::MONTH_HEADS;
use crate::output::html::part;
use crate::output::tables::season::other_roofs;
use crate::output::text::fixed;
use crate::output::view::{SeasonCrop, SeasonView};
use crate::page::desk::Seen;

/// Crop shown first where the person has not chosen one.
const FIRST: &str = "tomato";

/// The view.
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
    let chosen = warm
        .iter()
        .find(|crop| crop.crop == asked)
        .or_else(|| warm.iter().find(|crop| crop.crop.starts_with(asked)))
        .or(warm.first());
    let Some(chosen) = chosen else {
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
