//! The produce against the budget.

use super::table::{Align, Sheet, Tint};
use super::{Look, notes};
use crate::output::text::{clean, fixed, money_decimals, month_head, percent};
use crate::output::view::{PaybackView, ValueView};

/// Food and money month by month, the year, the ceiling, and what stands behind them.
pub fn value(view: &ValueView, look: &Look) -> String {
    let mut text = look.head(&format!(
        "Produce against the budget, {}, in {}",
        view.place, view.currency
    ));
    text.push_str(&months(view, look));
    text.push_str(&look.prose(&shares(view)));
    text.push_str(&prices(view, look));
    text.push_str(&costs(view, look));
    if let Some(payback) = &view.payback {
        text.push_str(&look.prose(&payback_words(payback, &view.currency)));
    }
    text.push_str(&notes(&view.notes, look));
    text
}

/// The amounts of one line: four masses, four of money, a share.
struct Line {
    head: String,
    masses: [f64; 4],
    money: [f64; 4],
    share: Option<f64>,
}

fn lines(view: &ValueView) -> Vec<Line> {
    let mut lines: Vec<Line> = view
        .months
        .iter()
        .map(|month| Line {
            head: month_head(month.month).to_string(),
            masses: [
                month.grown_kg,
                month.eaten_kg,
                month.kept_kg,
                month.surplus_kg,
            ],
            money: [month.value, month.cost, month.net, month.budget],
            share: month.share,
        })
        .collect();
    let year = &view.year;
    lines.push(Line {
        head: "Year".to_string(),
        masses: [year.grown_kg, year.eaten_kg, year.kept_kg, year.surplus_kg],
        money: [year.value, year.cost, year.net, year.budget],
        share: year.share,
    });
    lines
}

fn months(view: &ValueView, look: &Look) -> String {
    let mut sheet = Sheet::new(&[("\nMonth", Align::Key)]);
    let mass = look.units.mass_unit();
    for (index, head) in ["grown", "eaten", "kept", "surplus"].iter().enumerate() {
        let first = if index == 0 { mass } else { "" };
        sheet.column(&format!("{first}\n{head}"), Align::Right);
    }
    for (index, head) in ["value", "cost", "net", "budget"].iter().enumerate() {
        let first = if index == 0 {
            view.currency.as_str()
        } else {
            ""
        };
        sheet.column(&format!("{first}\n{head}"), Align::Right);
    }
    sheet.column("\nshare", Align::Right);
    let lines = lines(view);
    let decimals = money_decimals(&[
        view.year.value,
        view.year.cost,
        view.year.net,
        view.year.budget,
    ]);
    for line in lines {
        let mut cells = vec![(line.head, Tint::None)];
        let mass = |kg: f64| (fixed(look.units.mass(kg), 1), Tint::None);
        cells.extend(line.masses.map(mass));
        cells.extend(line.money.map(|amount| {
            let tint = if amount < 0.0 { Tint::Bad } else { Tint::None };
            (fixed(amount, decimals), tint)
        }));
        let share = line
            .share
            .map(|share| percent(share, 0))
            .unwrap_or_default();
        cells.push((share, Tint::None));
        sheet.tinted(cells);
    }
    sheet.render(look)
}

fn shares(view: &ValueView) -> String {
    let currency = clean(&view.currency);
    let mut text = format!(
        "\nCeiling: all the fresh produce bought in a year costs {} {currency}; no plan saves more.\n",
        fixed(view.ceiling, money_decimals(&[view.ceiling])),
    );
    let share =
        |share: Option<f64>| share.map_or("not known".to_string(), |share| percent(share, 1));
    text.push_str(&format!(
        "Share of the produce budget: {}; of all groceries: {}.\n",
        share(view.share_of_produce),
        share(view.share_of_groceries),
    ));
    if let Some(net) = view.year.net_range {
        let decimals = money_decimals(&[net.p10, net.p90]);
        text.push_str(&format!(
            "Net over the weather years: {} in the median year, {} to {} in eight years of ten.\n",
            fixed(net.p50, decimals),
            fixed(net.p10, decimals),
            fixed(net.p90, decimals),
        ));
    }
    text
}

fn prices(view: &ValueView, look: &Look) -> String {
    if view.prices.is_empty() {
        return String::new();
    }
    let mass = look.units.mass_unit();
    let heads = [
        format!("{}\nper {mass}", view.currency),
        format!("Eaten\n{mass}"),
        format!("Value\n{}", view.currency),
    ];
    let mut sheet = Sheet::new(&[("Food", Align::Left), ("In place of", Align::Left)]);
    for head in &heads {
        sheet.column(head, Align::Right);
    }
    sheet.column("Source of the price", Align::Left);
    for price in &view.prices {
        sheet.row(vec![
            price.food.clone(),
            price.replaces.clone(),
            fixed(look.units.price_per_mass(price.price_per_kg), 2),
            fixed(look.units.mass(price.eaten_kg), 1),
            fixed(price.value, 2),
            price.source.clone(),
        ]);
    }
    format!("\nPrices\n{}", sheet.render(look))
}

fn costs(view: &ValueView, look: &Look) -> String {
    if view.costs.is_empty() {
        return String::new();
    }
    let head = format!("{} a year", view.currency);
    let mut sheet = Sheet::new(&[
        ("Cost", Align::Left),
        (head.as_str(), Align::Right),
        ("How it was counted", Align::Left),
    ]);
    for cost in &view.costs {
        sheet.row(vec![
            cost.item.clone(),
            fixed(cost.cost, 2),
            cost.basis.clone(),
        ]);
    }
    format!("\nCosts\n{}", sheet.render(look))
}

fn payback_words(payback: &PaybackView, currency: &str) -> String {
    let years = |years: Option<f64>| match years {
        Some(years) => format!("{} years", fixed(years, 1)),
        None => format!("never within {} years", payback.horizon_years),
    };
    format!(
        "\nOutlay {} {}: paid back in {}; discounted at {}: {}.\nNet present value over {} years: {} {}.\n",
        fixed(payback.outlay, 0),
        clean(currency),
        years(payback.simple_years),
        percent(payback.discount_rate, 1),
        years(payback.discounted_years),
        payback.horizon_years,
        fixed(payback.net_present_value, 0),
        clean(currency),
    )
}
