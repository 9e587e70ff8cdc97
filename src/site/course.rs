//! The course of temperature through the hours of successive days.

use std::f64::consts::PI;

use super::interpolate::{months_to_days, within_day};
use super::normals::Monthly;
use super::solar_frame::Frame;
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY};
use crate::numbers::halved;

/// Days that a course needs before and after the ones it is asked for.
pub const PAD_DAYS: usize = 4;

/// Coldest air measured near the ground on earth, °C (Vostok 1983, WMO archive of extremes; from memory).
pub const COLDEST_RECORD_C: f64 = -89.2;
/// Hottest, °C (Death Valley 1913, same archive; from memory). Nothing beyond is ever generated.
pub const HOTTEST_RECORD_C: f64 = 56.7;

/// Smallest half of the daily range, K: a day is never wholly flat.
const LEAST_HALF_RANGE_K: f64 = 0.02;

/// Daily mean temperature and how wide the day swings against its season.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TempDay {
    /// Mean of the day, °C; kept exactly.
    pub mean_c: f64,
    /// Swing above the mean by day, as a factor on the season's.
    pub day_factor: f64,
    /// Swing below the mean in the night that ends at this day's sunrise, as a factor on the season's.
    pub night_factor: f64,
}

/// How far a day's warmest and coldest moment stand off its mean, through the year.
#[derive(Clone, Debug)]
pub struct Swing {
    /// Warmest moment above the mean, K, 365 days.
    above_k: Vec<f64>,
    /// Coldest moment below the mean, K, 365 days.
    below_k: Vec<f64>,
    /// Exponent of the fall from the warmest moment to the next coldest one; below 1 it falls early.
    fall_exponent: Vec<f64>,
}

impl Swing {
    /// From monthly means of both distances (K, above 0).
    pub fn new(frame: &Frame, above_k: &Monthly, below_k: &Monthly) -> Self {
        let mut exponents = [1.0; 12];
        for (month, exponent) in exponents.iter_mut().enumerate() {
            let day = crate::calendar::MONTH_START_DAY[month] + 14;
            let rise = (frame.warmest_h[day] - frame.coldest_h[day]) / HOURS_PER_DAY as f64;
            let low_share = below_k[month] / (below_k[month] + above_k[month]);
            *exponent = fall_exponent((low_share - 0.5 * rise) / (1.0 - rise));
        }
        let positive = |monthly: &Monthly| -> Vec<f64> {
            months_to_days(monthly)
                .into_iter()
                .map(|value| value.max(LEAST_HALF_RANGE_K))
                .collect()
        };
        Self {
            above_k: positive(above_k),
            below_k: positive(below_k),
            fall_exponent: months_to_days(&exponents),
        }
    }
}

/// Exponent p for which (1 + cos(pi x^p)) / 2 has the given mean over 0 to 1.
fn fall_exponent(mean: f64) -> f64 {
    /// Range searched; at its ends the mean is 0.28 and 0.69.
    const RANGE: (f64, f64) = (0.45, 2.2);
    const STEPS: usize = 64;
    const HALVINGS: usize = 24;
    let found = |exponent: f64| {
        let steps = (0..STEPS).map(|step| {
            let x = (step as f64 + 0.5) / STEPS as f64;
            (1.0 + (PI * x.powf(exponent)).cos()) / 2.0
        });
        steps.sum::<f64>() / STEPS as f64
    };
    let (low, high) = halved(RANGE, HALVINGS, |exponent| found(exponent) < mean);
    (low + high) / 2.0
}

