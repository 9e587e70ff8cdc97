//! Water vapour: how much air holds, how much it has, when it drips.

use super::{
    GAS_CONSTANT_VAPOUR_J_KG_K, SPECIFIC_HEAT_DRY_AIR_J_KG_K, WATER_TO_AIR_MOLE_MASS, kelvin,
};

/// Saturation vapour pressure at 0 °C, kPa (FAO-56, eq. 11).
const SATURATION_AT_ZERO_KPA: f64 = 0.6108;
/// Factor over liquid water (FAO-56, eq. 11).
const WATER_FACTOR: f64 = 17.27;
/// Offset over liquid water, °C (FAO-56, eq. 11).
const WATER_OFFSET_C: f64 = 237.3;
/// Factor over ice (Murray 1967, J. Appl. Meteorology 6:203-204; from memory).
const ICE_FACTOR: f64 = 21.875;
/// Offset over ice, °C (Murray 1967; from memory).
const ICE_OFFSET_C: f64 = 265.5;
/// Lowest temperature the exponential forms are asked for, °C (own choice).
const LOWEST_C: f64 = -100.0;
/// Highest temperature the exponential forms are asked for, °C (own choice).
const HIGHEST_C: f64 = 150.0;
/// Smallest vapour pressure a dew point is asked for, kPa (own choice; dew point about -75 °C).
const SMALLEST_VAPOUR_KPA: f64 = 1e-4;
/// Largest humidity ratio handed out, kg/kg (own choice: keeps boiling air finite).
const LARGEST_RATIO_KG_KG: f64 = 10.0;

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

/// Saturation vapour pressure over ice, kPa; above 0 °C that over water.
///
/// Frost forms on a pane below 0 °C against this pressure. Joins the form over water at 0 °C without a step.
///
/// # Source
/// Murray (1967), constants from memory.
pub fn saturation_vapour_pressure_ice_kpa(temp_c: f64) -> f64 {
    if temp_c >= 0.0 {
        return saturation_vapour_pressure_kpa(temp_c);
    }
    let t = temp_c.max(LOWEST_C);
    SATURATION_AT_ZERO_KPA * (ICE_FACTOR * t / (t + ICE_OFFSET_C)).exp()
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

/// Vapour pressure deficit over water, kPa, never below 0.
pub fn vapour_pressure_deficit_kpa(temp_air_c: f64, vapour_kpa: f64) -> f64 {
    (saturation_vapour_pressure_kpa(temp_air_c) - vapour_kpa).max(0.0)
}

/// Dew point over liquid water, °C: FAO-56 eq. 11 solved for temperature.
///
/// Below 0 °C this is the dew point over supercooled water, as weather files state it.
pub fn dew_point_c(vapour_kpa: f64) -> f64 {
    let x = (vapour_kpa.max(SMALLEST_VAPOUR_KPA) / SATURATION_AT_ZERO_KPA).ln();
    WATER_OFFSET_C * x / (WATER_FACTOR - x)
}

/// Temperature, °C, at which dew (above 0 °C) or frost (below) forms on a surface.
pub fn dew_or_frost_point_c(vapour_kpa: f64) -> f64 {
    if vapour_kpa >= SATURATION_AT_ZERO_KPA {
        return dew_point_c(vapour_kpa);
    }
    let x = (vapour_kpa.max(SMALLEST_VAPOUR_KPA) / SATURATION_AT_ZERO_KPA).ln();
    ICE_OFFSET_C * x / (ICE_FACTOR - x)
}

/// Humidity ratio, kg of vapour per kg of dry air, from vapour pressure (kPa) and air pressure (Pa).
pub fn humidity_ratio_kg_kg(vapour_kpa: f64, pressure_pa: f64) -> f64 {
    let vapour_pa = vapour_kpa.max(0.0) * 1000.0;
    let dry_pa = pressure_pa - vapour_pa;
    if dry_pa <= WATER_TO_AIR_MOLE_MASS * vapour_pa / LARGEST_RATIO_KG_KG {
        return LARGEST_RATIO_KG_KG;
    }
    WATER_TO_AIR_MOLE_MASS * vapour_pa / dry_pa
}

/// Humidity ratio of saturated air over water, kg/kg.
pub fn saturation_humidity_ratio_kg_kg(temp_c: f64, pressure_pa: f64) -> f64 {
    humidity_ratio_kg_kg(saturation_vapour_pressure_kpa(temp_c), pressure_pa)
}

/// Vapour pressure, kPa, that belongs to a humidity ratio (kg/kg) at an air pressure (Pa).
pub fn vapour_pressure_of_ratio_kpa(humidity_ratio_kg_kg: f64, pressure_pa: f64) -> f64 {
    let w = humidity_ratio_kg_kg.max(0.0);
    w * pressure_pa / (WATER_TO_AIR_MOLE_MASS + w) / 1000.0
}

/// Mass of vapour in a volume of air, kg/m3 (ideal gas).
pub fn vapour_density_kg_m3(temp_air_c: f64, vapour_kpa: f64) -> f64 {
    vapour_kpa.max(0.0) * 1000.0 / (GAS_CONSTANT_VAPOUR_J_KG_K * kelvin(temp_air_c))
}

/// Psychrometric constant, kPa/K, at an air pressure in Pa (FAO-56, eq. 8).
pub fn psychrometric_constant_kpa_k(pressure_pa: f64) -> f64 {
    /// cp / (0.622 x 2.45 MJ/kg), 1/K (FAO-56, eq. 8).
    const PER_KPA_K: f64 = 0.665e-3;
    PER_KPA_K * pressure_pa / 1000.0
}

/// Vapour pressure, kPa, from a ventilated psychrometer (FAO-56, eq. 15, 16).
pub fn psychrometric_vapour_pressure_kpa(dry_c: f64, wet_c: f64, pressure_pa: f64) -> f64 {
    /// Coefficient of a ventilated (Asmann type) instrument, 1/K (FAO-56, eq. 16).
    const VENTILATED_PER_K: f64 = 0.000_662;
    let at_wet = saturation_vapour_pressure_kpa(wet_c);
    (at_wet - VENTILATED_PER_K * pressure_pa / 1000.0 * (dry_c - wet_c)).max(0.0)
}

/// Thermodynamic wet-bulb temperature over water, °C.
///
/// Solved by bisection of the adiabatic saturation balance between the dew point and the air temperature;
/// used for evaporative cooling only, so speed does not matter.
pub fn wet_bulb_c(temp_air_c: f64, vapour_kpa: f64, pressure_pa: f64) -> f64 {
    const STEPS: usize = 50;
    let ratio = humidity_ratio_kg_kg(vapour_kpa, pressure_pa);
    let mut low = dew_point_c(vapour_kpa).min(temp_air_c);
    let mut high = temp_air_c;
    for _ in 0..STEPS {
        let wet = 0.5 * (low + high);
        let lack = saturation_humidity_ratio_kg_kg(wet, pressure_pa) - ratio;
        let cooled = SPECIFIC_HEAT_DRY_AIR_J_KG_K * (temp_air_c - wet);
        if lack * super::latent_heat_vaporization_j_kg(wet) > cooled {
            high = wet;
        } else {
            low = wet;
        }
    }
    0.5 * (low + high)
}
