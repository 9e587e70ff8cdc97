//! The plan against the journal, as tables.

use super::DataTable;
use crate::output::view::{FollowedRow, KgReviewRow, ReviewView};

/// Amounts below this on both sides are no row for people, kg.
const LEAST_KG: f64 = 0.05;

/// What needs an eye, work ahead, every planting, months in money, plan against fact by month, bed and crop.
pub fn review(view: &ReviewView) -> Vec<DataTable> {
    let is_row = |row: &&KgReviewRow| row.planned_kg >= LEAST_KG || row.picked_kg >= LEAST_KG;
    let kg: Vec<KgReviewRow> = view.kg.iter().filter(is_row).cloned().collect();
    vec![
        attention(view),
        work(view),
        DataTable::of("plantings", &view.plantings)
            .titled("Plantings of plan and journal")
            .show(&[
                "bed",
                "crop_name",
                "planned_sow",
                "sown",
                "state",
                "planned_kg",
                "picked_kg",
            ])
            .grouped(),
        DataTable::of("money", &view.money)
            .titled(format!("Money, {}", view.currency))
            .show(&["month", "planned", "saved", "paid", "shop", "budget"]),
        DataTable::of("months", &kg)
            .titled("Planned and picked by month, bed and crop")
            .show(&["month", "bed", "crop", "planned_kg", "picked_kg"])
            .grouped(),
        DataTable::of("kg", &view.kg).by_name(),
    ]
}

/// Plantings that are late, ready or lost.
fn attention(view: &ReviewView) -> DataTable {
    let order = |row: &FollowedRow| match row.state.as_str() {
        "ready" => 0,
        "not sown" => 1,
        "growing" | "in trays" => 2,
        _ => 3,
    };
    let needs = |row: &&FollowedRow| match row.state.as_str() {
        "ready" | "lost" | "not sown" => true,
        "growing" | "in trays" => row.behind_days > 0.0,
        _ => false,
    };
    let mut rows: Vec<FollowedRow> = view.plantings.iter().filter(needs).cloned().collect();
    rows.sort_by_key(order);
    DataTable::of("attention", &rows)
        .titled("Ready, late, lost")
        .show(&[
            "state",
            "bed",
            "crop_name",
            "planned_sow",
            "sown",
            "behind_days",
            "day",
            "cause",
        ])
}

/// What is to be done in the two weeks ahead, what is late first.
fn work(view: &ReviewView) -> DataTable {
    DataTable::of("work", &view.work)
        .titled("Two weeks ahead")
        .show(&["due", "task", "bed", "crop_name", "area_m2", "harvest_kg"])
}
