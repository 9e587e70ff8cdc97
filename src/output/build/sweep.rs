//! Designs of a sweep, as a table with one column for each key that varies.

use crate::output::row::{Cell, Column, Kind, Row};
use crate::output::tables::DataTable;
use crate::output::view::{DesignFigures, DesignPlan};
use crate::study::sweep::{DesignRow, Sweep};

/// Designs of a sweep, in the order given, with the crops and plans that were asked for.
pub fn sweep(sweep: &Sweep, rows: &[DesignRow]) -> DataTable {
    let crops = sweep.crops();
    let number = Column {
        name: "design".to_owned(),
        head: "Design".to_owned(),
        unit: "",
        meaning: "Number of the design, from 0.",
        kind: Kind::Count,
    };
    let varied = sweep.axes().iter().map(|axis| Column {
        name: axis.key.clone(),
        head: axis.key.clone(),
        unit: "",
        meaning: "Value of this key of the project file, as it was given.",
        kind: Kind::Text,
    });
    let plan_columns = sweep.plans().then(DesignPlan::columns);
    DataTable {
        name: "designs",
        columns: std::iter::once(number)
            .chain(varied)
            .chain(DesignFigures::columns())
            .chain(crops.iter().flat_map(|crop| crop_columns(crop)))
            .chain(plan_columns.into_iter().flatten())
            .collect(),
        rows: rows
            .iter()
            .map(|row| cells(row, crops.len(), sweep.plans()))
            .collect(),
        ..DataTable::default()
    }
}

fn crop_columns(crop: &str) -> [Column; 2] {
    let column = |name: &str, unit, meaning| Column {
        name: format!("{name}.{crop}"),
        head: format!("{}, {crop}", name.replace('_', " ")),
        unit,
        meaning,
        kind: Kind::Number,
    };
    [
        column(
            "months_in",
            "months",
            "Months that the crop can stay, median year; warm crops only.",
        ),
        column(
            "last_sowing_day",
            "",
            "Day by which it must be sown for winter in nine years of ten, from 1 for 1 January; 0 and less the year before.",
        ),
    ]
}

fn cells(row: &DesignRow, crops: usize, plans: bool) -> Vec<Cell> {
    let found = row.found.as_ref().ok();
    let number = |value: Option<f64>| value.map_or(Cell::Empty, Cell::Number);
    let growth = (0..crops).flat_map(|crop| {
        let figures = found
            .and_then(|year| year.crops.get(crop))
            .copied()
            .unwrap_or_default();
        [number(figures.months_in), number(figures.last_sowing_day)]
    });
    let number = i64::try_from(row.index).unwrap_or(i64::MAX);
    std::iter::once(Cell::Count(number))
        .chain(row.settings.iter().cloned().map(Cell::Text))
        .chain(DesignFigures::of(row).cells())
        .chain(growth)
        .chain(
            plans
                .then(|| DesignPlan::of(row).cells())
                .into_iter()
                .flatten(),
        )
        .collect()
}
