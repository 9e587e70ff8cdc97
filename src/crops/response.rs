//! How one hour or one day works on a plant besides leaves and light: root zone, emergence, fruit set, call to flower.

use super::curve::{Beyond, Curve};
use super::{EmergenceCurve, FruitSet, Temperature};

/// Loss of growth for each kelvin that the root zone lies below the crop's minimum, 1/K.
///
/// Cocktail tomato with roots at 10 °C instead of 16 to 27 °C lost 7.9 to 20.9 % (He et al. 2019); the middle over
/// the 4 K below the tomato's 14 °C, borrowed for the other warm crops.
const ROOT_LOSS_PER_K: f64 = 0.036;

/// Share of full growth that the root zone allows, 0 to 1.
pub fn root_zone_factor(root_zone_min_c: Option<f64>, root_zone_c: f64) -> f64 {
    let short_k = root_zone_min_c.map_or(0.0, |min| (min - root_zone_c).max(0.0));
    (1.0 - ROOT_LOSS_PER_K * short_k).max(0.0)
}

impl EmergenceCurve {
    /// From published days to emergence at rising temperatures, °C: straight between their inverses, falling to nothing
    /// at the outer limits.
    pub fn new(at_c: &[f64], days: &[f64], none_below_c: f64, none_above_c: f64) -> Self {
        let seen = at_c.iter().zip(days);
        let mut points = vec![(none_below_c, 0.0)];
        points.extend(seen.map(|(&at_c, &days)| (at_c, 1.0 / days)));
        points.push((none_above_c, 0.0));
        Self {
            rate_per_day: Curve::new(&points, Beyond::Nothing),
            none_below_c,
            none_above_c,
        }
    }

    /// Progress to emergence at a temperature, 1/day.
    pub fn rate_per_day(&self, root_zone_c: f64) -> f64 {
        self.rate_per_day.at(root_zone_c)
    }

    /// Coldest constant temperature at which seedlings are up within `days`, °C.
    pub fn coldest_within(&self, days: f64) -> f64 {
        /// Step of the search, K.
        const STEP_K: f64 = 0.1;
        let steps = ((self.none_above_c - self.none_below_c) / STEP_K) as usize;
        (0..steps)
            .map(|step| self.none_below_c + step as f64 * STEP_K)
            .find(|&temp_c| self.rate_per_day(temp_c) * days >= 1.0)
            .unwrap_or(self.none_above_c)
    }
}

/// Share of seeds that make a sound seedling from published shares, %, at rising temperatures, °C: straight between them,
/// and beyond them as at the nearest.
pub fn seedlings(at_c: &[f64], percent: &[f64]) -> Curve {
    const PERCENT: f64 = 100.0;
    let seen = at_c.iter().zip(percent);
    let points: Vec<(f64, f64)> = seen
        .map(|(&at_c, percent)| (at_c, percent / PERCENT))
        .collect();
    Curve::new(&points, Beyond::Nearest)
}

/// Fall from full set to none below the coldest good night, K: tomato, 12.8 °C (55 °F) needed, pollen tubes too
/// slow under 10 °C (50 °F); borrowed for the other fruiting crops.
const SET_FALL_COLD_K: f64 = 2.8;
/// Fall from full set to none above the warmest good night, K (assumption: as wide as on the cold side).
const SET_FALL_WARM_NIGHT_K: f64 = 2.8;
/// Fall from full set to none above the hottest good day, K: tomato, 32.2 °C (90 °F) the end of the best, failure at 40 °C (104 °F;
/// Purdue Univ., Vegetable Crops Hotline, read); borrowed for the other fruiting crops.
const SET_FALL_HOT_DAY_K: f64 = 7.8;

impl FruitSet {
    /// Share of flowers that set on a day, by its coldest and its hottest hour.
    pub fn share(&self, night_min_c: f64, day_max_c: f64) -> f64 {
        let cold = self
            .night_min_c
            .map_or(1.0, |min| falling(min - night_min_c, SET_FALL_COLD_K));
        let warm = self
            .night_max_c
            .map_or(1.0, |max| falling(night_min_c - max, SET_FALL_WARM_NIGHT_K));
        let hot = self
            .day_max_c
            .map_or(1.0, |max| falling(day_max_c - max, SET_FALL_HOT_DAY_K));
        cold * warm * hot
    }
}

/// 1 while `beyond_k` is not positive, then straight to 0 at `width_k`.
fn falling(beyond_k: f64, width_k: f64) -> f64 {
    (1.0 - beyond_k / width_k).clamp(0.0, 1.0)
}

/// Hours beyond the critical day length at which the call to flower or to bulb is full; the crop files' days refer to it.
const FULL_CALL_H: f64 = 2.0;

/// How strongly a day's length calls to flower or to bulb, 0 to 1.
pub fn long_day(critical_h: f64, day_length_h: f64) -> f64 {
    ((day_length_h - critical_h) / FULL_CALL_H).clamp(0.0, 1.0)
}

/// Degrees of an hour's temperature by which a called plant runs to seed, K: the rise above the base up to the ceiling of
/// growth. Warmth that growth no longer answers goes on to hasten the stalk.
///
/// # Source
/// High temperatures speed up bolting in spinach and lettuce (Johnson, Weekly Crop Update, Univ. of Delaware, read);
/// lettuce at 25 °C made less mass than at 13 °C and ran to seed without a head (reciprocal transfers, read).
pub fn flowering_degrees(temperature: &Temperature, temp_c: f64) -> f64 {
    (temp_c.min(temperature.ceiling_c) - temperature.base_c).max(0.0)
}

/// Fall from a good crop to none above the warmest month that suits, K: a step of the handbook's own table, 5 °F (own
/// choice).
const MONTH_FALL_K: f64 = 2.8;

/// A crop of which less than this share is fit is not picked (own choice, no source: bitter leaves are not sorted one by
/// one).
const LEAST_FITNESS: f64 = 0.5;

/// Share of the eaten part that is fit for the kitchen when it ripened at a mean temperature, 0 to 1.
pub fn month_fitness(month_max_c: Option<f64>, mean_c: f64) -> f64 {
    let fit = month_max_c.map_or(1.0, |max| falling(mean_c - max, MONTH_FALL_K));
    if fit < LEAST_FITNESS { 0.0 } else { fit }
}
