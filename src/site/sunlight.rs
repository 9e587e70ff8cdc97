//! A day's clearness spread over its hours and split into beam and diffuse; clouds seen from clearness.

use super::solar_frame::Frame;
use crate::calendar::HOURS_PER_DAY;
use crate::solar::{SunHour, erbs_diffuse_fraction};

/// Largest clearness index of an hour that is generated: a very clear hour at height.
const CLEAREST_HOUR: f64 = 0.88;

/// Smallest clearness index of an hour that is generated: thick rain cloud (own assumption).
const DARKEST_HOUR: f64 = 0.01;

/// Below this cosine of the zenith angle the beam of an hour is not resolved: what it carries is counted diffuse.
pub const LOWEST_SUN_COSINE: f64 = 0.02;

/// Hourly global horizontal irradiance of one day, W/m2, from its clearness index.
///
/// `unrest` multiplies each hour's clearness before the day's sum is restored (1 for an even sky).
pub fn day_ghi_w_m2(
    frame: &Frame,
    day: usize,
    clearness: f64,
    unrest: Option<&[f64; HOURS_PER_DAY]>,
    out: &mut Vec<f64>,
) {
    let start = day * HOURS_PER_DAY;
    let outside = &frame.outside_w_m2[start..start + HOURS_PER_DAY];
    let shares = &frame.hour_share[start..start + HOURS_PER_DAY];
    let goal = clearness * frame.outside_day_wh_m2[day];
    let mut ghi = [0.0; HOURS_PER_DAY];
    for hour in 0..HOURS_PER_DAY {
        ghi[hour] = goal * shares[hour] * unrest.map_or(1.0, |factors| factors[hour]);
    }
    scale_to_day(&mut ghi, outside, goal, clearness);
    out.extend_from_slice(&ghi);
}

/// Scales the hours of a day to its sum (Wh/m2), each hour inside what a sky can let through.
pub fn scale_to_day(
    ghi: &mut [f64; HOURS_PER_DAY],
    outside_w_m2: &[f64],
    goal_wh_m2: f64,
    clearness: f64,
) {
    // What the caps cut off goes to the other hours, by their share.
    for _round in 0..3 {
        let total: f64 = ghi.iter().sum();
        if total <= 0.0 {
            return;
        }
        let factor = goal_wh_m2 / total;
        for (value, &outside) in ghi.iter_mut().zip(outside_w_m2) {
            *value = (*value * factor).clamp(
                DARKEST_HOUR * outside.min(goal_wh_m2),
                CLEAREST_HOUR.max(clearness) * outside,
            );
        }
    }
}

/// Beam normal and diffuse horizontal irradiance, W/m2, of an hour by the diffuse share of Erbs et al. (1982).
///
/// Such that global = beam times cosine of the zenith angle + diffuse, with the sun at the middle of the sun-up
/// part of the hour.
pub fn split_beam_diffuse(sun: &SunHour, outside_w_m2: f64, ghi_w_m2: f64) -> (f64, f64) {
    if ghi_w_m2 <= 0.0 || outside_w_m2 <= 0.0 || sun.cos_zenith < LOWEST_SUN_COSINE {
        return (0.0, ghi_w_m2.max(0.0));
    }
    let diffuse = ghi_w_m2 * erbs_diffuse_fraction(ghi_w_m2 / outside_w_m2);
    let beam = (ghi_w_m2 - diffuse) / sun.cos_zenith;
    (beam, diffuse)
}

/// Share of the sky covered by opaque clouds, 0 to 1, from a day's clearness.
///
/// # Source
/// Form of Kasten & Czeplak (1980), Solar Energy 24:177-189 (from memory): global over its clear value is
/// 1 - 0.75 N^p, N the cloud cover. Their p of 3.4 is for all clouds, thin ones too; with 2 the long-wave columns of
/// 11 open weather files come back without bias (own fit).
pub fn cloud_share(clearness: f64, clear_sky_clearness: f64) -> f64 {
    const DARKENING: f64 = 0.75;
    let lost = 1.0 - clearness / clear_sky_clearness;
    (lost / DARKENING).clamp(0.0, 1.0).sqrt()
}
