//! Variants side by side: one column each.

use super::table::{Align, Sheet};
use super::{Look, notes};
use crate::output::text::fixed;
use crate::output::view::{CompareRow, CompareView};

/// One line of the table: its head, unit (as `Units::convert` knows it), decimals and figure.
struct Line {
    head: &'static str,
    unit: &'static str,
    decimals: usize,
    figure: fn(&CompareRow) -> Option<f64>,
}

/// A line of the table.
const fn line(
    head: &'static str,
    unit: &'static str,
    decimals: usize,
    figure: fn(&CompareRow) -> Option<f64>,
) -> Line {
    Line {
        head,
        unit,
        decimals,
        figure,
    }
}

/// What is compared, in order.
const LINES: [Line; 13] = [
    line("Coldest hour, air", "°C", 1, |row| Some(row.coldest_air_c)),
    line("Coldest month, air", "°C", 1, |row| {
        Some(row.coldest_month_air_c)
    }),
    line("Coldest hour, root zone", "°C", 1, |row| {
        Some(row.coldest_root_zone_c)
    }),
    line("Light, darkest month", "mol/m2/d", 1, |row| {
        Some(row.darkest_month_mol_m2_day)
    }),
    line("Heater", "kWh", 0, |row| Some(row.heater_kwh)),
    line("Fan", "kWh", 0, |row| Some(row.fan_kwh)),
    line("Grown", "kg", 0, |row| row.grown_kg),
    line("Eaten", "kg", 0, |row| row.eaten_kg),
    line("Weeks with food", "weeks", 0, |row| {
        row.weeks_with_food.map(f64::from)
    }),
    line("Value", "", 0, |row| row.value),
    line("Cost", "", 0, |row| row.cost),
    line("Net", "", 0, |row| row.net),
    line("Payback", "years", 1, |row| row.payback_years),
];

/// Buildings and variants side by side.
pub fn compare(view: &CompareView, look: &Look) -> String {
    let mut text = look.head(&format!("Side by side, {}", view.place));
    let mut sheet = Sheet::new(&[("", Align::Left), ("Unit", Align::Left)]);
    for variant in &view.variants {
        sheet.column(&variant.variant, Align::RightUnderLongHead);
    }
    for line in LINES {
        let figures: Vec<Option<f64>> = view.variants.iter().map(line.figure).collect();
        if figures.iter().all(Option::is_none) {
            continue;
        }
        let (_, unit) = look.units.convert(0.0, line.unit);
        let unit = if line.unit.is_empty() {
            view.currency.as_str()
        } else {
            unit
        };
        let mut cells = vec![line.head.to_string(), unit.to_string()];
        cells.extend(figures.into_iter().map(|figure| match figure {
            Some(value) => fixed(look.units.convert(value, line.unit).0, line.decimals),
            None => "-".to_string(),
        }));
        sheet.row(cells);
    }
    text.push_str(&sheet.render(look));
    text.push_str(&notes(&view.notes, look));
    text
}
