//! How one hour or one day works on a plant: temperature, light, root zone, emergence, fruit set.

use super::curve::{Beyond, Curve};
use super::{EmergenceCurve, FruitSet, Light, Seedlings, Temperature};

/// Growing degrees of an hour's temperature, K: the rise above the base up to the cutoff, then a straight fall
/// to nothing at the ceiling.
///
/// # Source
/// Base and cutoff as in the hourly degree-day method; the fall above the optimum after Baker & Reddy 2001, Ann.
/// Bot. 87:605 (muskmelon leaves: base 10, optimum 34, zero again at 45 °C).
pub fn growing_degrees(temperature: &Temperature, temp_c: f64) -> f64 {
    let top_k = temperature.upper_c - temperature.base_c;
    if temp_c <= temperature.upper_c {
        (temp_c - temperature.base_c).max(0.0)
    } else {
        let span_k = temperature.ceiling_c - temperature.upper_c;
        top_k * ((temperature.ceiling_c - temp_c) / span_k).max(0.0)
    }
}

/// How strongly the light response bends between compensation and target: 0 would be a straight line.
///
/// Own choice between two published ends: vine crops gain about one per cent from one per cent more light
/// (Runkle, MSU), lettuce's yield per mole falls from 29 to 27 g between 11.5 and 23 mol/m2/day (Frontiers Plant
/// Sci. 2021, 592171).
const LIGHT_BEND: f64 = 0.5;

/// Share of full growth that a day's light allows, 0 at the compensation point to 1 at the target and beyond.
///
/// A saturating exponential, never a switch: the 12 mol that handbooks name is for saleable quality.
///
/// # Units
/// `light_mol_m2_day` in mol/m2/day; returns 0 to 1.
pub fn light_factor(light: &Light, light_mol_m2_day: f64) -> f64 {
    let span = light.target_mol_m2_day - light.compensation_mol_m2_day;
    let share = ((light_mol_m2_day - light.compensation_mol_m2_day) / span).clamp(0.0, 1.0);
    (1.0 - (-LIGHT_BEND * share).exp()) / (1.0 - (-LIGHT_BEND).exp())
}

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

impl Seedlings {
    /// From published shares, %, at rising temperatures, °C: straight between them, and beyond them as at the nearest; all
    /// seeds where nothing is published.
    pub fn new(at_c: &[f64], percent: &[f64]) -> Self {
        const PERCENT: f64 = 100.0;
        let seen = at_c.iter().zip(percent);
        let mut points: Vec<(f64, f64)> = seen
            .map(|(&at_c, &percent)| (at_c, percent / PERCENT))
            .collect();
        if points.is_empty() {
            points.push((0.0, 1.0));
        }
        Self {
            share: Curve::new(&points, Beyond::Nearest),
        }
    }
}

/// Fall from full set to none below the coldest good night, K: tomato, 12.8 °C (55 °F) needed, pollen tubes too
/// slow under 10 °C (50 °F); borrowed for the other fruiting crops.
const SET_FALL_COLD_K: f64 = 2.8;
/// Fall from full set to none above the warmest good night, K (assumption: as wide as on the cold side).
const SET_FALL_WARM_NIGHT_K: f64 = 2.8;
/// Fall from full set to none above the hottest good day, K (assumption, no source).
const SET_FALL_HOT_DAY_K: f64 = 5.0;

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

/// Effect of a day's temperature as cold that calls a plant to flower, 0 to 1: a triangle from -1 °C to the
/// crop's warmest effective temperature, its top where carrot has it.
///
/// # Source
/// Atherton et al. 1990, J. Hort. Sci. 65:423, carrot: base -1, optimum 6.5, maximum 16 °C.
pub fn vernalization(cold_max_c: f64, temp_c: f64) -> f64 {
    const BASE_C: f64 = -1.0;
    /// Place of the optimum between base and maximum: (6.5 + 1) / (16 + 1).
    const OPTIMUM_SHARE: f64 = 7.5 / 17.0;
    let optimum_c = BASE_C + OPTIMUM_SHARE * (cold_max_c - BASE_C);
    if temp_c <= optimum_c {
        ((temp_c - BASE_C) / (optimum_c - BASE_C)).max(0.0)
    } else {
        ((cold_max_c - temp_c) / (cold_max_c - optimum_c)).max(0.0)
    }
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

/// Share of its ready mass that a plant has at a share of its growth sum.
///
/// The expolinear law: leaves first pay interest on themselves, then a closed stand gains steadily.
///
/// # Source
/// Goudriaan & Monteith 1990, Ann. Bot. 66:695 (from memory) for the form; the bend lies at 40 % of the sum
/// (assumption: lettuce covers the ground at about half of its time, Bierhuizen et al. 1973).
pub fn mass_share(sum_share: f64) -> f64 {
    const STEEPNESS: f64 = 10.0;
    const LAG: f64 = 0.4;
    let law = |share: f64| (STEEPNESS * (share - LAG)).exp().ln_1p();
    // The curve starts a little above nought; take that off so that nothing sown weighs nothing.
    let start = law(0.0);
    (law(sum_share.max(0.0)) - start) / (law(1.0) - start)
}
