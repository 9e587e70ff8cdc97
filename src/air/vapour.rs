//! Water vapour: how much air holds, how much it has, when it drips.

/// Saturation vapour pressure at 0 °C, kPa (FAO-56, eq. 11).
const SATURATION_AT_ZERO_KPA: f64 = 0.6108;
/// Factor over liquid water (FAO-56, eq. 11).
const WATER_FACTOR: f64 = 17.27;
/// Offset over liquid water, °C (FAO-56, eq. 11).
const WATER_OFFSET_C: f64 = 237.3;
/// Lowest temperature the exponential forms are asked for, °C (own choice).
const LOWEST_C: f64 = -100.0;
/// Highest temperature the exponential forms are asked for, °C (own choice).
const HIGHEST_C: f64 = 150.0;
/// Smallest vapour pressure a dew point is asked for, kPa (own choice; dew point about -75 °C).
const SMALLEST_VAPOUR_KPA: f64 = 1e-4;
/// Saturation vapour pressure over liquid water, kPa.
///
/// Below 0 °C the value is for supercooled water, as weather stations report humidity.
///
/// # Range
/// `temp_c` -60 to 60 °C (clamped at -100 and 150).
///
/// # Source
/// FAO-56 (Allen et al. 1998), eq. 11.
///
/// # Example
/// ```
/// // FAO-56, example 3
/// let got = bedyear::air::saturation_vapour_pressure_kpa(24.5);
/// assert!((got - 3.075).abs() < 0.0005, "got {got} kPa");
/// ```
pub fn saturation_vapour_pressure_kpa(temp_c: f64) -> f64 {
    let t = temp_c.clamp(LOWEST_C, HIGHEST_C);
    SATURATION_AT_ZERO_KPA * (WATER_FACTOR * t / (t + WATER_OFFSET_C)).exp()
}

/// Slope of the saturation vapour pressure over water with temperature, kPa/K (FAO-56, eq. 13).
pub fn saturation_slope_kpa_k(temp_c: f64) -> f64 {
    saturation_and_slope(temp_c).1
}

/// Saturation vapour pressure over water, kPa, and its slope, kPa/K, for the cost of one exponential.
pub fn saturation_and_slope(temp_c: f64) -> (f64, f64) {
    let t = temp_c.clamp(LOWEST_C, HIGHEST_C);
    let inverse = 1.0 / (t + WATER_OFFSET_C);
    let kpa = SATURATION_AT_ZERO_KPA * (WATER_FACTOR * t * inverse).exp();
    (kpa, WATER_FACTOR * WATER_OFFSET_C * kpa * inverse * inverse)
}

/// Vapour pressure of air, kPa, from its temperature and relative humidity over water (0 to 100 %).
pub fn vapour_pressure_kpa(temp_air_c: f64, relative_humidity_pct: f64) -> f64 {
    saturation_vapour_pressure_kpa(temp_air_c) * relative_humidity_pct.clamp(0.0, 100.0) / 100.0
}

/// Relative humidity over water, %, from temperature and vapour pressure; may exceed 100 where the caller's
/// balance is not yet solved.
pub fn relative_humidity_pct(temp_air_c: f64, vapour_kpa: f64) -> f64 {
    100.0 * vapour_kpa.max(0.0) / saturation_vapour_pressure_kpa(temp_air_c)
}

/// Dew point over liquid water, °C: FAO-56 eq. 11 solved for temperature.
///
/// Below 0 °C this is the dew point over supercooled water, as weather files state it.
pub fn dew_point_c(vapour_kpa: f64) -> f64 {
    let x = (vapour_kpa.max(SMALLEST_VAPOUR_KPA) / SATURATION_AT_ZERO_KPA).ln();
    WATER_OFFSET_C * x / (WATER_FACTOR - x)
}
