//! Prices by food, and what is to be asked.

use super::table::{Align, Sheet};
use super::{Look, remarks, warnings};
use crate::output::text::{clean, fixed, percent, prices_of};
use crate::output::view::PricesView;

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
