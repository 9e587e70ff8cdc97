//! Reference evapotranspiration by Penman-Monteith (FAO-56, eq. 6) and what it needs of the air.

use crate::air::{saturation_slope_kpa_k, saturation_vapour_pressure_kpa};

/// Air and net radiation of one day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Day {
    /// Highest air temperature, °C.
    pub max_c: f64,
    /// Lowest air temperature, °C.
    pub min_c: f64,
    /// Actual vapour pressure, kPa.
    pub vapour_kpa: f64,
    /// Wind at 2 m, m/s.
    pub wind_2m_m_s: f64,
    /// Net radiation, MJ/m2/day.
    pub net_radiation_mj: f64,
    /// Heat into the soil, MJ/m2/day.
    pub soil_heat_mj: f64,
    /// Air pressure, kPa.
    pub pressure_kpa: f64,
}

/// Air pressure, kPa, at a height above sea level, m (eq. 7).
pub fn pressure_kpa(elevation_m: f64) -> f64 {
    101.3 * ((293.0 - 0.0065 * elevation_m) / 293.0).powf(5.26)
}

/// Psychrometric constant, kPa/K, at an air pressure, kPa (eq. 8).
pub fn psychrometric_kpa_k(pressure_kpa: f64) -> f64 {
    0.665e-3 * pressure_kpa
}

/// Mean saturation vapour pressure of a day, kPa (eq. 12).
pub fn mean_saturation_kpa(max_c: f64, min_c: f64) -> f64 {
    (saturation_vapour_pressure_kpa(max_c) + saturation_vapour_pressure_kpa(min_c)) / 2.0
}

/// Vapour pressure, kPa, from a ventilated (Asmann) psychrometer (eqs. 15, 16).
pub fn vapour_from_psychrometer_kpa(dry_c: f64, wet_c: f64, pressure_kpa: f64) -> f64 {
    saturation_vapour_pressure_kpa(wet_c) - 0.000662 * pressure_kpa * (dry_c - wet_c)
}

/// Vapour pressure, kPa, from the day's highest and lowest temperature and humidity, % (eq. 17).
pub fn vapour_from_humidity_kpa(max_c: f64, min_c: f64, highest_pct: f64, lowest_pct: f64) -> f64 {
    let morning = saturation_vapour_pressure_kpa(min_c) * highest_pct / 100.0;
    let noon = saturation_vapour_pressure_kpa(max_c) * lowest_pct / 100.0;
    (morning + noon) / 2.0
}

/// Vapour pressure, kPa, from the day's mean humidity, % (eq. 19).
pub fn vapour_from_mean_humidity_kpa(max_c: f64, min_c: f64, mean_pct: f64) -> f64 {
    mean_pct / 100.0 * mean_saturation_kpa(max_c, min_c)
}

/// Wind at 2 m, m/s, from wind at another height, m, over grass (eq. 47).
pub fn wind_at_2m_m_s(wind_m_s: f64, height_m: f64) -> f64 {
    wind_m_s * 4.87 / (67.8 * height_m - 5.42).ln()
}

/// Heat into the soil in a month, MJ/m2/day, from its mean temperature and that of the month before, °C (eq. 44).
pub fn soil_heat_month_mj(mean_c: f64, mean_before_c: f64) -> f64 {
    0.14 * (mean_c - mean_before_c)
}

/// Reference evapotranspiration of a day, mm (eq. 6); dew counts as none.
///
/// # Example
/// FAO-56 example 17, Bangkok in April; the tolerance is half of the last digit printed there.
/// ```
/// use bedyear::value::water::{Day, pressure_kpa, reference_mm};
/// let day = Day {
///     max_c: 34.8, min_c: 25.6, vapour_kpa: 2.85, wind_2m_m_s: 2.0,
///     net_radiation_mj: 14.33, soil_heat_mj: 0.14, pressure_kpa: pressure_kpa(2.0),
/// };
/// assert!((reference_mm(&day) - 5.72).abs() < 0.005);
/// ```
pub fn reference_mm(day: &Day) -> f64 {
    let mean_c = (day.max_c + day.min_c) / 2.0;
    let slope = saturation_slope_kpa_k(mean_c);
    let gamma = psychrometric_kpa_k(day.pressure_kpa);
    let deficit = (mean_saturation_kpa(day.max_c, day.min_c) - day.vapour_kpa).max(0.0);
    let radiation = 0.408 * slope * (day.net_radiation_mj - day.soil_heat_mj);
    let air = gamma * 900.0 / (mean_c + 273.0) * day.wind_2m_m_s * deficit;
    ((radiation + air) / (slope + gamma * (1.0 + 0.34 * day.wind_2m_m_s))).max(0.0)
}

/// Reference evapotranspiration of a day, mm, from temperatures alone (eq. 52); extraterrestrial radiation in
/// MJ/m2/day.
pub fn hargreaves_mm(max_c: f64, min_c: f64, extraterrestrial_mj: f64) -> f64 {
    let mean_c = (max_c + min_c) / 2.0;
    // 0.408 turns MJ/m2 into mm of water evaporated.
    0.0023 * (mean_c + 17.8) * (max_c - min_c).max(0.0).sqrt() * 0.408 * extraterrestrial_mj
}
