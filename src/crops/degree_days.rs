//! Degree-days: the published methods that turn daily extremes, or hours, into heat above a base.
//!
//! Growth itself runs on hourly temperatures; these are here so that published sums can be compared with ours, and so
//! that a grower can check a sum from a minimum-maximum thermometer.
//!
//! All functions take temperatures of one scale (°C or °F alike) and return degree-days of that scale; none can
//! fail. A minimum above the maximum is taken the other way round.

use std::f64::consts::{FRAC_PI_2, PI};

/// A base and, for most methods, an upper cutoff above which no more heat is counted (horizontal cutoff).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thresholds {
    /// No heat is counted below.
    pub lower: f64,
    /// No further heat is counted above; infinite for none.
    pub upper: f64,
}

/// Simple average: mean of the extremes less the base, nought if negative, no cutoff.
///
/// # Source
/// McMaster & Wilhelm 1997, Agric. Forest Meteorol. 87:291, method 1.
pub fn simple_average(min: f64, max: f64, base: f64) -> f64 {
    (0.5 * (min + max) - base).max(0.0)
}

/// Average of extremes that have each been brought into the thresholds first (the 86/50 way of maize).
///
/// # Source
/// McMaster & Wilhelm 1997, method 2, for the base; the cutoff as extension services apply it to maize.
pub fn clamped_average(min: f64, max: f64, thresholds: Thresholds) -> f64 {
    let clamp = |temp: f64| temp.min(thresholds.upper).max(thresholds.lower);
    0.5 * (clamp(min) + clamp(max)) - thresholds.lower
}

/// Single sine: one sine through the day's extremes.
///
/// # Source
/// Baskerville & Emin 1969, Ecology 50:514 (from memory), proved against Zalom et al. 1983, table 7, and the UC IPM
/// calculator.
pub fn single_sine(min: f64, max: f64, thresholds: Thresholds) -> f64 {
    between(min, max, thresholds, sine_above)
}

/// Double sine: half a sine from the day's minimum to its maximum, half to the next day's minimum.
///
/// # Source
/// Zalom et al. 1983, UC leaflet 21373.
pub fn double_sine(min: f64, max: f64, next_min: f64, thresholds: Thresholds) -> f64 {
    0.5 * (single_sine(min, max, thresholds) + single_sine(next_min, max, thresholds))
}

/// Single triangle: straight lines between the day's extremes.
///
/// # Source
/// Zalom et al. 1983, UC leaflet 21373.
pub fn single_triangle(min: f64, max: f64, thresholds: Thresholds) -> f64 {
    between(min, max, thresholds, triangle_above)
}

/// Double triangle: straight lines from the day's minimum to its maximum and on to the next day's minimum.
///
/// # Source
/// Zalom et al. 1983, UC leaflet 21373.
pub fn double_triangle(min: f64, max: f64, next_min: f64, thresholds: Thresholds) -> f64 {
    0.5 * (single_triangle(min, max, thresholds) + single_triangle(next_min, max, thresholds))
}

/// Hourly: the mean over the hours of the heat between the thresholds; the most exact where hours are known.
///
/// Nought for no hours.
pub fn hourly(hours: &[f64], thresholds: Thresholds) -> f64 {
    let heat = |temp: &f64| temp.min(thresholds.upper).max(thresholds.lower) - thresholds.lower;
    hours.iter().map(heat).sum::<f64>() / hours.len().max(1) as f64
}

/// Cucumber's own sum: the day's maximum less the base; over the ceiling, the ceiling less the excess takes its place.
///
/// # Source
/// Perry & Wehner 1996, HortTechnology 6:27: base 15.5 °C (60 °F), ceiling 32 °C (90 °F).
pub fn reduced_maximum(max: f64, base: f64, ceiling: f64) -> f64 {
    let reduced = if max > ceiling {
        2.0 * ceiling - max
    } else {
        max
    };
    (reduced - base).max(0.0)
}

/// Heat above the lower less heat above the upper threshold.
fn between(min: f64, max: f64, thresholds: Thresholds, above: fn(f64, f64, f64) -> f64) -> f64 {
    let (min, max) = if min <= max { (min, max) } else { (max, min) };
    above(min, max, thresholds.lower) - above(min, max, thresholds.upper)
}

/// Mean heat of a sine above a threshold.
fn sine_above(min: f64, max: f64, threshold: f64) -> f64 {
    let mean = 0.5 * (max + min);
    let half = 0.5 * (max - min);
    if max <= threshold {
        0.0
    } else if min >= threshold {
        mean - threshold
    } else {
        let angle = ((threshold - mean) / half).asin();
        (half * angle.cos() - (threshold - mean) * (FRAC_PI_2 - angle)) / PI
    }
}

/// Mean heat of a triangle above a threshold.
fn triangle_above(min: f64, max: f64, threshold: f64) -> f64 {
    if max <= threshold {
        0.0
    } else if min >= threshold {
        0.5 * (max + min) - threshold
    } else {
        0.5 * (max - threshold).powi(2) / (max - min)
    }
}
