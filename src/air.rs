//! Moist air: saturation, humidity, density, the long-wave sky. Shared by weather, building and water demand.
//!
//! Temperatures in °C, vapour pressures in kPa, air pressures in Pa, humidity ratios in kg of vapour per kg of
//! dry air. The functions are total: arguments outside the stated ranges give a finite value at the range's
//! edge where the formula would break, never a panic.

/// 0 °C on the absolute scale, K. Definition of the Celsius scale.
pub const ZERO_CELSIUS_K: f64 = 273.15;
/// Sea-level pressure of the standard atmosphere, Pa (ISO 2533).
pub const STANDARD_PRESSURE_PA: f64 = 101_325.0;
/// Specific gas constant of dry air, J/(kg K) (ASHRAE Fundamentals, psychrometrics chapter; from memory).
pub const GAS_CONSTANT_DRY_AIR_J_KG_K: f64 = 287.042;
/// Mass of a mole of water over that of dry air (FAO-56, eq. 8).
pub const WATER_TO_AIR_MOLE_MASS: f64 = 0.622;
/// Latent heat of fusion of water, J/kg (handbook value; from memory).
pub const LATENT_HEAT_FUSION_J_KG: f64 = 333_600.0;
/// Latent heat of vaporization at 0 °C, J/kg (Harrison 1963, FAO-56 annex 3).
const LATENT_HEAT_AT_ZERO_J_KG: f64 = 2.501e6;
/// Fall of the latent heat with temperature, J/(kg K) (Harrison 1963, FAO-56 annex 3).
const LATENT_HEAT_FALL_J_KG_K: f64 = 2361.0;
/// Stefan-Boltzmann constant, W/(m2 K4) (CODATA 2018).
pub const STEFAN_BOLTZMANN_W_M2K4: f64 = 5.670_374e-8;
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
/// Fall of temperature with height in the pressure formula, K/m (FAO-56, eq. 7).
const LAPSE_K_PER_M: f64 = 0.0065;
/// Reference temperature of the pressure formula, K (FAO-56, eq. 7).
const PRESSURE_FORMULA_TEMP_K: f64 = 293.0;
/// Exponent g / (lapse R) of the pressure formula (FAO-56, eq. 7).
const PRESSURE_FORMULA_EXPONENT: f64 = 5.26;

/// Mean air pressure at a height above sea level, Pa.
///
/// # Range
/// `elevation_m` -430 to 6000 m.
///
/// # Source
/// FAO-56 (Allen et al. 1998), eq. 7.
pub fn pressure_at_elevation_pa(elevation_m: f64) -> f64 {
    let base = (PRESSURE_FORMULA_TEMP_K - LAPSE_K_PER_M * elevation_m) / PRESSURE_FORMULA_TEMP_K;
    STANDARD_PRESSURE_PA * base.max(0.0).powf(PRESSURE_FORMULA_EXPONENT)
}

/// Latent heat of vaporization of water, J/kg, at `temp_c`.
///
/// # Source
/// 2.501 - 0.002361 T MJ/kg: Harrison (1963), FAO-56 annex 3, eq. 3-1. FAO-56 itself then works with 2.45 MJ/kg.
pub fn latent_heat_vaporization_j_kg(temp_c: f64) -> f64 {
    LATENT_HEAT_AT_ZERO_J_KG - LATENT_HEAT_FALL_J_KG_K * temp_c
}

/// Temperature in K, never below 1 K.
pub fn kelvin(temp_c: f64) -> f64 {
    (temp_c + ZERO_CELSIUS_K).max(1.0)
}

/// Saturation vapour pressure over liquid water, kPa.
///
/// Below 0 °C the value is for supercooled water, as weather stations report humidity.
///
/// # Range
/// `temp_c` -60 to 60 °C (clamped at -100 and 150).
///
/// # Source
/// FAO-56 (Allen et al. 1998), eq. 11.
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

/// Emissivity of the clear sky from the dew point: 0.787 + 0.764 ln(T/273), T in K.
///
/// # Source
/// Clark & Allen (1978); the form that the hourly weather files of open repositories use for their long-wave
/// column. From memory.
pub fn clear_sky_emissivity_clark_allen(dew_point_c: f64) -> f64 {
    (0.787 + 0.764 * (kelvin(dew_point_c) / 273.0).ln()).clamp(0.0, 1.0)
}

/// Emissivity of a sky with clouds, from its clear value and the cloud cover (0 to 1).
///
/// Factor 1 + 0.0224 N - 0.0035 N2 + 0.00028 N3 with N in tenths, at most 1.
///
/// # Source
/// Walton (1983), NBSIR 83-2655; from memory.
pub fn cloudy_sky_emissivity(clear: f64, cloud_share: f64) -> f64 {
    let n = 10.0 * cloud_share.clamp(0.0, 1.0);
    (clear * (1.0 + n * (0.0224 + n * (-0.0035 + n * 0.000_28)))).clamp(0.0, 1.0)
}

/// Long-wave irradiance of the sky on a horizontal face, W/m2.
///
/// `temp_air_c` °C at 2 m, `dew_point_c` °C (over water), `cloud_share` 0 to 1. Clark & Allen for the clear
/// sky, Walton for the clouds: the pair behind the long-wave column of published hourly files, so that a year
/// without that column is treated as one with it.
pub fn sky_long_wave_w_m2(temp_air_c: f64, dew_point_c: f64, cloud_share: f64) -> f64 {
    let emissivity =
        cloudy_sky_emissivity(clear_sky_emissivity_clark_allen(dew_point_c), cloud_share);
    emissivity * STEFAN_BOLTZMANN_W_M2K4 * kelvin(temp_air_c).powi(4)
}

/// Temperature, °C, of the black sky that sends `long_wave_w_m2`.
pub fn sky_temperature_c(long_wave_w_m2: f64) -> f64 {
    (long_wave_w_m2.max(0.0) / STEFAN_BOLTZMANN_W_M2K4)
        .sqrt()
        .sqrt()
        - ZERO_CELSIUS_K
}
