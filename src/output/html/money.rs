//! Money by month against the budget, and the year under its ceiling.

use maud::{Markup, html};

use super::chart::{
    BOTTOM, Chart, Key, LEFT, RIGHT, Spot, TOP, WIDTH, level_lines, month_feet, place, seamed_line,
};
use super::scale::Scale;
use super::table::Grid;
use crate::output::text::{fixed, money_decimals, month_head, percent};
use crate::output::units::Units;
use crate::output::view::{LifeRow, ValueView};

/// Height of the chart of months.
const HEIGHT: f64 = 170.0;
/// Height of a bar of the year, its name included.
const YEAR_BAR: f64 = 28.0;

/// The whole section.
pub(super) fn section(view: &ValueView, units: Units) -> Markup {
    let share =
        |share: Option<f64>| share.map_or("not known".to_string(), |share| percent(share, 1));
    html! {
        dl.figures {
            div { dt { "Share of the produce budget" } dd { (share(view.share_of_produce)) } }
            div { dt { "Share of all groceries" } dd { (share(view.share_of_groceries)) } }
            @if let Some(life) = &view.with_building { (life_figures(life, &view.currency)) }
            (cost_per_mass(view, units))
        }
        (months(view, units).render())
        (year(view).render())
        (prices(view, units))
        (costs(view))
    }
}

fn life_figures(life: &LifeRow, currency: &str) -> Markup {
    let years = |years: Option<f64>| match years {
        Some(years) => format!("{} years", fixed(years, 1)),
        None => format!("never within {} years", life.life_years),
    };
    html! {
        div { dt { "Outlay of " (fixed(life.outlay, 0)) " " (currency) " paid back in" } dd { (years(life.simple_years)) } }
        div { dt { "discounted at " (percent(life.discount_rate, 1)) } dd { (years(life.discounted_years)) } }
        div { dt { "Net present value over " (life.life_years) " years" } dd { (fixed(life.net_present_value, 0)) " " (currency) } }
    }
}

/// Cost of a kg or lb eaten, with the building's cost and without.
fn cost_per_mass(view: &ValueView, units: Units) -> Markup {
    let lives = [Some(&view.without_building), view.with_building.as_ref()];
    html! {
        @for life in lives.into_iter().flatten() {
            @if let Some(cost) = life.cost_per_kg {
                div {
                    dt { "A " (units.mass_unit()) " eaten costs, " (life.case) }
                    dd { (fixed(units.price_per_mass(cost), 2)) " " (view.currency) }
                }
            }
        }
    }
}

fn months(view: &ValueView, units: Units) -> Chart<'static> {
    let across = Scale::new((0.0, view.months.len() as f64), (LEFT, WIDTH - RIGHT));
    let all = view.months.iter().flat_map(|month| {
        let high = month.value_range.map_or(0.0, |range| range.p90);
        [month.value, month.cost, month.budget, high, 0.0]
    });
    let up = Scale::around(all, (HEIGHT - BOTTOM, TOP));
    let step = across.at(1.0) - across.at(0.0);
    let feet: Vec<(f64, f64, &'static str)> = view
        .months
        .iter()
        .zip(0..)
        .map(|(month, number)| {
            let x = across.at(f64::from(number));
            (x, x + step, month_head(month.month))
        })
        .collect();
    let drawing = html! {
        (level_lines(&up, &view.currency))
        @for (month, (x, _, _)) in view.months.iter().zip(&feet) {
            (bar("value", x + 0.1 * step, 0.45 * step, month.value, &up))
            (bar("cost", x + 0.6 * step, 0.25 * step, month.cost, &up))
            @if let Some(range) = month.value_range {
                line.range x1=(place(x + 0.325 * step)) x2=(place(x + 0.325 * step)) y1=(place(up.at(range.p10))) y2=(place(up.at(range.p90))) {}
            }
            (seamed_line("budget", (*x, x + step), up.at(month.budget)))
        }
        (month_feet(&feet, HEIGHT))
    };
    let currency = &view.currency;
    let mut legend = vec![
        ("value", Key::Box, "value of what is eaten".to_string()),
        ("cost", Key::Box, "running cost".to_string()),
        ("budget", Key::Line, "produce budget".to_string()),
    ];
    if view.months.iter().any(|month| month.value_range.is_some()) {
        legend.push((
            "range",
            Key::Line,
            "value in eight years of ten".to_string(),
        ));
    }
    let spots = view
        .months
        .iter()
        .zip(&feet)
        .map(|(month, (x, _, name))| Spot {
            x: *x,
            y: TOP,
            width: step,
            height: HEIGHT - TOP - BOTTOM,
            words: format!(
                "{name}: value {}, cost {}, net {}, budget {} {currency}{}",
                fixed(month.value, 0),
                fixed(month.cost, 0),
                fixed(month.net, 0),
                fixed(month.budget, 0),
                month
                    .share
                    .map(|share| format!("; {} of the budget", percent(share, 0)))
                    .unwrap_or_default(),
            ),
        })
        .collect();
    Chart {
        id: "money",
        title: "Money by month against the budget".to_string(),
        about: format!(
            "What the eaten food would have cost in the shop, the running cost, and the household's budget for produce, in {currency}."
        ),
        legend,
        keys: html! {},
        height: HEIGHT,
        drawing,
        spots,
        table: month_table(view, units),
    }
}

