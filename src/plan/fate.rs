//! What befalls a planting beside the weather: drawn for each planting and year of the replay.
//!
//! A sowing in one bed has one fate a year, whatever part of the bed it fills; another bed, week or year has another.

use std::collections::BTreeMap;
use std::hash::{Hash, Hasher};

use fnv::FnvHasher;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Beta, Distribution, LogNormal};

use crate::crops::Way;

/// Shares that are lost beside the weather, means over many plantings, 0 to below 1.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Losses {
    /// Of a stand from seed: seedlings that slugs, crusts and damping off take, beside what cold soil does.
    pub sown: f64,
    /// Of young plants set out: those that do not take.
    pub set_out: f64,
    /// Of the crop, to pests and disease.
    pub field: f64,
    /// Of what is picked: trimmed off or culled in the kitchen.
    pub kitchen: f64,
    /// Of plantings: lost as a whole.
    pub whole: f64,
    /// The last by crop, where the household's own journal tells of it.
    pub whole_of: BTreeMap<String, f64>,
    /// Coefficient of variation of what a planting gives, and of the days it takes: how far plantings lie from the model of
    /// growth, sorts and soils included.
    pub yield_spread: f64,
    /// The same of the days from the bed to a picking.
    pub days_spread: f64,
}

/// Plantings that a mean of a stand or of field losses weighs as much as: how far single plantings lie apart
/// (judgement: a field loss of 10 % on average is above 40 % in one planting of twenty-five; ranges of 10 to 30 % in home
/// gardens, 2 to 10 % of plugs).
const SPREAD_WEIGHT: f64 = 5.0;
/// Own plantings after which the journal's share of lost ones weighs as much as the file's (own choice).
const PRIOR_PLANTINGS: f64 = 25.0;
/// Own plantings of a crop after which its share weighs as much as that of all crops (own choice).
const PRIOR_OF_CROP: f64 = 8.0;

impl Losses {
    /// Share of the plantings of a crop that are lost as a whole.
    pub fn whole_of(&self, crop: &str) -> f64 {
        self.whole_of.get(crop).copied().unwrap_or(self.whole)
    }

    /// Share of a harvest that is left on average, 0 to 1.
    pub fn mean_left(&self, crop: &str, way: Option<Way>) -> f64 {
        (1.0 - self.stand_lost(way))
            * (1.0 - self.field)
            * (1.0 - self.kitchen)
            * (1.0 - self.whole_of(crop))
    }

    fn stand_lost(&self, way: Option<Way>) -> f64 {
        match way {
            Some(Way::Direct) => self.sown,
            Some(Way::Tray) => self.set_out,
            None => 0.0,
        }
    }

    /// Moved by the household's own plantings: of each crop how many were planted and how many of these were lost as a
    /// whole. The mean of a beta distribution: the file's share counts as 25 plantings, that of all crops as 8 of a crop.
    pub fn learnt(mut self, own: &BTreeMap<String, (usize, usize)>) -> Self {
        let mean = |prior: f64, weight: f64, (planted, lost): (usize, usize)| {
            (prior * weight + lost as f64) / (weight + planted as f64)
        };
        let all = own
            .values()
            .fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
        self.whole = mean(self.whole, PRIOR_PLANTINGS, all);
        for (crop, counts) in own {
            let share = mean(self.whole, PRIOR_OF_CROP, *counts);
            self.whole_of.insert(crop.clone(), share);
        }
        self
    }
}

/// Which planting, in which year.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Planted<'a> {
    /// Crop id.
    pub crop: &'a str,
    /// In the bed or in a tray; none for what already stands in its bed.
    pub way: Option<Way>,
    /// Bed of the file.
    pub bed: usize,
    /// Week of sowing, 0 to 51.
    pub sow_week: usize,
    /// Weather year of sowing.
    pub year: usize,
    /// Which of several draws of the same year: the first [`LIVES`] are those of the replay.
    pub draw: usize,
}

/// Draws for each weather year behind a share in all: enough that a percent is not chance.
pub const DRAWS: usize = 20;

/// Times that each weather year is lived, with other luck each time: one draw leaves the middle of 30 years uncertain by more than
/// plans differ (the same plan in other beds of its kind: 137 and 146 USD).
pub const LIVES: usize = 4;

/// What is drawn for one planting in one year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fate {
    /// Share of every picking that is left; above 1 where a planting grows better than expected.
    pub left: f64,
    /// Days that it takes against the model's.
    pub pace: f64,
}

impl Fate {
    /// Nothing but the weather.
    pub const WEATHER_ALONE: Fate = Fate {
        left: 1.0,
        pace: 1.0,
    };

    /// Draws the fate of a planting: the same planting, year and seed, the same fate.
    pub fn drawn(losses: &Losses, seed: u64, planted: &Planted) -> Self {
        let mut hash = FnvHasher::default();
        planted.hash(&mut hash);
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(hash.finish());
        // Drawn whether it matters or not, so that one share changed leaves the other draws as they are.
        let gone = rng.random::<f64>() < losses.whole_of(planted.crop);
        let stand = drawn_share(losses.stand_lost(planted.way), &mut rng);
        let field = drawn_share(losses.field, &mut rng);
        let kept = (1.0 - stand) * (1.0 - field) * (1.0 - losses.kitchen);
        Fate {
            left: if gone {
                0.0
            } else {
                kept * drawn_factor(losses.yield_spread, &mut rng)
            },
            pace: drawn_factor(losses.days_spread, &mut rng),
        }
    }

