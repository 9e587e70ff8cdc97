//! Reference evapotranspiration inside a house, day by day.

use super::reference::{Day, reference_mm};
use crate::air::vapour_pressure_kpa;
use crate::calendar::HOURS_PER_DAY;
use crate::profile::BedHours;

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
    let highest = |values: &[f64]| values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let lowest = |values: &[f64]| values.iter().copied().fold(f64::INFINITY, f64::min);
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