/// Hourly air temperature, °C, of one year.
///
/// `days` are the 365 days with [`PAD_DAYS`] before and after. Half a cosine rises from the coldest moment
/// (sunrise) to the warmest; another, its time bent, falls to the next sunrise; a smooth correction then gives
/// every day its own mean exactly.
pub fn hourly_temp_c(frame: &Frame, swing: &Swing, days: &[TempDay]) -> Vec<f64> {
    // Days whose whole course is bounded by extremes on both sides.
    const FIRST: usize = 2;
    let last = days.len() - 2;
    let extremes = extremes(frame, swing, days);
    let mut rough = vec![0.0; (last - FIRST) * HOURS_PER_DAY];
    let mut gap = vec![0.0; last - FIRST];
    for day in FIRST..last {
        let exponent = swing.fall_exponent[day_of_year(day)];
        let before = extremes[day - 1];
        let today = extremes[day];
        let after = extremes[day + 1];
        let hours = &mut rough[(day - FIRST) * HOURS_PER_DAY..(day - FIRST + 1) * HOURS_PER_DAY];
        for (clock, temp) in hours.iter_mut().enumerate() {
            let now = clock as f64 + 0.5;
            *temp = if now < today.coldest_h {
                fall(&before, &today, now, 24.0, 0.0, exponent)
            } else if now < today.warmest_h {
                let x = (now - today.coldest_h) / (today.warmest_h - today.coldest_h);
                today.coldest_c + (today.warmest_c - today.coldest_c) * (1.0 - (PI * x).cos()) / 2.0
            } else {
                fall(&today, &after, now, 0.0, 24.0, exponent)
            };
        }
        gap[day - FIRST] = days[day].mean_c - hours.iter().sum::<f64>() / HOURS_PER_DAY as f64;
    }
    let mut temps = Vec::with_capacity(DAYS_PER_YEAR * HOURS_PER_DAY);
    for day in PAD_DAYS..days.len() - PAD_DAYS {
        let at = day - FIRST;
        let correction = within_day([gap[at - 2], gap[at - 1], gap[at], gap[at + 1], gap[at + 2]]);
        for clock in 0..HOURS_PER_DAY {
            let (from, to) = (clock as f64 / 24.0, (clock + 1) as f64 / 24.0);
            let temp = rough[at * HOURS_PER_DAY + clock] + correction.mean_between(from, to);
            temps.push(temp.clamp(COLDEST_RECORD_C, HOTTEST_RECORD_C));
        }
    }
    temps
}

/// Coldest and warmest moment of a day: clock hour and temperature.
#[derive(Clone, Copy, Debug, Default)]
struct Extremes {
    coldest_h: f64,
    coldest_c: f64,
    warmest_h: f64,
    warmest_c: f64,
}

fn extremes(frame: &Frame, swing: &Swing, days: &[TempDay]) -> Vec<Extremes> {
    let mean = |day: usize| days[day.min(days.len() - 1)].mean_c;
    (0..days.len())
        .map(|day| {
            let season = day_of_year(day);
            let before = |back: usize| mean(day.saturating_sub(back));
            let course = within_day([
                before(2),
                before(1),
                mean(day),
                mean(day + 1),
                mean(day + 2),
            ]);
            let (coldest_h, warmest_h) = (frame.coldest_h[season], frame.warmest_h[season]);
            Extremes {
                coldest_h,
                coldest_c: course.at((coldest_h / 24.0).clamp(0.0, 1.0))
                    - swing.below_k[season] * days[day].night_factor,
                warmest_h,
                warmest_c: course.at((warmest_h / 24.0).clamp(0.0, 1.0))
                    + swing.above_k[season] * days[day].day_factor,
            }
        })
        .collect()
}

/// The fall from one day's warmest to the next day's coldest moment; `back` and `ahead` shift their clocks to `now`'s.
fn fall(from: &Extremes, to: &Extremes, now: f64, back: f64, ahead: f64, exponent: f64) -> f64 {
    let (start, end) = (from.warmest_h - back, to.coldest_h + ahead);
    let x = ((now - start) / (end - start)).clamp(0.0, 1.0);
    to.coldest_c + (from.warmest_c - to.coldest_c) * (1.0 + (PI * x.powf(exponent)).cos()) / 2.0
}

/// Day of the year (0 to 364) of an index into padded days.
pub fn day_of_year(padded: usize) -> usize {
    (padded + DAYS_PER_YEAR - PAD_DAYS) % DAYS_PER_YEAR
}
