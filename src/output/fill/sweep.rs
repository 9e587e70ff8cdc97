//! Designs of a sweep, as a table with one column for each key that varies.

use super::figure;
use crate::output::row::{Cell, Column, Kind, Row};
use crate::output::tables::DataTable;
use crate::output::view::DesignFigures;
use crate::study::sweep::{Axis, DesignRow, DesignYear};

/// The designs, in the order given.
pub fn sweep(axes: &[Axis], rows: &[DesignRow]) -> DataTable {
    let number = Column {
        name: "design".to_owned(),
        head: "Design".to_owned(),
        unit: "",
        meaning: "Number of the design, from 0.",
        kind: Kind::Count,
    };
    let varied = axes.iter().map(|axis| Column {
        name: axis.key.clone(),
        head: axis.key.clone(),
        unit: "",
        meaning: "Value of this key of the project file, as it was given.",
        kind: Kind::Text,
    });
    DataTable {
        name: "designs",
        columns: std::iter::once(number)
            .chain(varied)
            .chain(DesignFigures::columns())
            .collect(),
        rows: rows.iter().map(cells).collect(),
        ..DataTable::default()
    }
}

fn cells(row: &DesignRow) -> Vec<Cell> {
    let number = i64::try_from(row.index).unwrap_or(i64::MAX);
    std::iter::once(Cell::Count(number))
        .chain(row.settings.iter().cloned().map(Cell::Text))
        .chain(figures(row).cells())
        .collect()
}

fn figures(row: &DesignRow) -> DesignFigures {
    let year = row.found.as_ref().ok();
    let number = |of: fn(&DesignYear) -> f64| year.map(of);
    DesignFigures {
        problem: row.found.as_ref().err().cloned(),
        place: year.map(|year| year.place.clone()),
        air_min_c: year.map(|year| figure(year.air_min_c, year.air_min_spread_c)),
        coldest_month_air_c: number(|year| year.coldest_month_air_c),
        hours_below_0_c: number(|year| year.hours_below_0_c),
        hours_above_30_c: number(|year| year.hours_above_30_c),
        root_zone_min_c: number(|year| year.root_zone_min_c),
        darkest_month_mol_m2_day: number(|year| year.darkest_month_mol_m2_day),
        light_mol_m2_day: number(|year| year.light_mol_m2_day),
        heater_kwh: number(|year| year.heater_kwh),
        fan_kwh: number(|year| year.fan_kwh),
        balance_residual: number(|year| year.balance_residual),
        years_simulated: year.and_then(|year| u32::try_from(year.years_simulated).ok()),
    }
}
