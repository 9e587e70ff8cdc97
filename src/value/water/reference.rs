//! Reference evapotranspiration by Penman-Monteith (FAO-56, eq. 6), what it needs of the air, and its days inside a house.

use crate::air::{saturation_slope_kpa_k, saturation_vapour_pressure_kpa, vapour_pressure_kpa};
use crate::calendar::HOURS_PER_DAY;
use crate::profile::{BedHours, highest, lowest};

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

/// Albedo of the grass reference (FAO-56, eq. 38).
const ALBEDO_GRASS: f64 = 0.23;

/// Photosynthetic photons in a MJ of sun, mol/MJ: 0.45 of the energy between 400 and 700 nm, 4.57 mol/MJ there.
///
/// Source: Akitsu et al., worldwide comparison (0.45-0.46, read); Thimijan & Heins (1983) (4.57, from memory).
pub const MOL_PER_MJ_SUN: f64 = 0.45 * 4.57;

/// Wind at the beds, m/s: the least that FAO-56 (chapter 4, from memory) lets into the equation, since still air rises
/// over warm leaves by itself.
pub const WIND_INSIDE_M_S: f64 = 0.5;

/// A day at the bed, as the water balance sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InsideDay {
    /// Reference evapotranspiration, mm (litres per m2).
    pub reference_mm: f64,
    /// Lowest relative humidity of the day, %.
    pub lowest_humidity_pct: f64,
}

/// Days of a bed's year.
///
/// Light at the bed is turned back into sun (beds under plastic see nearly the spectrum of the sky). Long-wave loss is left
/// out: the cover, not the sky, is over the bed, and is nearly as warm as the leaves (assumption; it makes
/// the need a little too high). Heat into the soil over a day is nothing (FAO-56, eq. 42).
pub fn inside_days(bed: &BedHours, pressure_kpa: f64) -> Vec<InsideDay> {
    let air = bed.air_c.chunks(HOURS_PER_DAY);
    let humidity = bed.relative_humidity_pct.chunks(HOURS_PER_DAY);
    air.zip(humidity)
        .zip(bed.light_mol_m2_day.iter())
        .map(|((air, humidity), light)| inside_day(air, humidity, *light, pressure_kpa))
        .collect()
}

fn inside_day(air_c: &[f64], humidity_pct: &[f64], light_mol: f64, pressure_kpa: f64) -> InsideDay {
    let vapour: f64 = air_c
        .iter()
        .zip(humidity_pct)
        .map(|(air, humidity)| vapour_pressure_kpa(*air, *humidity))
        .sum();
    let sun_mj = light_mol / MOL_PER_MJ_SUN;
    let day = Day {
        max_c: highest(air_c),
        min_c: lowest(air_c),
        vapour_kpa: vapour / air_c.len().max(1) as f64,
        wind_2m_m_s: WIND_INSIDE_M_S,
        net_radiation_mj: (1.0 - ALBEDO_GRASS) * sun_mj,
        soil_heat_mj: 0.0,
        pressure_kpa,
    };
    InsideDay {
        reference_mm: reference_mm(&day),
        lowest_humidity_pct: lowest(humidity_pct),
    }
}
