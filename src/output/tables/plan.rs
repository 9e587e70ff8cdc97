//! The plan, and the plan against the journal, as tables.

use super::DataTable;
use crate::crops::COMES_THROUGH;
use crate::output::tasks::seed_order;
use crate::output::text::{fixed, percent};
use crate::output::view::{
    FollowedRow, GapRow, KgReviewRow, PlanView, ReplanView, ReviewView, WorkRow,
};

/// How it is eaten and what the money is.
const EATEN: &str = "Eaten: week by week, without knowing what comes, as `value` counts it too. Replaces: what that would have \
                         cost where it takes the place of bought food; what is eaten beyond that stands apart.";

/// What the gaps are counted against.
const MISSING: &str = "Missing: the target less what is on the table, in the mean of the weather years. Beds that give enough in a \
                           mean year can be short here: a glut in one week does not make up for another week's want.";

/// Plantings, shortfalls, months over the weather years, plantings that may fail, weeks, pickings, seed.
pub fn plan(view: &PlanView) -> Vec<DataTable> {
    let mut tables = tables(view);
    let bought = view
        .plantings
        .iter()
        .any(|planting| planting.row.begun().0 == "set out");
    for table in &mut tables {
        table.any_year = view.repeats;
        let sow = table.columns.iter_mut().find(|column| column.name == "sow");
        if let Some(sow) = sow.filter(|_| bought) {
            sow.head = "Sow or buy".to_owned();
        }
    }
    tables
}

fn tables(view: &PlanView) -> Vec<DataTable> {
    vec![
        DataTable::of("plantings", &view.planting_rows())
            .titled("Plantings by bed")
            .show("bed crop_name sections sow transplant first_harvest last_harvest clear \
                 harvest_kg in_all")
            .noted(format!(
                "Harvest: mean of the weather years. {COMES_THROUGH}"
            ))
            .grouped(),
        gaps(&view.gaps),
        DataTable::of("frontier", &view.frontier)
            .titled(format!("What simplicity costs, in {}", view.currency))
            .noted(
                "Planting: one crop sown on one day for one kind of bed, in as many sections as it takes. `kinds` in \
                 `[household]`, or --kinds N, takes another row.",
            )
            .or_empty(
                "Its rows are the plans of fewer and of more kinds that a search meets; a plan from a file has none. Leave --plan out to \
                 search for them.",
            ),
        DataTable::of("plan_months", &view.months)
            .titled(format!(
                "Month by month, in {}: the middle year (one year in ten lower - higher)",
                view.currency
            ))
            .show("month eaten replaced beyond foods_week empty")
            .noted(format!("{EATEN}\n{}", variety(view))),
        DataTable::of("risks", &view.risks)
            .titled("Plantings most likely to fail")
            .show("bed sections crop_name sow lost harvest_kg"),
        DataTable::of("seeds", &seed_order(view))
            .titled("Seed and plants to order")
            .show("crop_name order sowings area_m2 needed_by"),
        DataTable::of("weeks", &view.week_rows())
            .titled("The week's food against the target")
            .by_name(),
        DataTable::of("food_weeks", &view.food_week_rows())
            .titled("Food by week")
            .grouped()
            .by_name(),
        DataTable::of("picks", &view.pick_rows())
            .titled("Pickings by week")
            .show("bed crop_name sow start harvest_kg")
            .grouped()
            .by_name(),
    ]
}

/// How many foods a week brings, and whether some week brings none.
fn variety(view: &PlanView) -> String {
    let empty = match view.any_empty_week {
        years if years > 0.0 => {
            let years = percent(years, 0);
            format!("{years} of the years have a week without any food.")
        }
        _ => "No year has a week without any food.".to_owned(),
    };
    format!(
        "Different foods a week: {} in the middle week, {} to {} in eight weeks of ten. {empty}",
        fixed(view.foods_week.p50, 0),
        fixed(view.foods_week.p10, 0),
        fixed(view.foods_week.p90, 0)
    )
}

/// Targets that are not met.
pub fn gaps(gaps: &[GapRow]) -> DataTable {
    DataTable::of("gaps", gaps)
        .titled("Weeks in which a target is not met")
        .show(match gaps.iter().all(|gap| gap.house.is_empty()) {
            true => "food from to missing_kg cause remedy",
            false => "food from to missing_kg cause remedy house",
        })
        .noted(MISSING)
        .or_empty("Every target is met in every week, or none is named.")
}

/// What changes from the plan agreed to, with the reason of each.
pub fn replan(view: &ReplanView) -> DataTable {
    DataTable::of("changes", &view.changes).show("change bed crop_name sow later_days why")
}

/// Amounts below this on both sides are no row for people, kg.
const LEAST_KG: f64 = 0.05;

/// What needs an eye, work ahead, every planting, months in money, plan against fact by month, bed and crop.
pub fn review(view: &ReviewView) -> Vec<DataTable> {
    let is_row = |row: &&KgReviewRow| row.planned_kg >= LEAST_KG || row.picked_kg >= LEAST_KG;
    let kg: Vec<KgReviewRow> = view.kg.iter().filter(is_row).cloned().collect();
    vec![
        attention(view),
        work("overdue", view, |row| row.late_days > 0).titled("Overdue"),
        work("work", view, |row| row.late_days == 0).titled("Two weeks ahead"),
        DataTable::of("plantings", &view.plantings)
            .titled("Plantings of plan and journal")
            .show("bed crop_name planned_sow sown state planned_kg picked_kg")
            .grouped(),
        DataTable::of("money", &view.money)
            .titled(format!("Money, {}", view.currency))
            .show("month planned saved paid shop budget"),
        DataTable::of("months", &kg)
            .titled("Planned and picked by month, bed and crop")
            .show("month bed crop planned_kg picked_kg")
            .grouped(),
        DataTable::of("kg", &view.kg).by_name(),
    ]
}

/// Plantings that are late, ready or lost.
fn attention(view: &ReviewView) -> DataTable {
    let order = |row: &FollowedRow| match row.state.as_str() {
        "ready" => 0,
        "not sown" | "not planted" => 1,
        "growing" | "in trays" => 2,
        _ => 3,
    };
    let needs = |row: &&FollowedRow| match row.state.as_str() {
        "ready" | "lost" | "not sown" | "not planted" => true,
        "growing" | "in trays" => row.behind_days > 0.0,
        _ => false,
    };
    let mut rows: Vec<FollowedRow> = view.plantings.iter().filter(needs).cloned().collect();
    rows.sort_by_key(order);
    DataTable::of("attention", &rows)
        .titled("Ready, late, lost")
        .show("state bed crop_name planned_sow sown behind_days day cause")
}

/// Part of what is to be done.
fn work(name: &'static str, view: &ReviewView, is: impl Fn(&WorkRow) -> bool) -> DataTable {
    let rows = view.work.iter().filter(|row| is(row)).cloned();
    DataTable::of(name, &rows.collect::<Vec<_>>()).show("due task bed crop_name area_m2 harvest_kg")
}
