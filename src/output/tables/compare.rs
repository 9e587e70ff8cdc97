//! Buildings and variants side by side, as tables: a row each.

use super::DataTable;
use crate::output::row::{Cell, Column, Kind};
use crate::output::view::{CompareRow, CompareView};

/// Cold, light and energy; money where plans were made; months in for warm crops; each against the first.
pub fn compare(view: &CompareView) -> Vec<DataTable> {
    let mut tables = vec![
        DataTable::of("figures", &view.variants)
            .titled(format!(
                "Side by side, {}; money in {}",
                view.place, view.currency
            ))
            .show(&[
                "variant",
                "coldest_air_c",
                "coldest_root_zone_c",
                "darkest_month_mol_m2_day",
                "months_with_frost",
                "heater_kwh",
                "fan_kwh",
                "energy_cost",
            ]),
    ];
    if view.variants.iter().any(|row| row.value.is_some()) {
        let money = DataTable::of("money", &view.variants);
        tables.push(
            money
                .titled(format!("What the beds bring in a year, {}", view.currency))
                .show(&[
                    "variant",
                    "grown_kg",
                    "winter_grown_kg",
                    "eaten_kg",
                    "value",
                    "cost",
                    "net",
                    "payback_years",
                    "net_present_value",
                ]),
        );
    }
    tables.extend([months_in(view), changes(view), fuels(view)]);
    tables
}

/// Months that warm crops can stay in, a column for each variant.
fn months_in(view: &CompareView) -> DataTable {
    let mut crops: Vec<(&str, &str)> = Vec::new();
    for row in view.months_in.iter().filter(|row| row.months_in.is_some()) {
        if !crops.contains(&(&row.crop, &row.crop_name)) {
            crops.push((&row.crop, &row.crop_name));
        }
    }
    let of = |crop: &str, variant: &CompareRow| {
        let is = |row: &&_| -> bool {
            let row: &crate::output::view::CompareMonthsInRow = row;
            row.crop == crop && row.variant == variant.variant
        };
        let found = view.months_in.iter().find(is).and_then(|row| row.months_in);
        found.map_or(Cell::Empty, |spread| Cell::Number(spread.p50))
    };
    let mut columns = vec![Column::plain("crop", "Crop", "", Kind::Text)];
    columns.extend(
        view.variants
            .iter()
            .map(|row| Column::plain(&row.variant, &row.variant, "months", Kind::Number)),
    );
    let rows = crops.iter().map(|(crop, name)| {
        let cells = view.variants.iter().map(|row| of(crop, row));
        std::iter::once(Cell::Text((*name).to_owned()))
            .chain(cells)
            .collect()
    });
    DataTable::with("months_in", columns, rows.collect())
        .titled("Months that warm crops can stay planted, in the middle year")
}

/// What is compared, in the order of the columns: name, head, unit of a difference, figure.
type Compared = (
    &'static str,
    &'static str,
    &'static str,
    fn(&CompareRow) -> Option<f64>,
);

const COMPARED: [Compared; 9] = [
    ("coldest_air", "Coldest air", "K", |row| {
        Some(row.coldest_air_c)
    }),
    ("coldest_root_zone", "Coldest root zone", "K", |row| {
        Some(row.coldest_root_zone_c)
    }),
    ("darkest_month", "Darkest month", "mol/m2/day", |row| {
        Some(row.darkest_month_mol_m2_day)
    }),
    ("months_with_frost", "Months with frost", "months", |row| {
        Some(f64::from(row.months_with_frost))
    }),
    ("heater", "Heater", "kWh", |row| Some(row.heater_kwh)),
    ("fan", "Fan", "kWh", |row| Some(row.fan_kwh)),
    ("energy_cost", "Energy cost", "currency", |row| {
        row.energy_cost
    }),
    ("value", "Value", "currency", |row| row.value),
    ("net", "Net", "currency", |row| row.net),
];

/// Each against the first.
fn changes(view: &CompareView) -> DataTable {
    let mut columns = vec![Column::plain("variant", "Variant", "", Kind::Text)];
    columns.extend(
        COMPARED.map(|(name, head, unit, _)| Column::plain(name, head, unit, Kind::Number)),
    );
    let Some((first, others)) = view.variants.split_first() else {
        return DataTable::default();
    };
    let row = |other: &CompareRow| {
        let change = |(_, _, _, of): Compared| match of(other).zip(of(first)) {
            Some((figure, first)) => Cell::Number(figure - first),
            None => Cell::Empty,
        };
        std::iter::once(Cell::Text(other.variant.clone()))
            .chain(COMPARED.map(change))
            .collect()
    };
    DataTable::with("changes", columns, others.iter().map(row).collect()).titled(format!(
        "Against {}: more, or less where negative",
        first.variant
    ))
}

/// What the heaters take.
fn fuels(view: &CompareView) -> DataTable {
    let burning: Vec<CompareRow> = view
        .variants
        .iter()
        .filter(|row| row.fuel_amount > 0.0)
        .cloned()
        .collect();
    DataTable::of("fuel", &burning)
        .titled("What the heaters take in a year")
        .show(&["variant", "fuel", "fuel_amount", "fuel_unit", "energy_cost"])
}
