//! The week's food against each target.

use std::collections::BTreeSet;

use maud::{Markup, html};

use super::beds::month_stretches;
use super::strips::{StripRow, Strips};
use super::table::draw;
use crate::output::tables;
use crate::output::text::{fixed, short_date};
use crate::output::units::Units;
use crate::output::view::{FoodWeek, PlanView, TARGET, WeekView};

/// A panel for each target: what is on the table of that food or group, and the target as a line.
pub fn targets(view: &PlanView, units: Units) -> Markup {
    panels(
        view,
        units,
        "targets",
        "The week's food against each target",
        "Food on the table week by week; the line is the target.",
        true,
    )
}

/// A panel for each food.
pub fn foods(view: &PlanView, units: Units) -> Markup {
    panels(
        view,
        units,
        "foods",
        "Food by food",
        "On the table week by week.",
        false,
    )
}

fn panels(
    view: &PlanView,
    units: Units,
    id: &'static str,
    title: &'static str,
    about: &str,
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
        stretches: month_stretches(view.start),
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
