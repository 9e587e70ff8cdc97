//! The plan, as tables.

use super::DataTable;
use crate::crops::COMES_THROUGH;
use crate::output::chances::{EATEN, MISSING, variety};
use crate::output::tasks::seed_order;
use crate::output::view::{GapRow, PlanView, ReplanView};

/// Plantings, shortfalls, months over the weather years, plantings that may fail, weeks, pickings, seed.
pub fn plan(view: &PlanView) -> Vec<DataTable> {
    let mut tables = tables(view);
    for table in &mut tables {
        table.any_year = view.repeats;
    }
    tables
}

fn tables(view: &PlanView) -> Vec<DataTable> {
    vec![
        DataTable::of("plantings", &view.planting_rows())
            .titled("Plantings by bed")
            .show(&[
                "bed",
                "crop_name",
                "sections",
                "sow",
                "transplant",
                "first_harvest",
                "last_harvest",
                "clear",
                "harvest_kg",
                "in_all",
            ])
            .noted(format!(
                "Harvest: mean of the simulated years. {COMES_THROUGH}"
            ))
            .grouped(),
        gaps(&view.gaps),
        DataTable::of("frontier", &view.frontier)
            .titled(format!("What simplicity costs, in {}", view.currency))
            .noted(
                "Planting: one crop sown on one day for one kind of bed, in as many sections as it takes. `--kinds N` or \
                 `--simple few` takes another row.",
            ),
        DataTable::of("plan_months", &view.months)
            .titled(format!(
                "Month by month, in {}: the middle year (one year in ten lower - higher)",
                view.currency
            ))
            .show(&["month", "eaten", "replaced", "beyond", "foods_week", "empty"])
            .noted(format!("{EATEN}\n{}", variety(view))),
        DataTable::of("risks", &view.risks)
            .titled("Plantings most likely to fail")
            .show(&["bed", "sections", "crop_name", "sow", "lost", "harvest_kg"]),
        DataTable::of("seeds", &seed_order(view))
            .titled("Seed and plants to order")
            .show(&["crop_name", "order", "sowings", "area_m2", "needed_by"]),
        DataTable::of("weeks", &view.week_rows())
            .titled("The week's food against the target")
            .by_name(),
        DataTable::of("food_weeks", &view.food_week_rows())
            .titled("Food by week")
            .grouped()
            .by_name(),
        DataTable::of("picks", &view.pick_rows())
            .titled("Pickings by week")
            .show(&["bed", "crop_name", "sow", "start", "harvest_kg"])
            .grouped()
            .by_name(),
    ]
}

/// Targets that are not met.
pub fn gaps(gaps: &[GapRow]) -> DataTable {
    DataTable::of("gaps", gaps)
        .titled("Weeks in which a target is not met")
        .show(if gaps.iter().all(|gap| gap.house.is_empty()) {
            &["food", "from", "to", "missing_kg", "cause", "remedy"]
        } else {
            &[
                "food",
                "from",
                "to",
                "missing_kg",
                "cause",
                "remedy",
                "house",
            ]
        })
        .noted(MISSING)
}

/// What changes from the plan agreed to, with the reason of each.
pub fn replan(view: &ReplanView) -> DataTable {
    DataTable::of("changes", &view.changes).show(&[
        "change",
        "bed",
        "crop_name",
        "sow",
        "later_days",
        "why",
    ])
}
