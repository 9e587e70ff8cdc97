//! The model tuned, as tables.

use super::DataTable;
use crate::output::row::{Cell, Kind};
use crate::output::text::fixed;
use crate::output::units::Units;
use crate::output::view::{FactorRow, GrowthView, TuneView};

/// Factors, how well record and simulation agree, and day by day.
pub fn tune(view: &TuneView) -> Vec<DataTable> {
    vec![
        DataTable::of("factors", &view.factors).by_name(),
        DataTable::of("quality", &view.quality).titled("Simulated less read"),
        DataTable::of("days", &view.days)
            .titled("Simulated less read, mean of each day")
            .by_name(),
    ]
}

/// The factors that the record tells, with the figure that each acts on in the units of people.
pub fn fitted(view: &TuneView, units: Units) -> DataTable {
    /// From here on a figure is written whole (own choice).
    const WHOLE_FROM: f64 = 100.0;
    let columns = [
        ("factor", "Factor", Kind::Text),
        ("before", "Was", Kind::Number),
        ("after", "Is", Kind::Number),
        ("range", "90 %", Kind::Number),
        ("acts_on", "Acts on", Kind::Text),
        ("figure_before", "Was", Kind::Number),
        ("figure_after", "Is", Kind::Number),
        ("unit", "", Kind::Text),
    ];
    let row = |row: &FactorRow| {
        let figure = |value: f64| {
            let (value, _) = units.convert(value, &row.unit);
            let whole = value.abs() >= WHOLE_FROM;
            fixed(value, if whole { 0 } else { 2 })
        };
        let range = match (row.low, row.high) {
            (Some(low), Some(high)) => format!("{}-{}", fixed(low, 2), fixed(high, 2)),
            _ => String::new(),
        };
        let cells = [
            row.factor.clone(),
            fixed(row.before, 2),
            fixed(row.after, 2),
            range,
            row.acts_on.clone(),
            figure(row.figure_before),
            figure(row.figure_after),
            units.convert(0.0, &row.unit).1.to_owned(),
        ];
        cells.map(Cell::Text).into()
    };
    let rows = view.factors.iter().filter(|row| row.is_fitted());
    DataTable::plain("fitted", &columns, rows.map(row).collect())
}

/// First harvests against the model.
pub fn growth(view: &GrowthView) -> DataTable {
    DataTable::of("tune_journal", &view.plantings).show(&[
        "crop_name",
        "bed",
        "sown",
        "picked",
        "expected",
        "late_days",
        "factor",
    ])
}
