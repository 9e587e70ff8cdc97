//! The weather of a record's dates: the hourly file's, with the logger's own air and sunlight outside where it has them.

use super::run::{Observed, between, model_hour};
use crate::air::{ZERO_CELSIUS_K, relative_humidity_pct, vapour_pressure_kpa};
use crate::calendar::HOURS_PER_YEAR;
use crate::site::Weather;
use crate::solar::SunYear;
use crate::tune::logger::Record;

/// One table for each calendar year of the record; what the record does not say is that of `base`.
pub fn years(
    (base, sun): (&Weather, &SunYear),
    record: &Record,
    observed: &Observed,
    shift_h: f64,
) -> Vec<Weather> {
    let mut differences: Vec<(f64, f64)> = record
        .readings
        .iter()
        .filter_map(|reading| {
            let at_h = model_hour(observed.first_year, reading.at)? + shift_h;
            let usual = between(&base.temp_air_c, at_h.rem_euclid(HOURS_PER_YEAR as f64))?;
            Some((at_h, reading.outdoor_c? - usual))
        })
        .collect();
    differences.dedup_by(|a, b| a.0 <= b.0);
    let lights = lights(record, observed, shift_h);
    (0..observed.years)
        .map(|year| {
            let first = year * HOURS_PER_YEAR;
            let mut weather = base.clone();
            for hour in 0..HOURS_PER_YEAR {
                const MIDDLE: f64 = 0.5;
                if let Some(difference) = line(&differences, (first + hour) as f64 + MIDDLE) {
                    warm(&mut weather, hour, difference);
                }
                let light_w_m2 = light((first + hour) as f64 + MIDDLE, &lights);
                if let (Some(w_m2), Some(sun)) = (light_w_m2, sun.hours.get(hour)) {
                    weather.take_global(hour, sun, w_m2);
                }
            }
            weather
        })
        .collect()
}

/// Moments and readings of the sunlight, W/m2.
fn lights(record: &Record, observed: &Observed, shift_h: f64) -> Vec<(f64, f64)> {
    let mut lights: Vec<(f64, f64)> = record
        .readings
        .iter()
        .filter_map(|reading| {
            let at_h = model_hour(observed.first_year, reading.at)? + shift_h;
            Some((at_h, reading.sun_w_m2?))
        })
        .collect();
    lights.dedup_by(|a, b| a.0 <= b.0);
    lights
}

/// The sunlight at a moment, in a straight line between readings that are near; none in a gap.
fn light(at_h: f64, lights: &[(f64, f64)]) -> Option<f64> {
    /// Hours between readings beyond which nothing is said between them (own choice).
    const NEAR_H: f64 = 2.0;
    let after = lights.partition_point(|(known_h, _)| *known_h < at_h);
    let next = lights.get(after)?;
    if next.0 == at_h {
        return Some(next.1);
    }
    let before = lights.get(after.checked_sub(1)?)?;
    let share = (at_h - before.0) / (next.0 - before.0);
    (next.0 - before.0 <= NEAR_H).then_some(before.1 + share * (next.1 - before.1))
}

/// Hours before and after the record over which the difference to the file fades (own choice: two days).
const FADE_H: f64 = 48.0;

/// The difference at a moment, in a straight line between readings; fading before the first and after the last.
fn line(differences: &[(f64, f64)], at_h: f64) -> Option<f64> {
    let after = differences.partition_point(|(known_h, _)| *known_h <= at_h);
    let faded = |known: &(f64, f64)| {
        let share = 1.0 - (known.0 - at_h).abs() / FADE_H;
        (share > 0.0).then_some(known.1 * share)
    };
    match (
        after.checked_sub(1).and_then(|at| differences.get(at)),
        differences.get(after),
    ) {
        (Some(before), Some(next)) => {
            let share = (at_h - before.0) / (next.0 - before.0);
            Some(before.1 + share * (next.1 - before.1))
        }
        (Some(only), None) | (None, Some(only)) => faded(only),
        (None, None) => None,
    }
}

/// An hour so much warmer: the air keeps its vapour as far as it can hold it, the sky its emissivity.
fn warm(weather: &mut Weather, hour: usize, difference_k: f64) {
    let old_c = weather.temp_air_c[hour];
    let new_c = old_c + difference_k;
    let vapour_kpa = vapour_pressure_kpa(old_c, weather.relative_humidity_pct[hour]);
    weather.temp_air_c[hour] = new_c;
    weather.relative_humidity_pct[hour] =
        relative_humidity_pct(new_c, vapour_kpa).clamp(0.0, 100.0);
    let ratio = (new_c + ZERO_CELSIUS_K) / (old_c + ZERO_CELSIUS_K);
    weather.sky_long_wave_w_m2[hour] *= ratio.powi(4);
}
