//! How cold does it get: the answer, the knobs of the house beside it, the year, and what would help.

use maud::{Markup, html};

use super::field::{Fields, act};
use super::{View, state_of};
use crate::output::html::part;
use crate::output::tables;
use crate::output::text::fixed;
use crate::output::units::Units;
use crate::output::view::{ClimateView, MeasureRow, OutageView, WhyView};
use crate::page::answers::{Answer, Need};
use crate::page::desk::Seen;

const KNOBS: [&str; 13] = [
    "heater.set_point",
    "heater.capacity",
    "heater.energy",
    "curtain.resistance",
    "curtain.months",
    "building.glazing",
    "building.back",
    "floor.skirt_depth",
    "floor.skirt",
    "air.infiltration",
    "store.pipes",
    "store.pipe_length",
    "store.fan_power",
];

pub fn degrees(units: Units, celsius: f64) -> String {
    units.said(celsius, "°C", 1)
}

pub fn view(seen: &Seen) -> Markup {
    let fields = Fields::new(seen, View::Cold);
    let slot = &seen.answers.climate;
    let view = slot.value.as_ref().map(|climate| &climate.view);
    html! {
        (state_of(seen, slot))
        (short(seen))
        div.beside.knobs {
            div {
                @if let Some(tried) = &seen.answers.why.value {
                    h2 id="helps" { "What would help most" }
                    (measure_table(tried, seen.units))
                }
                @if let Some(failed) = &seen.answers.outage.value {
                    h2 id="failed" { "When the power fails" }
                    (outage_table(failed, seen.units))
                }
                @if let Some(view) = view {
                    h2 { "The year inside" }
                    (part::year(view, seen.units))
                    (part::notes(&view.notes, seen.units))
                }
            }
            section aria-labelledby="knobs" {
                h2 id="knobs" { "What can be turned" }
                p.quiet { "Each change is tried at once: first in a few weather years, then in all of them." }
                (fields.fields(&KNOBS))
                @for at in 0..fields.count("cover") { (fields.fields(&[&format!("cover[{at}].below")])) }
                (measures(seen))
                (outage(seen))
            }
        }
    }
}

/// The answer in short, with the figures before the last change.
pub fn short(seen: &Seen) -> Markup {
    let slot = &seen.answers.climate;
    let before = slot.before.as_ref().map(|climate| &climate.view);
    html! { @if let Some(climate) = &slot.value { (answer(&climate.view, before, seen.units)) } }
}

fn answer(view: &ClimateView, before: Option<&ClimateView>, units: Units) -> Markup {
    let was = |is: f64, of: fn(&ClimateView) -> Option<f64>| -> Option<String> {
        let old = of(before?)?;
        (fixed(old, 1) != fixed(is, 1)).then(|| format!(" (was {})", degrees(units, old)))
    };
    let (air, root) = (view.coldest_air_c, view.coldest_root_zone_c);
    html! {
        p.answer {
            "The coldest hour of a usual year takes the air to " b { (degrees(units, air)) }
            span.was { (was(air, |view| Some(view.coldest_air_c)).unwrap_or_default()) }
            " and the root zone to " b { (degrees(units, root)) }
            span.was { (was(root, |view| Some(view.coldest_root_zone_c)).unwrap_or_default()) } "."
            @if let Some(once) = view.air_once_in_ten_c() {
                " Once in ten years the air goes down to " b { (degrees(units, once)) }
                span.was { (was(once, ClimateView::air_once_in_ten_c).unwrap_or_default()) } "."
            }
            @let heater = view.heater_kwh_mean_year.unwrap_or(view.heater_kwh_year);
            @if heater > 0.0 {
                " The heater gives " b { (fixed(heater, 0)) " kWh" } " a year"
                @if let Some(old) = before.map(|old| old.heater_kwh_mean_year.unwrap_or(old.heater_kwh_year)).filter(|old| (old - heater).abs() >= 0.5) { span.was { " (was " (fixed(old, 0)) " kWh)" } } "."
            } @else { " No heater runs." }
        }
    }
}

fn measures(seen: &Seen) -> Markup {
    let slot = &seen.answers.why;
    html! {
        div.asked {
            h2 id="measures" { "What would help most" }
            @if seen.needs.contains(&Need::Why) { p.waiting role="status" { "Each measure is being tried …" } }
            @else if !slot.is_fresh(seen.draft.revision) {
                p { "Every measure is simulated in all weather years, the best first." }
                (act(seen, View::Cold, "measures", "Try the measures", ""))
            }
            @else if slot.value.is_some() { p { a href="#helps" { "The measures that were tried" } } }
            @if let Some(error) = &slot.error { p.trouble { (error) } }
        }
    }
}

fn measure_table(view: &WhyView, units: Units) -> Markup {
    let row = |row: &MeasureRow| {
        html! {
            tr {
                th scope="row" { (row.measure) @if !row.what.is_empty() { span.quiet { ": " (units.say(&row.what)) } } }
                td.number { (degrees(units, row.coldest_leaf_unheated_c)) }
                td.number { (units.said(row.gain_leaf_unheated_k, "K", 1)) }
                td.number { (fixed(row.heater_kwh, 0)) }
                td.number { (fixed(row.saved_heater_kwh, 0)) }
                td.number { (fixed(row.fan_kwh, 0)) }
                td.number { (row.saved_cost.map_or_else(|| "no price".to_owned(), |saved| fixed(saved, 0))) }
            }
        }
    };
    html! {
        div.scroll tabindex="0" role="region" aria-label="Table: measures" {
            table {
                caption { span { "The coldest hour at the leaves with the heater off, and what the heater then uses in a year" } }
                thead { tr { th scope="col" { "Measure" } th.number scope="col" { "Coldest leaf" } th.number scope="col" { "Warmer by" } th.number scope="col" { "Heater kWh" } th.number scope="col" { "Saves kWh" } th.number scope="col" { "Fans kWh" } th.number scope="col" { "Saves " (view.currency) " a year" } } }
                tbody { @for one in &view.measures { (row(one)) } }
            }
        }
        p.quiet { "What a measure costs to buy is yours to ask: it pays where that is less than what it saves in the years that it lasts." }
        (part::notes(&view.notes, units))
    }
}

fn outage(seen: &Seen) -> Markup {
    let slot = &seen.answers.outage;
    html! {
        div.asked {
            h2 id="outage" { "When the power fails" }
            @if seen.needs.contains(&Need::Outage) { p.waiting role="status" { "Being tried …" } }
            @else if !slot.is_fresh(seen.draft.revision) {
                p { "Hours until the beds freeze, when heater and fans stop as the coldest spell begins." }
                (act(seen, View::Cold, "outage", "Try it", ""))
            }
            @else if slot.value.is_some() { p { a href="#failed" { "Hours until the beds freeze" } } }
            @if let Some(error) = &slot.error { p.trouble { (error) } }
        }
    }
}

fn outage_table(view: &OutageView, units: Units) -> Markup {
    html! {
        p { "The power fails on " (view.date) " at " (view.clock_hour) " h, in a spell of " (degrees(units, view.spell_mean_c)) " on the mean of three days." }
        @for table in tables::outage(view) { (part::table(&table, units)) }
    }
}
