//! Moist air: saturation, humidity, density, the long-wave sky. Shared by weather, building and water demand.
//!
//! Temperatures in °C, vapour pressures in kPa, air pressures in Pa, humidity ratios in kg of vapour per kg of
//! dry air. The functions are total: arguments outside the stated ranges give a finite value at the range's
//! edge where the formula would break, never a panic.

mod sky;
mod vapour;

pub use sky::{
    STEFAN_BOLTZMANN_W_M2K4, clear_sky_emissivity_berdahl_martin, clear_sky_emissivity_brutsaert,
    clear_sky_emissivity_clark_allen, cloudy_sky_emissivity, sky_long_wave_w_m2, sky_temperature_c,
};
pub use vapour::saturation_and_slope;
pub use vapour::{
    dew_or_frost_point_c, dew_point_c, humidity_ratio_kg_kg, psychrometric_constant_kpa_k,
    psychrometric_vapour_pressure_kpa, relative_humidity_pct, saturation_humidity_ratio_kg_kg,
    saturation_slope_kpa_k, saturation_vapour_pressure_ice_kpa, saturation_vapour_pressure_kpa,
    vapour_density_kg_m3, vapour_pressure_deficit_kpa, vapour_pressure_kpa,
    vapour_pressure_of_ratio_kpa, wet_bulb_c,
};

/// 0 °C on the absolute scale, K. Definition of the Celsius scale.
pub const ZERO_CELSIUS_K: f64 = 273.15;
/// Sea-level pressure of the standard atmosphere, Pa (ISO 2533).
pub const STANDARD_PRESSURE_PA: f64 = 101_325.0;
/// Specific gas constant of dry air, J/(kg K) (ASHRAE Fundamentals, psychrometrics chapter; from memory).
pub const GAS_CONSTANT_DRY_AIR_J_KG_K: f64 = 287.042;
/// Specific gas constant of water vapour, J/(kg K) (ASHRAE Fundamentals, psychrometrics chapter; from memory).
pub const GAS_CONSTANT_VAPOUR_J_KG_K: f64 = 461.524;
/// Mass of a mole of water over that of dry air (FAO-56, eq. 8).
pub const WATER_TO_AIR_MOLE_MASS: f64 = 0.622;
/// Specific heat of dry air at constant pressure, J/(kg K) (ASHRAE Fundamentals; from memory).
pub const SPECIFIC_HEAT_DRY_AIR_J_KG_K: f64 = 1006.0;
/// Specific heat of water vapour at constant pressure, J/(kg K) (ASHRAE Fundamentals; from memory).
pub const SPECIFIC_HEAT_VAPOUR_J_KG_K: f64 = 1860.0;
/// Specific heat of liquid water, J/(kg K), at 15 to 20 °C (handbook value; from memory).
pub const SPECIFIC_HEAT_WATER_J_KG_K: f64 = 4186.0;
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

/// Density of dry air, kg/m3, at `temp_air_c` and `pressure_pa` (ideal gas).
///
/// Moist air is lighter by at most 1.5 % below 30 °C; see [`moist_air_density_kg_m3`].
pub fn air_density_kg_m3(temp_air_c: f64, pressure_pa: f64) -> f64 {
    pressure_pa / (GAS_CONSTANT_DRY_AIR_J_KG_K * kelvin(temp_air_c))
}

/// Density of moist air, kg/m3: dry part and vapour as ideal gases.
pub fn moist_air_density_kg_m3(temp_air_c: f64, pressure_pa: f64, vapour_kpa: f64) -> f64 {
    let vapour_pa = vapour_kpa * 1000.0;
    ((pressure_pa - vapour_pa) / GAS_CONSTANT_DRY_AIR_J_KG_K
        + vapour_pa / GAS_CONSTANT_VAPOUR_J_KG_K)
        / kelvin(temp_air_c)
}

/// Specific heat of moist air, J per kg of dry air and K, at a humidity ratio.
pub fn moist_air_specific_heat_j_kg_k(humidity_ratio_kg_kg: f64) -> f64 {
    SPECIFIC_HEAT_DRY_AIR_J_KG_K + humidity_ratio_kg_kg * SPECIFIC_HEAT_VAPOUR_J_KG_K
}

/// Enthalpy of moist air, J per kg of dry air, zero at 0 °C with liquid water.
///
/// # Source
/// ASHRAE Fundamentals, psychrometrics chapter (from memory): 1.006 T + W (2501 + 1.86 T) kJ/kg.
pub fn enthalpy_j_kg(temp_air_c: f64, humidity_ratio_kg_kg: f64) -> f64 {
    SPECIFIC_HEAT_DRY_AIR_J_KG_K * temp_air_c
        + humidity_ratio_kg_kg
            * (LATENT_HEAT_AT_ZERO_J_KG + SPECIFIC_HEAT_VAPOUR_J_KG_K * temp_air_c)
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
