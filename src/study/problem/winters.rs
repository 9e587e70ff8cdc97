//! Which weather years are hard winters, by what the beds bear in them.

use crate::calendar::{WEEKS_PER_YEAR, first_day_of_week, month_of_day};
use crate::plan::candidate::{Outcome, Winters};

/// Share of the weather years whose winters count as hard.
pub const HARD_SHARE: f64 = 0.2;
/// First week of a winter's own twelve months in the north: July.
const FIRST_WEEK_NORTH: usize = 26;

/// The fifth of the weather years whose winters bear least: the mean over all sowings of what is picked from October to
/// March (from April to September in the south).
pub fn hard_winters<'o>(
    outcomes: impl Iterator<Item = &'o Outcome> + Clone,
    southern: bool,
) -> Winters {
    let first = outcomes.clone().next();
    let years = first.map_or(1, |outcome| outcome.years.count());
    let mut winters = Winters {
        first_week: if southern { 0 } else { FIRST_WEEK_NORTH },
        chosen: vec![false; years],
    };
    let mut kg = vec![0.0; years];
    for outcome in outcomes {
        for (year, picks) in outcome.years.iter().enumerate() {
            for (week, kg_m2) in picks {
                if in_cold_half(week, southern) {
                    kg[winters.year_of(year, week)] += kg_m2;
                }
            }
        }
    }
    let mut order: Vec<usize> = (0..years).collect();
    order.sort_by(|a, b| kg[*a].total_cmp(&kg[*b]).then(a.cmp(b)));
    let count = ((HARD_SHARE * years as f64).round() as usize).max(1);
    for year in order.into_iter().take(count) {
        winters.chosen[year] = true;
    }
    winters
}

fn in_cold_half(week: usize, southern: bool) -> bool {
    /// April and September, months from 0.
    const WARM_HALF: std::ops::RangeInclusive<usize> = 3..=8;
    let month = month_of_day(first_day_of_week(week % WEEKS_PER_YEAR));
    WARM_HALF.contains(&month) == southern
}
