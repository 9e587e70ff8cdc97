//! The year inside in tables: months, coldest hours, paths of heat, first year.

use maud::Markup;

use super::strips::{StripRow, Strips};
use super::table::Grid;
use crate::calendar::MONTH_HEADS;
use crate::output::first_year::first_year_cells;
use crate::output::text::{fixed, month_head, percent};
use crate::output::units::Units;
use crate::output::view::ClimateView;

pub(super) fn months(view: &ClimateView, units: Units) -> Markup {
    let unit = units.temperature_unit();
    let heads = [
        "Month".to_string(),
        format!("Air mean {unit}"),
        format!("night {unit}"),
        format!("day {unit}"),
        format!("coldest hour {unit}"),
        format!("Root zone {unit}"),
        format!("lowest {unit}"),
        format!("Store {unit}"),
        "Light mol/m2 a day".to_string(),
        "Day h".to_string(),
        "Below freezing h".to_string(),
        "Heater kWh".to_string(),
        "Fan kWh".to_string(),
    ];
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let mut grid = Grid::new(
        "The months inside: night and day are means of the daily lowest and highest",
        &heads,
    );
    for month in &view.months {
        let degrees = |celsius: f64| fixed(units.temperature(celsius), 1);
        grid.row(vec![
            month_head(month.month).to_string(),
            degrees(month.air_mean_c.value),
            degrees(month.air_min_c.value),
            degrees(month.air_max_c.value),
            degrees(month.coldest_hour_c.value),
            degrees(month.root_zone_mean_c.value),
            degrees(month.root_zone_min_c.value),
            month
                .store_mean_c
                .map(|store| degrees(store.value))
                .unwrap_or_default(),
            fixed(month.light_mol_m2_day.value, 1),
            fixed(month.day_length_h, 1),
            fixed(month.below_0_c_h.value, 0),
            fixed(month.heater_kwh.value, 0),
            fixed(month.fan_kwh.value, 0),
        ]);
    }
    grid.scrolling()
}

/// Coldest hours by the years between two like them.
pub(super) fn cold_hours(view: &ClimateView, units: Units) -> Markup {
    let degree = units.temperature_unit();
    let degrees = |celsius: Option<f64>| {
        celsius.map_or_else(
            || "?".to_string(),
            |celsius| fixed(units.temperature(celsius), 1),
        )
    };
    let title = format!(
        "Coldest hour of a year, {degree}; each end of the range is passed with a chance of 10 %"
    );
    let mut grid = Grid::new(&title, &["Where", "Once in", "Coldest", "Low", "High"]);
    for row in &view.cold_hours {
        grid.row(vec![
            format!("{} {}", row.place, row.cover).trim().to_string(),
            format!("{} years", row.once_in_years),
            degrees(row.coldest_c),
            degrees(row.low_c),
            degrees(row.high_c),
        ]);
    }
    grid.render()
}

/// One strip of monthly bars for each path of heat, all on one scale.
pub(super) fn heat(view: &ClimateView) -> Markup {
    let mut heads = vec!["Path, kWh"];
    heads.extend(MONTH_HEADS);
    heads.push("Year");
    let mut grid = Grid::new(
        "Heat into the house by path and month, kWh; negative where it is lost",
        &heads,
    );
    let mut rows = Vec::new();
    for flow in &view.heat_flows {
        let year: f64 = flow.kwh.iter().sum();
        let mut cells = vec![flow.path.clone()];
        cells.extend(flow.kwh.iter().map(|kwh| fixed(*kwh, 0)));
        cells.push(fixed(year, 0));
        grid.row(cells);
        let words =
            |(kwh, month): (&f64, &&str)| format!("{}, {month}: {} kWh", flow.path, fixed(*kwh, 0));
        rows.push(StripRow {
            name: format!("{}, {} kWh in the year", flow.path, fixed(year, 0)),
            values: flow.kwh.to_vec(),
            limits: Vec::new(),
            words: flow.kwh.iter().zip(&MONTH_HEADS).map(words).collect(),
        });
    }
    let about = format!(
        "Heat into the house (up) and out of it (down), month by month, all on one scale. Unexplained: {} of the heat that passed through.",
        if view.balance_residual.abs() < 1e-5 {
            "less than 0.001 %".to_string()
        } else {
            percent(view.balance_residual.abs(), 3)
        }
    );
    Strips {
        id: "heat",
        title: "Where the heat comes from and goes",
        about,
        rows,
        stretches: MONTH_HEADS
            .iter()
            .zip(0..)
            .map(|(name, index)| (index, index + 1, *name))
            .collect(),
        bars: "bar-up",
        count: MONTH_HEADS.len(),
        table: grid.render(),
    }
    .render()
}

pub(super) fn first_year(view: &ClimateView, units: Units) -> Markup {
    let unit = units.temperature_unit();
    let heads = [
        "Month".to_string(),
        format!("Night, first year {unit}"),
        format!("settled {unit}"),
        format!("Root zone, first year {unit}"),
        format!("settled {unit}"),
        "Heater, first year kWh".to_string(),
        "settled kWh".to_string(),
    ];
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let mut grid = Grid::new(
        "The first year on cold ground against the settled year",
        &heads,
    );
    for month in &view.first_against_settled {
        grid.row(first_year_cells(month, units));
    }
    grid.scrolling()
}
