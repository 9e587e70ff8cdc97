//! What the weather does to a plan, in words that terminal and page share.

use super::text::{clean, fixed, percent};
use super::units::Units;
use super::view::{FormerView, PlanMonthRow, PlanView};

/// How many foods a week brings, and whether some week brings none.
pub fn variety(view: &PlanView) -> String {
    let empty = if view.any_empty_week > 0.0 {
        format!(
            "{} of the years have a week without any food.",
            percent(view.any_empty_week, 0)
        )
    } else {
        "No year has a week without any food.".to_owned()
    };
    format!(
        "Different foods a week: {} in the middle week, {} to {} in eight weeks of ten. {empty}",
        fixed(view.foods_week.p50, 0),
        fixed(view.foods_week.p10, 0),
        fixed(view.foods_week.p90, 0)
    )
}

/// A month's cells: month, eaten (picked before it where asked for) and worth in poor, middle and rich years, foods a
/// week, share of the years with an empty week.
pub fn month_cells(row: &PlanMonthRow, units: Units, picked: bool) -> Vec<String> {
    let mut cells = vec![row.month.format("%Y-%m").to_string()];
    let masses = [picked.then_some(row.harvest), Some(row.eaten)];
    for spread in masses.into_iter().flatten() {
        cells.extend([spread.p10, spread.p50, spread.p90].map(|kg| fixed(units.mass(kg), 1)));
    }
    cells.extend([row.worth.p10, row.worth.p50, row.worth.p90].map(|worth| fixed(worth, 0)));
    cells.push(fixed(row.foods_week, 1));
    cells.push(fixed(row.empty * 100.0, 0));
    cells
}

/// Plantings that people are shown as most likely lost; machines get them all.
const RISKS_SHOWN: usize = 5;

/// The plantings most likely lost, one line each; empty where none is lost in any weather year.
pub fn risks(view: &PlanView) -> Vec<String> {
    let line = |risk: &super::view::RiskRow| {
        format!(
            "{} in {}, sown {}: lost in {} of the years, in all",
            clean(&risk.crop_name),
            clean(&risk.bed),
            risk.sow,
            percent(risk.lost, 0)
        )
    };
    view.risks.iter().take(RISKS_SHOWN).map(line).collect()
}

/// Why the account of the money says less.
pub const EATEN: &str = "Eaten: each year's harvest put to its best use, as if it were known ahead. `value` lets the household eat \
                         week by week and so counts less of it as eaten.";

/// What the gaps are counted against.
pub const MISSING: &str = "Missing: what is wished less what is on the table, on the mean of the weather years. Beds that \
                           give enough in a mean year can be short here, as a rich week does not feed a poor one.";

/// What is said where [`risks`] is empty.
pub const NO_RISK: &str = "Every planting comes through in every weather year.";

/// What became of the former plan.
pub fn former(former: &FormerView, currency: &str) -> String {
    let gain = format!("{} {}", fixed(former.new_plan_gains, 0), clean(currency));
    let kept = percent(former.kept, 0);
    match (former.taken, former.whole) {
        (true, true) => format!(
            "The former plan stays as it was: the best new one found would be worth {gain} more (`--anew` takes it).\n"
        ),
        (true, false) => format!(
            "{kept} of the former plan's bed-weeks stay; the best new one found would be worth {gain} more (`--anew` takes it).\n"
        ),
        (false, _) => format!(
            "A new plan: worth {gain} more than the former one as it would be mended; {kept} of its bed-weeks stay.\n"
        ),
    }
}
