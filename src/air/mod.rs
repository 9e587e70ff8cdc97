//! Moist air: saturation, humidity, density, the long-wave sky. Shared by weather, building and water demand.
//!
//! Temperatures in °C, vapour pressures in kPa, air pressures in Pa, humidity ratios in kg of vapour per kg of
//! dry air. The functions are total: arguments outside the stated ranges give a finite value at the range's
//! edge where the formula would break, never a panic.

mod sky;
mod vapour;

pub use sky::{
    STEFAN_BOLTZMANN_W_M2K4, clear_sky_emissivity_clark_allen, cloudy_sky_emissivity,
    sky_long_wave_w_m2, sky_temperature_c,
};
pub use vapour::saturation_and_slope;
pub use vapour::{
    dew_point_c, relative_humidity_pct, saturation_slope_kpa_k, saturation_vapour_pressure_kpa,
    vapour_pressure_kpa,
};

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
///
/// # Example
/// ```
/// // FAO-56, example 2: 81.8 kPa at 1800 m
/// let got = bedyear::air::pressure_at_elevation_pa(1800.0);
/// assert!((got - 81_800.0).abs() < 50.0, "got {got} Pa");
/// ```
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
fn kelvin(temp_c: f64) -> f64 {
    (temp_c + ZERO_CELSIUS_K).max(1.0)
}
