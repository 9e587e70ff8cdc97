//! The produce against the budget, prices by food, variants side by side.

use super::table::{Align, Sheet};
use super::{Look, draw, notes, remarks, warnings};
use crate::output::answer::{beyond, money};
use crate::output::tables;
use crate::output::text::{clean, fixed, joined, money_decimals, percent, prices_of};
use crate::output::view::{CompareView, CoverView, PricesView, ValueView};

/// Saved, spent, net, share, ceiling, and the months; or what a share that is asked for would take.
pub fn value(view: &ValueView, look: &Look) -> String {
    let months = tables::value(view).into_iter().next().unwrap_or_default();
    let mut text = look.head(&months.title);
    let (told, beside) = (money(view, look.units), beyond(view, look.units));
    text.push_str(&look.prose(&format!("{told}{beside} {}", shares(view))));
    if let Some(cover) = &view.cover {
        text.push_str(&answer(cover, look));
        return text;
    }
    text.push_str(&draw(&months.bare(), look));
    if view.year.value_range.is_some() {
        text.push_str(&look.prose(MEANS));
    }
    text
}

/// What the months are beside the year that is told.
const MEANS: &str =
    "Months are means of the weather years, rounded each by itself, and add up to the mean year.";

/// What to know of the account.
pub fn value_notes(view: &ValueView, look: &Look) -> String {
    notes(&view.notes, look)
}

fn shares(view: &ValueView) -> String {
    let currency = clean(&view.currency);
    let ceiling = fixed(view.ceiling, money_decimals(&[view.ceiling]));
    let groceries = view.share_of_groceries.map_or_else(String::new, |share| {
        format!(", and {} of all groceries are covered", percent(share, 1))
    });
    let prices = match view.foreign_prices.as_str() {
        "" => String::new(),
        country => format!(" Prices: {country}, in {currency}."),
    };
    format!(
        "No garden saves more than the {ceiling} {currency} that this produce costs{groceries}.{prices}\n"
    )
}

fn answer(cover: &CoverView, look: &Look) -> String {
    let lines = joined(&cover.answer, "\n", |line| look.units.say(line));
    format!("\nWhat would it take?\n{}", look.prose(&lines))
}

/// Foods beside each other in a line.
const ABREAST: usize = 3;

/// The mean price of every food, the dearest first, and how what is bought becomes what is eaten.
pub fn prices(view: &PricesView, look: &Look) -> String {
    let mut text = look.head(&format!(
        "What food costs{}, {} per {} as bought, mean of the year, in the money of {}",
        prices_of(&view.foreign_prices),
        view.currency,
        look.units.mass_unit(),
        view.price_year
    ));
    let mean = |months: [f64; 12]| months.iter().sum::<f64>() / months.len() as f64;
    let mut foods: Vec<(&str, f64)> = view
        .foods
        .iter()
        // Three abreast leave no room for a second name.
        .filter_map(|food| Some((food.name.split(" (").next()?, mean(food.price_per_kg?))))
        .collect();
    foods.sort_by(|a, b| b.1.total_cmp(&a.1));
    let lines = foods.len().div_ceil(ABREAST).max(1);
    let mut sheet = Sheet::new(&[("", Align::Left); 2 * ABREAST]);
    for line in 0..lines {
        let of_line = foods.iter().skip(line).step_by(lines);
        let cells = of_line
            .flat_map(|(name, price)| [clean(name), fixed(look.units.price_per_mass(*price), 2)]);
        sheet.row(cells.collect());
    }
    text.push_str(&sheet.render(look));
    text.push_str(&look.prose(&format!(
        "{} of all eating is at home, {} of bought food is wasted there.",
        percent(view.eaten_at_home, 0),
        percent(view.kitchen_loss, 0)
    )));
    text.push_str(&warnings(&view.notes, look));
    text
}

/// What is assumed of the prices.
pub fn prices_notes(view: &PricesView, look: &Look) -> String {
    remarks(&view.notes, look)
}

/// Cold, light, energy, and where plans were made money: a row for each building or variant.
pub fn compare(view: &CompareView, look: &Look) -> String {
    let tables = tables::compare(view);
    let shown = tables
        .iter()
        .filter(|table| matches!(table.name, "figures" | "money"));
    let mut text: String = shown.map(|table| draw(table, look)).collect();
    let open = view.variants.iter().filter(|row| !row.left_out.is_empty());
    for row in open {
        text.push_str(&look.prose(&format!(
            "{}: cost and net are without {}.\n",
            row.variant, row.left_out
        )));
    }
    text.push_str(&look.prose(
        "Coldest hours are medians over the weather years, energy is their mean; months with frost have an hour below \
         freezing in the usual year.",
    ));
    text.push_str(&warnings(&view.notes, look));
    text
}

/// What to mind of the variants.
pub fn compare_notes(view: &CompareView, look: &Look) -> String {
    remarks(&view.notes, look)
}
