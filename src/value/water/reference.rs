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

/// Psychrometric constant, kPa/K, at an air pressure, kPa (eq. 8).
pub fn psychrometric_kpa_k(pressure_kpa: f64) -> f64 {
    0.665e-3 * pressure_kpa
}

/// Mean saturation vapour pressure of a day, kPa (eq. 12).
pub fn mean_saturation_kpa(max_c: f64, min_c: f64) -> f64 {
    (saturation_vapour_pressure_kpa(max_c) + saturation_vapour_pressure_kpa(min_c)) / 2.0
}

/// Reference evapotranspiration of a day, mm (eq. 6); dew counts as none.
///
/// # Example
/// FAO-56 example 17, Bangkok in April; the tolerance is half of the last digit printed there.
/// ```
/// use bedyear::value::water::{Day, reference_mm};
/// let day = Day {
///     max_c: 34.8, min_c: 25.6, vapour_kpa: 2.85, wind_2m_m_s: 2.0,
///     net_radiation_mj: 14.33, soil_heat_mj: 0.14, pressure_kpa: 101.3,
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
