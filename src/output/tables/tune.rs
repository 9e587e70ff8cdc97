//! The model tuned, as tables.

use super::DataTable;
use crate::output::view::{GrowthView, TuneView};

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
