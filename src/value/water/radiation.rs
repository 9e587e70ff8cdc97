//! Radiation of FAO-56, chapter 3: above the air, through it, and what a grass cover keeps. Units MJ/m2/day.

use std::f64::consts::PI;

/// Solar constant, MJ/m2/min (FAO-56, eq. 21).
const SOLAR_CONSTANT_MJ_M2_MIN: f64 = 0.0820;
/// Stefan-Boltzmann constant, MJ/K4/m2/day (FAO-56, eq. 39).
const STEFAN_BOLTZMANN_MJ: f64 = 4.903e-9;
/// 0 °C in K as FAO-56 rounds it (eq. 39).
const ZERO_C_K: f64 = 273.16;
/// Albedo of the grass reference (FAO-56, eq. 38).
pub(super) const ALBEDO_GRASS: f64 = 0.23;
/// Days in the year of the sun's formulas.
const DAYS: f64 = 365.0;

/// Inverse relative distance of earth and sun, of the day of the year from 1 (eq. 23).
pub fn inverse_distance(day: f64) -> f64 {
    1.0 + 0.033 * (2.0 * PI / DAYS * day).cos()
}

/// Declination of the sun, rad, of the day of the year from 1 (eq. 24).
pub fn declination_rad(day: f64) -> f64 {
    0.409 * (2.0 * PI / DAYS * day - 1.39).sin()
}

/// Hour angle of sunset, rad, 0 in polar night and pi in polar day (eq. 25); latitude in rad, north positive.
pub fn sunset_angle_rad(latitude_rad: f64, day: f64) -> f64 {
    (-latitude_rad.tan() * declination_rad(day).tan())
        .clamp(-1.0, 1.0)
        .acos()
}

/// Extraterrestrial radiation of a day (eq. 21).
pub fn extraterrestrial_mj(latitude_rad: f64, day: f64) -> f64 {
    let (sunset, declination) = (sunset_angle_rad(latitude_rad, day), declination_rad(day));
    let up = sunset * latitude_rad.sin() * declination.sin()
        + latitude_rad.cos() * declination.cos() * sunset.sin();
    24.0 * 60.0 / PI * SOLAR_CONSTANT_MJ_M2_MIN * inverse_distance(day) * up
}

/// Daylight hours (eq. 34), the sun's centre on a flat horizon without refraction.
pub fn daylight_hours(latitude_rad: f64, day: f64) -> f64 {
    24.0 / PI * sunset_angle_rad(latitude_rad, day)
}

/// Solar radiation from hours of sunshine, with the coefficients FAO-56 recommends without calibration (eq. 35).
pub fn solar_from_sunshine_mj(sunshine_h: f64, daylight_h: f64, extraterrestrial_mj: f64) -> f64 {
    let share = if daylight_h > 0.0 {
        (sunshine_h / daylight_h).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (0.25 + 0.50 * share) * extraterrestrial_mj
}

/// Solar radiation from the daily range of temperature (eq. 50); `coefficient` 0.16 inland, 0.19 at the coast.
pub fn solar_from_temperature_mj(
    coefficient: f64,
    max_c: f64,
    min_c: f64,
    extraterrestrial_mj: f64,
) -> f64 {
    coefficient * (max_c - min_c).max(0.0).sqrt() * extraterrestrial_mj
}

/// Clear-sky radiation at a height above sea level, m (eq. 37).
pub fn clear_sky_mj(elevation_m: f64, extraterrestrial_mj: f64) -> f64 {
    (0.75 + 2e-5 * elevation_m) * extraterrestrial_mj
}

/// Solar radiation kept by the reference grass (eq. 38).
pub fn net_short_wave_mj(solar_mj: f64) -> f64 {
    (1.0 - ALBEDO_GRASS) * solar_mj
}

/// Long-wave radiation lost under the open sky (eq. 39); the cloud term is at most that of a clear sky.
pub fn net_long_wave_mj(
    max_c: f64,
    min_c: f64,
    vapour_kpa: f64,
    solar_mj: f64,
    clear_sky_mj: f64,
) -> f64 {
    let emitted = ((max_c + ZERO_C_K).powi(4) + (min_c + ZERO_C_K).powi(4)) / 2.0;
    let clear = if clear_sky_mj > 0.0 {
        (solar_mj / clear_sky_mj).min(1.0)
    } else {
        0.0
    };
    STEFAN_BOLTZMANN_MJ
        * emitted
        * (0.34 - 0.14 * vapour_kpa.max(0.0).sqrt())
        * (1.35 * clear - 0.35)
}