    /// Pickings by week as they fall for this planting: earlier or later by its pace, and what is not ready when the bed is
    /// wanted is picked then, smaller by as much as it is late.
    pub fn picks(
        self,
        picks: impl Iterator<Item = (usize, f64)>,
        (bed_week, weeks): (usize, usize),
    ) -> impl Iterator<Item = (usize, f64)> {
        let last = bed_week + weeks.saturating_sub(1);
        picks.map(move |(week, kg_m2)| {
            let due = (week.saturating_sub(bed_week) as f64 * self.pace).round();
            let here = last.saturating_sub(bed_week) as f64;
            let grown = if due > here { here / due } else { 1.0 };
            (bed_week + due.min(here) as usize, kg_m2 * self.left * grown)
        })
    }
}

/// A factor of mean 1 with a coefficient of variation, never negative (log-normal).
fn drawn_factor(spread: f64, rng: &mut ChaCha8Rng) -> f64 {
    let variance = (1.0 + spread * spread).ln();
    match LogNormal::new(-0.5 * variance, variance.sqrt()) {
        Ok(factor) if spread > 0.0 => factor.sample(rng),
        _ => 1.0,
    }
}

/// A share with a mean, spread as a beta distribution has it.
fn drawn_share(mean: f64, rng: &mut ChaCha8Rng) -> f64 {
    let spread = Beta::new(mean * SPREAD_WEIGHT, (1.0 - mean) * SPREAD_WEIGHT);
    match spread {
        Ok(spread) if mean > 0.0 && mean < 1.0 => spread.sample(rng),
        _ => mean,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn losses() -> Losses {
        Losses {
            sown: 0.1,
            set_out: 0.06,
            field: 0.1,
            kitchen: 0.05,
            whole: 0.03,
            whole_of: BTreeMap::new(),
            yield_spread: 0.25,
            days_spread: 0.15,
            ..Losses::default()
        }
    }

    fn planted(year: usize) -> Planted<'static> {
        Planted {
            crop: "kale",
            way: Some(Way::Direct),
            bed: 1,
            sow_week: 30,
            year,
            draw: 0,
        }
    }

    #[test]
    fn many_draws_have_the_mean_that_is_planned_for() {
        let losses = losses();
        const DRAWS: usize = 4000;
        let left = (0..DRAWS).map(|year| Fate::drawn(&losses, 1, &planted(year)).left);
        let mean = left.sum::<f64>() / DRAWS as f64;
        let planned = losses.mean_left("kale", Some(Way::Direct));
        assert!((mean - planned).abs() < 0.01, "{mean} {planned}");
    }

    #[test]
    fn the_same_planting_has_the_same_fate_and_no_losses_leave_all() {
        let once = Fate::drawn(&losses(), 7, &planted(3));
        assert_eq!(once, Fate::drawn(&losses(), 7, &planted(3)));
        assert_ne!(once, Fate::drawn(&losses(), 7, &planted(4)));
        let none = Losses {
            sown: 0.0,
            set_out: 0.0,
            field: 0.0,
            kitchen: 0.0,
            whole: 0.0,
            whole_of: BTreeMap::new(),
            yield_spread: 0.0,
            days_spread: 0.0,
            ..Losses::default()
        };
        assert_eq!(Fate::drawn(&none, 7, &planted(3)), Fate::WEATHER_ALONE);
    }

    #[test]
    fn a_slow_planting_is_picked_later_and_smaller_when_its_bed_is_wanted() {
        let picks = [(12, 1.0), (16, 2.0)];
        let slow = Fate {
            left: 1.0,
            pace: 1.5,
        };
        // Due two and seven weeks after the bed's tenth week become three and nine, of which the last is week 18.
        let moved: Vec<(usize, f64)> = slow.picks(picks.into_iter(), (10, 9)).collect();
        assert_eq!(moved[0], (13, 1.0));
        assert_eq!(moved[1].0, 18);
        assert!((moved[1].1 - 2.0 * 8.0 / 9.0).abs() < 1e-12);
        let as_grown = Fate::WEATHER_ALONE.picks(picks.into_iter(), (10, 9));
        assert_eq!(as_grown.collect::<Vec<_>>(), picks);
    }

    #[test]
    fn own_rows_move_the_share_and_few_move_it_little() {
        let own = BTreeMap::from([("kale".to_owned(), (4, 3)), ("spinach".to_owned(), (21, 0))]);
        let moved = losses().learnt(&own);
        // (0.03 * 25 + 3) / 50, then (0.075 * 8 + 3) / 12 and (0.075 * 8) / 29.
        assert!((moved.whole - 0.075).abs() < 1e-12);
        assert!((moved.whole_of("kale") - 0.3).abs() < 1e-12);
        assert!((moved.whole_of("spinach") - 0.6 / 29.0).abs() < 1e-12);
        assert_eq!(moved.whole_of("carrot"), moved.whole);
    }
}
