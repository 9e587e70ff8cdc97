//! What the plan's own leaves changed: words and cells that terminal and page share.

use super::text::{clean, fixed, money_decimals};
use super::units::Units;
use super::view::SecondPassView;

/// What the table shows.
pub const CAPTION: &str = "Leaf area that shades and breathes in the building, per area of bed";

/// The two rows of months: a name, then twelve figures.
pub fn rows(pass: &SecondPassView) -> [Vec<String>; 2] {
    let row = |name: &str, months: &[f64; 12]| {
        let figures = months.iter().map(|area| fixed(*area, 1));
        std::iter::once(name.to_owned()).chain(figures).collect()
    };
    [
        row("file", &pass.assumed_leaf_area),
        row("plan", &pass.own_leaf_area),
    ]
}

/// What came of it.
pub fn outcome(pass: &SecondPassView, currency: &str, units: Units) -> String {
    let decimals = money_decimals(&pass.worth);
    let [cold_before, cold] = pass
        .air_min_c
        .map(|celsius| fixed(units.temperature(celsius), 1));
    let [worth_before, worth] = pass.worth.map(|worth| fixed(worth, decimals));
    format!(
        "With the leaves of the first plan in place of the file's the coldest hour is {cold} {} (was {cold_before}), and the plan \
         made on that climate, shown here, is worth {worth} {} (was {worth_before}).",
        units.temperature_unit(),
        clean(currency),
    )
}