fn bar(class: &str, x: f64, width: f64, amount: f64, up: &Scale) -> Markup {
    let [edge, ground] = [up.at(amount), up.at(0.0)];
    html! {
        rect class=(class) x=(place(x)) y=(place(edge.min(ground))) width=(place(width)) height=(place((edge - ground).abs())) {}
    }
}

fn month_table(view: &ValueView, units: Units) -> Markup {
    let year = &view.year;
    let decimals = money_decimals(&[year.value, year.cost, year.net, year.budget]);
    let money = ["Value", "Cost", "Net", "Budget"].map(|head| format!("{head} {}", view.currency));
    let masses = ["Grown", "Eaten", "Kept", "Surplus"];
    let masses = masses.map(|head| format!("{head} {}", units.mass_unit()));
    let mut heads = vec!["Month"];
    heads.extend(masses.iter().map(String::as_str));
    heads.extend(money.iter().map(String::as_str));
    heads.push("Share");
    let mut grid = Grid::new("Food and money by month", &heads);
    let cells = |name: &str, masses: [f64; 4], money: [f64; 4], share: Option<f64>| {
        let mut cells = vec![name.to_string()];
        cells.extend(masses.map(|kg| fixed(units.mass(kg), 1)));
        cells.extend(money.map(|amount| fixed(amount, decimals)));
        cells.push(share.map(|share| percent(share, 0)).unwrap_or_default());
        cells
    };
    for month in &view.months {
        grid.row(cells(
            month_head(month.month),
            [
                month.grown_kg,
                month.eaten_kg,
                month.kept_kg,
                month.surplus_kg,
            ],
            [month.value, month.cost, month.net, month.budget],
            month.share,
        ));
    }
    grid.row(cells(
        "Year",
        [year.grown_kg, year.eaten_kg, year.kept_kg, year.surplus_kg],
        [year.value, year.cost, year.net, year.budget],
        year.share,
    ));
    grid.render()
}

/// The year as bars under the ceiling.
fn year(view: &ValueView) -> Chart<'static> {
    let bars = [
        ("value", "value of what is eaten", view.year.value),
        ("cost", "running cost", view.year.cost),
        ("net", "net", view.year.net),
        (
            "ceiling",
            "ceiling: all the fresh produce bought in a year",
            view.ceiling,
        ),
    ];
    let across = Scale::around(
        bars.iter().map(|bar| bar.2).chain([0.0]),
        (4.0, WIDTH - RIGHT),
    );
    let height = YEAR_BAR * bars.len() as f64 + TOP;
    let currency = &view.currency;
    let mut grid = Grid::new("The year under its ceiling", &["", currency.as_str()]);
    let mut spots = Vec::new();
    for (number, (_, name, amount)) in bars.iter().enumerate() {
        grid.row(vec![name.to_string(), fixed(*amount, 0)]);
        spots.push(Spot {
            x: 4.0,
            y: YEAR_BAR * number as f64,
            width: WIDTH - RIGHT - 4.0,
            height: YEAR_BAR,
            words: format!("{name}: {} {currency}", fixed(*amount, 0)),
        });
    }
    let ground = across.at(0.0);
    let drawing = html! {
        @for (number, (class, name, amount)) in bars.iter().enumerate() {
            @let top = YEAR_BAR * number as f64;
            @let edge = across.at(*amount);
            text.row-name x="4" y=(place(top + 11.0)) { (name) ", " (fixed(*amount, 0)) " " (currency) }
            rect class=(class) x=(place(edge.min(ground))) y=(place(top + 14.0)) width=(place((edge - ground).abs())) height="10" {}
        }
        line.ceiling-line x1=(place(across.at(view.ceiling))) x2=(place(across.at(view.ceiling))) y1="14" y2=(place(height)) {}
        line.ground x1=(place(ground)) x2=(place(ground)) y1="0" y2=(place(height)) {}
    };
    Chart {
        id: "ceiling",
        title: "The year under its ceiling".to_string(),
        about: "No plan saves more than all the fresh produce the household buys.".to_string(),
        legend: Vec::new(),
        keys: html! {},
        height,
        drawing,
        spots,
        table: grid.render(),
    }
}

fn prices(view: &ValueView, units: Units) -> Markup {
    let mass = units.mass_unit();
    let heads = [
        "Food".to_string(),
        "In place of".to_string(),
        format!("{} per {mass}", view.currency),
        format!("Eaten {mass}"),
        format!("Value {}", view.currency),
        "Source of the price".to_string(),
    ];
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let mut grid = Grid::new("Prices", &heads).words(&[1, 5]);
    for price in &view.prices {
        grid.row(vec![
            price.food.clone(),
            price.replaces.clone(),
            fixed(units.price_per_mass(price.price_per_kg), 2),
            fixed(units.mass(price.eaten_kg), 1),
            fixed(price.value, 2),
            price.source.clone(),
        ]);
    }
    grid.scrolling()
}

fn costs(view: &ValueView) -> Markup {
    let head = format!("{} a year", view.currency);
    let mut grid = Grid::new("Running costs", &["Cost", &head, "How it was counted"]).words(&[2]);
    for cost in &view.costs {
        grid.row(vec![
            cost.item.clone(),
            fixed(cost.cost, 2),
            cost.basis.clone(),
        ]);
    }
    grid.scrolling()
}
