//! The week's food against the wish.

use std::collections::BTreeSet;

use maud::{Markup, html};

use super::beds::month_stretches;
use super::chart::{
    BOTTOM, Chart, Key, LEFT, RIGHT, Spot, TOP, WIDTH, level_lines, month_feet, place, seamed_line,
};
use super::scale::Scale;
use super::strips::{StripRow, Strips};
use super::table::Grid;
use crate::output::text::{fixed, short_date};
use crate::output::units::Units;
use crate::output::view::{PlanView, WeekView};

/// Height of the drawing.
const HEIGHT: f64 = 150.0;
/// Share of its week that a bar fills.
const FILL: f64 = 0.75;

/// The whole section.
pub(super) fn section(view: &PlanView, units: Units) -> Markup {
    html! {
        (weeks(view, units).render())
        (foods(view, units))
    }
}

fn weeks(view: &PlanView, units: Units) -> Chart<'static> {
    let unit = units.mass_unit();
    let count = view.weeks.len().max(1) as f64;
    let across = Scale::new((0.0, count), (LEFT, WIDTH - RIGHT));
    let all = view
        .weeks
        .iter()
        .flat_map(|week| [week.row.food_kg, week.row.wish_kg]);
    let up = Scale::around(
        all.map(|kg| units.mass(kg)).chain([0.0]),
        (HEIGHT - BOTTOM, TOP),
    );
    let at = |kg: f64| up.at(units.mass(kg));
    let step = across.at(1.0) - across.at(0.0);
    let feet: Vec<(f64, f64, &'static str)> = month_stretches(view.start)
        .into_iter()
        .map(|(from, to, name)| (across.at(from as f64), across.at(to as f64), name))
        .collect();
    let drawing = html! {
        (level_lines(&up, unit))
        @for (number, week) in view.weeks.iter().enumerate() {
            @let x = across.at(number as f64);
            rect.food x=(place(x + step * (1.0 - FILL) / 2.0)) y=(place(at(week.row.food_kg)))
                width=(place(step * FILL)) height=(place(at(0.0) - at(week.row.food_kg))) {}
            @if week.row.wish_kg > 0.0 {
                (seamed_line("wish", (x, x + step), at(week.row.wish_kg)))
            }
        }
        (month_feet(&feet, HEIGHT))
    };
    let heads = [
        "Week of",
        &format!("Food {unit}"),
        &format!("Wish {unit}"),
        "Foods",
        "Food by food",
    ];
    let mut grid = Grid::new("Food week by week", &heads).words(&[4]);
    let mut spots = Vec::new();
    for (number, week) in view.weeks.iter().enumerate() {
        let foods = by_food(week, units);
        let [food, wish] = [week.row.food_kg, week.row.wish_kg].map(|kg| fixed(units.mass(kg), 1));
        grid.row(vec![
            week.row.start.to_string(),
            food.clone(),
            wish.clone(),
            week.row.foods.to_string(),
            foods.clone(),
        ]);
        spots.push(Spot {
            x: across.at(number as f64),
            y: TOP,
            width: step,
            height: HEIGHT - TOP - BOTTOM,
            words: format!(
                "Week of {}: {food} {unit} of {wish} {unit} wished; {foods}",
                short_date(week.row.start)
            ),
        });
    }
    Chart {
        id: "food",
        title: "The week's food against the wish".to_string(),
        about: "Food for the table in each week, from the beds and from store, and what the household asked for.".to_string(),
        legend: vec![
            ("food", Key::Box, "food of the week".to_string()),
            ("wish", Key::Line, "wish".to_string()),
        ],
        keys: html! {},
        height: HEIGHT,
        drawing,
        spots,
        table: grid.render(),
    }
}

fn by_food(week: &WeekView, units: Units) -> String {
    let words = |food: &crate::output::view::FoodWeek| {
        format!(
            "{} {} {}",
            food.food,
            fixed(units.mass(food.food_kg), 1),
            units.mass_unit()
        )
    };
    week.by_food
        .iter()
        .map(words)
        .collect::<Vec<_>>()
        .join(", ")
}

/// A strip for each food.
fn foods(view: &PlanView, units: Units) -> Markup {
    let unit = units.mass_unit();
    let names: BTreeSet<&str> = view
        .weeks
        .iter()
        .flat_map(|week| &week.by_food)
        .map(|food| food.food.as_str())
        .collect();
    if names.is_empty() {
        return html! {};
    }
    let mut grid = Grid::new(
        "Food by food",
        &[
            "Food",
            &format!("in the year {unit}"),
            &format!("wished {unit}"),
        ],
    );
    let mut rows = Vec::new();
    for name in names {
        let of = |week: &WeekView| {
            let found = week.by_food.iter().find(|food| food.food == name);
            found.map_or((0.0, 0.0), |food| {
                (units.mass(food.food_kg), units.mass(food.wish_kg))
            })
        };
        let pairs: Vec<(f64, f64)> = view.weeks.iter().map(of).collect();
        let [food, wish] = [
            pairs.iter().map(|pair| pair.0).sum(),
            pairs.iter().map(|pair| pair.1).sum::<f64>(),
        ];
        grid.row(vec![name.to_string(), fixed(food, 1), fixed(wish, 1)]);
        let words = |(week, (food, wish)): (&WeekView, &(f64, f64))| {
            let [food, wish] = [food, wish].map(|amount| fixed(*amount, 1));
            format!(
                "{name}, week of {}: {food} {unit} of {wish} {unit} wished",
                short_date(week.row.start)
            )
        };
        rows.push(StripRow {
            name: format!("{name}, {} {unit} in the year", fixed(food, 1)),
            values: pairs.iter().map(|pair| pair.0).collect(),
            limits: pairs.iter().map(|pair| pair.1).collect(),
            words: view.weeks.iter().zip(&pairs).map(words).collect(),
        });
    }
    Strips {
        id: "foods",
        title: "Food by food",
        about: format!("The same week by week for each food, in {unit}; the line is the wish."),
        rows,
        stretches: month_stretches(view.start),
        bars: "food",
        count: view.weeks.len().max(1),
        table: grid.render(),
    }
    .render()
}
