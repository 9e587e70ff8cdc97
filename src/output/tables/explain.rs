//! One sowing, and the measures against cold, as tables.

use super::DataTable;
use crate::output::view::{ExplainView, WhyView};

/// A sowing month by month; with more columns where there is room.
pub fn explain_months(view: &ExplainView, wide: bool) -> DataTable {
    let mut shown = vec![
        "month",
        "air_c",
        "root_zone_c",
        "light_mol_m2_day",
        "warmth_k_d",
        "pace",
        "leaf_area_m2_m2",
        "dry_g_m2",
        "leaf_min_c",
        "cold_margin_k",
        "picked_kg_m2",
    ];
    if wide {
        shown.extend([
            "days",
            "ground_cover",
            "carbon_share",
            "emergence",
            "day_length_h",
            "hardening",
            "chill_kh",
            "set",
        ]);
    }
    DataTable::of("season_explain", &view.months).show(&shown).noted(
        "Warmth ages the crop. Pace: what a closed stand gains against a best day. Leaf area and dry mass stand at the \
         month's end. Low: the leaves' coldest hour. Margin: distance from the cold that takes half of the leaf.",
    )
}

/// What happens to a sowing, day by day.
pub fn explain_events(view: &ExplainView) -> DataTable {
    DataTable::of("events", &view.events)
}

/// What was tried against the coldest hour.
pub fn measures(view: &WhyView) -> DataTable {
    DataTable::of("climate_why", &view.measures)
        .titled("What would raise the coldest hour")
        .show(&[
            "measure",
            "coldest_leaf_unheated_c",
            "gain_leaf_unheated_k",
            "coldest_air_c",
            "gain_air_k",
            "heater_kwh",
            "saved_heater_kwh",
            "fan_kwh",
        ])
        .noted(
            "Leaf: coldest hour of the leaves on the beds with the heater off. Air: coldest hour with the heater as it is.",
        )
}
