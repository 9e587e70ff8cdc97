//! What the weather does to a plan, in words that terminal and page share.

use super::text::{clean, fixed, percent};
use super::view::{FormerView, PlanView};

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

/// How it is eaten and what the money is.
pub const EATEN: &str = "Eaten: week by week, without knowing what comes, as `value` counts it too. Replaces: what that would have \
                         cost where it takes the place of bought food; what is eaten beyond that stands apart.";

/// What the gaps are counted against.
pub const MISSING: &str = "Missing: the target less what is on the table, in the mean of the simulated years. Beds that give enough in a \
                           mean year can be short here: a glut in one week does not make up for another week's want.";

/// What became of the former plan.
pub fn former(former: &FormerView, currency: &str) -> String {
    let gain = format!("{} {}", fixed(former.new_plan_gains, 0), clean(currency));
    let kept = percent(former.kept, 0);
    match (former.taken, former.whole) {
        (true, true) => format!(
            "The former plan stays as it was: the best new one found would be worth {gain} more (`--anew` takes it)."
        ),
        (true, false) => format!(
            "{kept} of the former plan's bed-weeks stay; the best new one found would be worth {gain} more (`--anew` takes it)."
        ),
        (false, _) => format!(
            "A new plan: worth {gain} more than the former one as it would be mended; {kept} of its bed-weeks stay."
        ),
    }
}
