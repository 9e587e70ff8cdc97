//! What the weather does to a plan, in words that terminal and page share.

use super::text::{clean, fixed, percent};
use super::view::PlanView;

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

/// The plantings most likely lost, one line each; empty where none is lost in any weather year.
pub fn risks(view: &PlanView) -> Vec<String> {
    let line = |risk: &super::view::RiskRow| {
        format!(
            "{} in {}, sown {}: {} of the years",
            clean(&risk.crop_name),
            clean(&risk.bed),
            risk.sow,
            percent(risk.lost, 0)
        )
    };
    view.risks.iter().map(line).collect()
}

/// What is said where [`risks`] is empty.
pub const NO_RISK: &str = "No planting is lost in any of the weather years.";
