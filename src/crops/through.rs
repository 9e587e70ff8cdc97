//! The one measure of coming through, used wherever a planting is called sure, lost or worth sowing.

use super::{Crop, Growth};
use crate::profile::quantile;

/// The measure in one sentence, for every output that shows a share of it.
pub const COMES_THROUGH: &str = "A planting comes through in a year in which it gives at least a third of what it gives when \
                                 nothing cuts it short, and no less than half of the low yield on file for its crop. In all \
                                 means with pests, gaps in the stand and accidents, not the weather alone.";

/// Share of what it gives uncut (own choice: a third still feeds, less is called lost).
const LEAST_SHARE: f64 = 1.0 / 3.0;
/// Share of the low end of the published yield (own choice, no source).
const LEAST_SHARE_OF_LOW: f64 = 0.5;

/// One sowing over the weather years.
#[derive(Clone, Debug, PartialEq)]
pub struct Through {
    /// Least that it gives in a year in which it comes through, kg/m2.
    pub least_kg_m2: f64,
    /// What it gives in each weather year, kg/m2.
    pub kg_m2: Vec<f64>,
}

impl Through {
    /// The measure of a sowing that was followed through the weather years.
    pub fn of(crop: &Crop, growths: &[Growth]) -> Self {
        Self {
            least_kg_m2: least_kg_m2(crop, growths),
            kg_m2: growths.iter().map(Growth::kg_m2).collect(),
        }
    }

    /// Share of the weather years in which it comes through, 0 to 1.
    pub fn by_weather(&self) -> f64 {
        self.in_all(1, |_, _| 1.0)
    }

    /// The same over several draws of each year, of whose harvest `left(year, draw)` is left, 0 to 1.
    ///
    /// What is left on average is what is usual: yields on file are of fields and gardens that had their pests, so that the usual
    /// loss must not fail a planting, and only a greater one does.
    pub fn in_all(&self, draws: usize, left: impl Fn(usize, usize) -> f64) -> f64 {
        let years = self.kg_m2.iter().enumerate();
        let all: Vec<(f64, f64)> = years
            .flat_map(|(year, kg_m2)| (0..draws).map(move |draw| (year, draw, kg_m2)))
            .map(|(year, draw, kg_m2)| (*kg_m2, left(year, draw)))
            .collect();
        let count = all.len().max(1) as f64;
        let usual_left = all.iter().map(|(_, left)| left).sum::<f64>() / count;
        let least_kg_m2 = self.least_kg_m2 * usual_left;
        let gives = |(kg_m2, left): &&(f64, f64)| kg_m2 * left >= least_kg_m2;
        let through = all.iter().filter(gives).filter(|(_, left)| *left > 0.0);
        through.count() as f64 / count
    }
}

/// Least that a sowing gives in a year in which it comes through, kg/m2; above nothing.
///
/// What it gives when nothing cuts it short is the middle of the years in which nothing does, or the best year where
/// every one is cut short, as a crop is that frost ends each autumn.
pub fn least_kg_m2(crop: &Crop, growths: &[Growth]) -> f64 {
    let mut whole: Vec<f64> = growths
        .iter()
        .filter(|growth| growth.loss.is_none())
        .map(Growth::kg_m2)
        .collect();
    whole.sort_by(f64::total_cmp);
    let best = growths.iter().map(Growth::kg_m2).fold(0.0, f64::max);
    let whole = quantile(&whole, 0.5).unwrap_or(best);
    (LEAST_SHARE * whole).max(LEAST_SHARE_OF_LOW * crop.yields.kg_m2.low)
}

#[cfg(test)]
mod tests {
    use super::Through;

    fn sowing() -> Through {
        Through {
            least_kg_m2: 1.0,
            kg_m2: vec![1.2; 10],
        }
    }

    #[test]
    fn what_is_usually_lost_fails_nothing_and_more_does() {
        assert_eq!(sowing().in_all(2, |_, _| 0.6), 1.0);
        let one_in_ten_is_poor = |year: usize, _| if year == 0 { 0.2 } else { 0.8 };
        assert_eq!(sowing().in_all(2, one_in_ten_is_poor), 0.9);
    }

    #[test]
    fn what_is_lost_whole_never_comes_through() {
        assert_eq!(sowing().in_all(2, |_, _| 0.0), 0.0);
        let half = |_, draw: usize| if draw == 0 { 0.0 } else { 1.0 };
        assert_eq!(sowing().in_all(2, half), 0.5);
    }
}
