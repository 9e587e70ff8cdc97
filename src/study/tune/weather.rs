//! The weather of a record's dates: the hourly file's, with the logger's own air outside where it has it.

use super::run::{Observed, between, model_hour};
use crate::air::{ZERO_CELSIUS_K, relative_humidity_pct, vapour_pressure_kpa};
use crate::calendar::HOURS_PER_YEAR;
use crate::site::Weather;
use crate::tune::logger::Record;

/// One table for each calendar year of the record, sun and wind those of `base`.
pub fn years(base: &Weather, record: &Record, observed: &Observed, shift_h: f64) -> Vec<Weather> {
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
    (0..observed.years)
        .map(|year| {
            let first = year * HOURS_PER_YEAR;
            let mut weather = base.clone();
            for hour in 0..HOURS_PER_YEAR {
                const MIDDLE: f64 = 0.5;
                if let Some(difference) = line(&differences, (first + hour) as f64 + MIDDLE) {
                    warm(&mut weather, hour, difference);
                }
            }
            weather
        })
        .collect()
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
