//! Prices by food and month, and where they come from.

use super::sources::Sources;
use super::table::{Align, Sheet};
use super::{Look, notes};
use crate::output::text::{clean, fixed, month_head, percent};
use crate::output::view::{FoodPriceView, PricesView};

/// Twelve months of every food, then what stands behind each price.
pub fn prices(view: &PricesView, look: &Look) -> String {
    let mut text = look.head(&format!(
        "What food costs, {}, {} per {} as bought, in the money of {}",
        view.place,
        view.currency,
        look.units.mass_unit(),
        view.price_year
    ));
    text.push_str(&months(view, look));
    text.push_str(&sources(view, look));
    text.push_str(&look.prose(&format!(
        "\nBought is what people eat at home, over the share of it that is edible, over what the kitchen does not waste: \
         {} of all eating is at home, {} of bought food is wasted there.",
        percent(view.eaten_at_home, 0),
        percent(view.kitchen_loss, 0)
    )));
    text.push_str(&notes(&view.notes, look));
    text
}

/// Two half years of the foods whose price moves through the year; the others have one price in the table below.
fn months(view: &PricesView, look: &Look) -> String {
    let moving: Vec<(&str, [f64; 12])> = view
        .foods
        .iter()
        .filter_map(|food| Some((food.name.as_str(), food.price_per_kg?)))
        .filter(|(_, months)| months.iter().any(|price| *price != months[0]))
        .collect();
    if moving.is_empty() {
        return String::new();
    }
    let half = |months: std::ops::Range<usize>| {
        let mut sheet = Sheet::new(&[("Food", Align::Left)]);
        for month in months.clone() {
            sheet.column(month_head(month as u32 + 1), Align::Right);
        }
        for (name, prices) in &moving {
            let mut cells = vec![(*name).to_string()];
            let shown = |price: &f64| fixed(look.units.price_per_mass(*price), 2);
            cells.extend(prices[months.clone()].iter().map(shown));
            sheet.row(cells);
        }
        sheet.render(look)
    };
    format!("{}\n{}\n", half(0..6), half(6..12))
}

fn sources(view: &PricesView, look: &Look) -> String {
    let mass = look.units.mass_unit();
    let heads = [
        format!("Mean, {}\nper {mass}", clean(&view.currency)),
        format!("Bought\n{mass}/week"),
        "Edible\nshare".to_string(),
    ];
    let mut sheet = Sheet::new(&[("Food", Align::Left)]);
    for head in &heads {
        sheet.column(head, Align::Right);
    }
    sheet.column("Through\nthe year", Align::Left);
    sheet.column("Source", Align::Left);
    let mut sources = Sources::default();
    for food in &view.foods {
        let (mean, course) = match food.price_per_kg {
            Some(months) => {
                let mean = months.iter().sum::<f64>() / months.len() as f64;
                let moves = months.iter().any(|price| *price != months[0]);
                let course = if moves { "moves" } else { "one price" };
                (fixed(look.units.price_per_mass(mean), 2), course)
            }
            None => ("ask".to_string(), ""),
        };
        sheet.row(vec![
            food.name.clone(),
            mean,
            fixed(look.units.mass(food.bought_kg_week), 2),
            percent(food.edible_share, 0),
            course.to_string(),
            sources.number(&source(food)),
        ]);
    }
    format!("{}\n{}", sheet.render(look), sources.list(look))
}

fn source(food: &FoodPriceView) -> String {
    match food.price_source_year {
        Some(year) => format!("{}, {year} ({})", food.price_source, food.price_mark),
        None => format!("{} ({})", food.price_source, food.price_mark),
    }
}
