//! Money by month against the budget, and the year under its ceiling.

use maud::{Markup, html};

use super::chart::{
    BOTTOM, Chart, Key, LEFT, RIGHT, Scale, Spot, TOP, WIDTH, level_lines, month_feet, place,
    seamed_line,
};
use super::lists::{draw_all, grid};
use crate::output::answer::{Account, beyond, money};
use crate::output::tables;
use crate::output::text::{fixed, month_head, percent};
use crate::output::units::Units;
use crate::output::view::ValueView;

/// Height of the chart of months.
const HEIGHT: f64 = 170.0;
/// Height of a bar of the year, its name included.
const YEAR_BAR: f64 = 28.0;

/// The whole section.
pub fn section(view: &ValueView, units: Units) -> Markup {
    html! {
        p { (money(view, units)) (beyond(view, units)) }
        (months(view, units).render())
        (year(view, units).render())
        (draw_all(&tables::value(view), units))
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
        ("value", Key::Box, "value of what is eaten"),
        ("cost", Key::Box, "running cost"),
        ("budget", Key::Line, "produce budget"),
    ];
    if view.months.iter().any(|month| month.value_range.is_some()) {
        legend.push(("range", Key::Line, "value in eight years of ten"));
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
                "{name}: value {}, cost {}, net {}, budget {} {currency}{}{}",
                fixed(month.value, 0),
                fixed(month.cost, 0),
                fixed(month.net, 0),
                fixed(month.budget, 0),
                month
                    .share
                    .map(|share| format!("; {} of the budget", percent(share, 0)))
                    .unwrap_or_default(),
                view.not_counted(units),
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
        height: HEIGHT,
        drawing,
        spots,
        ..Chart::default()
    }
}

fn bar(class: &str, x: f64, width: f64, amount: f64, up: &Scale) -> Markup {
    let [edge, ground] = [up.at(amount), up.at(0.0)];
    html! {
        rect class=(class) x=(place(x)) y=(place(edge.min(ground))) width=(place(width)) height=(place((edge - ground).abs())) {}
    }
}

/// The year as bars under the ceiling.
fn year(view: &ValueView, units: Units) -> Chart<'static> {
    let net = format!("net{}", view.not_counted(units));
    let account = Account::of(&view.year);
    let bars = [
        (
            "value",
            "value of what is eaten, middle year",
            account.saved,
        ),
        ("cost", "running cost", account.spent),
        ("net", net.as_str(), account.left),
        (
            "ceiling",
            "all the fresh produce bought in a year",
            view.ceiling,
        ),
    ];
    let across = Scale::around(
        bars.iter().map(|bar| bar.2).chain([0.0]),
        (4.0, WIDTH - RIGHT),
    );
    let height = YEAR_BAR * bars.len() as f64 + TOP;
    let currency = &view.currency;
    let mut rows = Vec::new();
    let mut spots = Vec::new();
    for (number, (_, name, amount)) in bars.iter().enumerate() {
        rows.push(vec![name.to_string(), fixed(*amount, 0)]);
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
        title: "The year against all produce bought".to_string(),
        about: "No garden saves more than all the fresh produce that the household buys."
            .to_string(),
        height,
        drawing,
        spots,
        table: grid(
            "The year against all produce bought",
            &[String::new(), currency.clone()],
            &rows,
            &[],
        ),
        ..Chart::default()
    }
}
