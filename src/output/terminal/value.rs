//! The produce against the budget.

use super::sources::Sources;
use super::table::{Align, Sheet, Tint};
use super::{Look, notes};
use crate::output::text::{clean, fixed, money_decimals, month_head, percent};
use crate::output::view::{CoverView, LifeRow, Spread, ValueView};

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
    text.push_str(&life(view, look));
    if let Some(cover) = &view.cover {
        text.push_str(&answer(cover, look));
    }
    text.push_str(&notes(&view.notes, look));
    text
}

/// Costs by month and item, and what the weather years make of each month.
pub fn value_by_month(view: &ValueView, look: &Look) -> String {
    format!("{}{}", costs_by_month(view, look), spread(view, look))
}

/// The amounts of one line: four masses, four of money, a share.
struct Line {
    head: String,
    masses: [f64; 4],
    money: [f64; 4],
    share: Option<f64>,
    work_h: f64,
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
            work_h: month.work_h,
        })
        .collect();
    let year = &view.year;
    lines.push(Line {
        head: "Year".to_string(),
        masses: [year.grown_kg, year.eaten_kg, year.kept_kg, year.surplus_kg],
        money: [year.value, year.cost, year.net, year.budget],
        share: year.share,
        work_h: year.work_h,
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
    sheet.column("h\nwork", Align::Right);
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
        cells.push((fixed(line.work_h, 0), Tint::None));
        sheet.tinted(cells);
    }
    format!("{}{}", sheet.render(look), look.prose(MONTHS))
}

/// What the heads of the months mean.
const MONTHS: &str = "eaten: in place of buying, fresh or from what was kept. kept: put by in the month to be eaten later. \
                      surplus: neither. share: value as a part of the produce budget. h work: hours, not counted as a cost.";
/// Why price times amount is not the value.
const PRICES: &str = "The price is the mean of the year's months. The value is counted week by week at the price of that \
                      month, and what is eaten in place of another food at that food's price, so it is not price times \
                      amount.\n";

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
    let mut sheet = Sheet::new(&[("Food eaten in place of buying", Align::Left)]);
    for head in &heads {
        sheet.column(head, Align::Right);
    }
    sheet.column("Source of\nthe price", Align::Left);
    let mut sources = Sources::default();
    for price in &view.prices {
        sheet.row(vec![
            price.food.clone(),
            fixed(look.units.price_per_mass(price.price_per_kg), 2),
            fixed(look.units.mass(price.eaten_kg), 1),
            fixed(price.value, 2),
            sources.number(&price.source),
        ]);
    }
    format!(
        "\nPrices\n{}{}\n{}",
        sheet.render(look),
        look.prose(PRICES),
        sources.list(look)
    )
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

/// Costs by month, one column an item, nothing where an item costs nothing all year.
fn costs_by_month(view: &ValueView, look: &Look) -> String {
    let items: Vec<&str> = view
        .costs
        .iter()
        .filter(|cost| cost.cost != 0.0)
        .map(|cost| cost.item.as_str())
        .collect();
    if items.is_empty() || view.costs_by_month.is_empty() {
        return String::new();
    }
    let mut sheet = Sheet::new(&[("Month", Align::Key)]);
    for item in &items {
        sheet.column(item, Align::RightUnderLongHead);
    }
    sheet.column("together", Align::Right);
    for month in &view.months {
        let mut cells = vec![month_head(month.month).to_string()];
        cells.extend(items.iter().map(|item| {
            view.costs_by_month
                .iter()
                .find(|row| row.month == month.month && row.item == *item)
                .map_or_else(String::new, |row| fixed(row.cost, 2))
        }));
        cells.push(fixed(month.cost, 2));
        sheet.row(cells);
    }
    format!(
        "\nCosts by month, {}\n{}",
        clean(&view.currency),
        sheet.render(look)
    )
}

/// Grown, value and net of each month over the weather years.
fn spread(view: &ValueView, look: &Look) -> String {
    let mass = look.units.mass_unit();
    let currency = clean(&view.currency);
    let mut sheet = Sheet::new(&[("Month", Align::Key)]);
    for head in [
        format!("grown, {mass}"),
        format!("value, {currency}"),
        format!("net, {currency}"),
    ] {
        sheet.column(&head, Align::Right);
    }
    let range = |range: Option<Spread>, of: &dyn Fn(f64) -> f64| {
        range.map_or_else(String::new, |range| {
            let [low, middle, high] =
                [range.p10, range.p50, range.p90].map(|amount| fixed(of(amount), 1));
            format!("{middle} ({low} to {high})")
        })
    };
    let same = |amount: f64| amount;
    for month in &view.months {
        sheet.row(vec![
            month_head(month.month).to_string(),
            range(month.grown_range, &|kg| look.units.mass(kg)),
            range(month.value_range, &same),
            range(month.net_range, &same),
        ]);
    }
    sheet.row(vec![
        "Year".to_string(),
        String::new(),
        range(view.year.value_range, &same),
        range(view.year.net_range, &same),
    ]);
    format!(
        "\nOver the weather years: median (one year in ten lower to higher)\n{}",
        sheet.render(look)
    )
}

/// What the beds bring over the building's life, with its cost and without.
fn life(view: &ValueView, look: &Look) -> String {
    let rows: Vec<&LifeRow> = std::iter::once(&view.without_building)
        .chain(&view.with_building)
        .collect();
    let mass = look.units.mass_unit();
    let per_mass = format!("cost of\n1 {mass}");
    let heads = [
        "\noutlay",
        "paid\nback, y",
        "discounted\ny",
        "net present\nvalue",
        "net\na year",
        per_mass.as_str(),
    ];
    let mut sheet = Sheet::new(&[(view.currency.as_str(), Align::Left)]);
    for head in heads {
        sheet.column(head, Align::Right);
    }
    for row in &rows {
        let years = |years: Option<f64>| match years {
            Some(years) => fixed(years, 1),
            None if row.outlay > 0.0 => "never".to_string(),
            None => "-".to_string(),
        };
        sheet.row(vec![
            row.case.clone(),
            fixed(row.outlay, 0),
            years(row.simple_years),
            years(row.discounted_years),
            fixed(row.net_present_value, 0),
            fixed(row.net_year, 0),
            row.cost_per_kg.map_or("-".to_string(), |cost| {
                fixed(look.units.price_per_mass(cost), 2)
            }),
        ]);
    }
    let first = &view.without_building;
    let mut text = format!(
        "\nOver {} years at {} a year above inflation; new covers paid when due\n{}",
        first.life_years,
        percent(first.discount_rate, 1),
        sheet.render(look)
    );
    if view.with_building.is_none() {
        text.push_str(&look.prose(
            "The building's own cost is not in the file; give it under [money] as `building`.",
        ));
    }
    text
}

fn answer(cover: &CoverView, look: &Look) -> String {
    let lines: Vec<String> = cover
        .answer
        .iter()
        .map(|line| look.units.say(line))
        .collect();
    format!("\nWhat would it take?\n{}", look.prose(&lines.join("\n")))
}
