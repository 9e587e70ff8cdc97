//! What temperature does: leaf growth and age, photosynthesis, upkeep, cold that calls.

use super::class::Class;
use crate::crops::Temperature;

/// How far below the base of a straight line the curve has its foot, against the span from base to optimum: published bases
/// are straight lines drawn on past their last points (own choice, no source).
const FOOT_SHARE: f64 = 0.05;

/// Growing degrees of an hour's leaf temperature, K: the pace of leaf growth and of age.
///
/// Rises in an S from a foot a little below the base, most at `upper_c`, none at `ceiling_c`; scaled so that the top is the
/// span from base to optimum.
///
/// # Source
/// Wang & Engel 1998, Agric. Syst. 58:1 (form from memory).
pub fn growing_degrees(temperature: &Temperature, leaf_c: f64) -> f64 {
    let (base, best, ceiling) = (
        temperature.base_c,
        temperature.upper_c,
        temperature.ceiling_c,
    );
    let foot = base - FOOT_SHARE * (best - base);
    if leaf_c <= foot || leaf_c >= ceiling {
        return 0.0;
    }
    let bend = std::f64::consts::LN_2 / ((ceiling - foot) / (best - foot)).ln();
    let x = ((leaf_c - foot) / (best - foot)).powf(bend);
    (best - base) / (1.0 + FOOT_SHARE) * (2.0 * x - x * x).max(0.0)
}

/// 0 below the first corner and above the last, 1 between the middle two, straight between.
pub fn trapezoid(corners: [f64; 4], at: f64) -> f64 {
    let [none, full, full_to, none_from] = corners;
    if at <= none || at >= none_from {
        0.0
    } else if at < full {
        (at - none) / (full - none)
    } else if at <= full_to {
        1.0
    } else {
        (none_from - at) / (none_from - full_to)
    }
}

/// Share of full photosynthesis that an hour's leaf temperature allows, 0 to 1.
pub fn photosynthesis(class: Class, leaf_c: f64) -> f64 {
    trapezoid(class.figures().photosynthesis_c, leaf_c)
}

pub use crate::house::carbon::upkeep;

/// Leaf area per gram against that at 18 °C: leaves are thin in warmth and thick in cold (from memory).
pub fn thinness(leaf_c: f64) -> f64 {
    (0.4 + 0.6 * leaf_c / 18.0).clamp(0.3, 1.4)
}

/// Effect of an hour's temperature as cold that calls a plant to flower, 0 to 1.
///
/// Plants that must first be past youth: a triangle from -1 °C to the crop's warmest effective temperature, its top where
/// carrot has it. Plants that hear cold from the moist seed on: full between 4 °C and 5 K below the warmest.
///
/// # Source
/// Atherton et al. 1990, J. Hort. Sci. 65:423, carrot: base -1, optimum 6.5, maximum 16 °C. Brassica rapa: sprouted seed can
/// be vernalized (Lee & Sheo 1957, read); buds after days under 15 °C (Nakagawa et al., read); corners own choice.
pub fn vernalization(cold_max_c: f64, from_seed: bool, temp_c: f64) -> f64 {
    const BASE_C: f64 = -1.0;
    /// Place of the optimum between base and maximum: (6.5 + 1) / (16 + 1).
    const OPTIMUM_SHARE: f64 = 7.5 / 17.0;
    /// Cold from the seed on is full from `FULL_C` to `FALL_K` below the maximum.
    const FULL_C: f64 = 4.0;
    const FALL_K: f64 = 5.0;
    if from_seed {
        let full_to = (cold_max_c - FALL_K).max(FULL_C);
        return trapezoid([BASE_C, FULL_C, full_to, cold_max_c], temp_c);
    }
    let optimum_c = BASE_C + OPTIMUM_SHARE * (cold_max_c - BASE_C);
    trapezoid([BASE_C, optimum_c, optimum_c, cold_max_c], temp_c)
}
