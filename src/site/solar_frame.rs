//! What place and date alone fix for every year of weather: the sun outside the atmosphere, the hours of the
//! day's coldest and warmest moment, the mean pressure. And a day's clearness spread over its hours and split into beam and
//! diffuse; clouds seen from clearness.

use std::f64::consts::PI;

use super::weather::Place;
use crate::air::pressure_at_elevation_pa;
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY, HOURS_PER_YEAR};
use crate::solar::{SunHour, SunYear, erbs_diffuse_fraction};

/// The warmest moment comes this long after solar noon, h (2 to 3 h in handbooks; common practice, no source).
const WARMEST_AFTER_NOON_H: f64 = 2.5;
/// The coldest moment is sunrise, but not nearer to noon than this, h: in the polar night there is none.
const COLDEST_BEFORE_NOON_LEAST_H: f64 = 3.5;
/// Nor earlier than this before noon, h: in the polar day the sun is lowest at midnight.
const COLDEST_BEFORE_NOON_MOST_H: f64 = 11.0;

/// Sun and clock of a place in one model year.
#[derive(Clone, Debug)]
pub struct Frame {
    /// The sun, hour by hour.
    pub sun: SunYear,
    /// Irradiance outside the atmosphere on the horizontal, mean of each hour, W/m2.
    pub outside_w_m2: Vec<f64>,
    /// Sum of each day, Wh/m2.
    pub outside_day_wh_m2: Vec<f64>,
    /// Share of the day's global radiation in each hour for a day of even sky; sums to 1 on days with sun.
    pub hour_share: Vec<f64>,
    /// Clock hour of the coldest moment of each day.
    pub coldest_h: Vec<f64>,
    /// Clock hour of the warmest moment of each day.
    pub warmest_h: Vec<f64>,
    /// Mean pressure at the place's height, Pa.
    pub pressure_pa: f64,
    /// Clearness index of a cloudless day.
    pub clear_sky_clearness: f64,
}

impl Frame {
    /// The frame of a place; `year` fixes the sun's course.
    pub fn new(place: &Place, year: i32) -> Self {
        let sun = place.sun(year);
        let outside_w_m2: Vec<f64> = sun.hours.iter().map(SunHour::outside_w_m2).collect();
        let outside_day_wh_m2 = outside_w_m2
            .chunks_exact(HOURS_PER_DAY)
            .map(|day| day.iter().sum())
            .collect();
        let mut coldest_h = Vec::with_capacity(DAYS_PER_YEAR);
        let mut warmest_h = Vec::with_capacity(DAYS_PER_YEAR);
        for day in 0..DAYS_PER_YEAR {
            let noon = (sun.sunrise_h[day] + sun.sunset_h[day]) / 2.0;
            let before = (noon - sun.sunrise_h[day])
                .clamp(COLDEST_BEFORE_NOON_LEAST_H, COLDEST_BEFORE_NOON_MOST_H);
            coldest_h.push(noon - before);
            warmest_h.push(noon + WARMEST_AFTER_NOON_H);
        }
        Self {
            hour_share: hour_shares(&sun, &outside_w_m2),
            outside_w_m2,
            outside_day_wh_m2,
            coldest_h,
            warmest_h,
            pressure_pa: pressure_at_elevation_pa(place.elevation_m),
            clear_sky_clearness: clear_sky_clearness(place.elevation_m),
            sun,
        }
    }
}

/// Clearness index of a cloudless day at a height above sea level (m).
///
/// # Source
/// FAO-56 (Allen et al. 1998), eq. 37: 0.75 + 2e-5 z.
pub fn clear_sky_clearness(elevation_m: f64) -> f64 {
    0.75 + 2e-5 * elevation_m.max(0.0)
}

/// How a day's global radiation spreads over its hours.
///
/// # Source
/// Collares-Pereira & Rabl (1979), Solar Energy 22:155-164: the hour's share outside the atmosphere times
/// a + b cos w, with w the hour angle and a, b from the hour angle of sunset.
fn hour_shares(sun: &SunYear, outside_w_m2: &[f64]) -> Vec<f64> {
    let mut shares = vec![0.0; HOURS_PER_YEAR];
    for day in 0..DAYS_PER_YEAR {
        let noon = (sun.sunrise_h[day] + sun.sunset_h[day]) / 2.0;
        let sunset_angle = (sun.day_length_h[day] / 2.0) * PI / 12.0;
        let turned = (sunset_angle - PI / 3.0).sin();
        let (a, b) = (0.409 + 0.5016 * turned, 0.6609 - 0.4767 * turned);
        let hours = day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY;
        for (clock, share) in shares[hours.clone()].iter_mut().enumerate() {
            let angle = (clock as f64 + 0.5 - noon) * PI / 12.0;
            let even = (a + b * angle.cos()).max(0.0);
            *share = even * outside_w_m2[day * HOURS_PER_DAY + clock];
        }
        let total: f64 = shares[hours.clone()].iter().sum();
        if total > 0.0 {
            for share in &mut shares[hours] {
                *share /= total;
            }
        }
    }
    shares
}

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
