//! The climate one kind of bed lives in: the interface between the building and the crops.

use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY};

/// One year of one kind of bed: 8760 hours, and 365 days of light.
#[derive(Clone, Debug, PartialEq)]
pub struct BedYear {
    /// Temperature of the leaves (by energy balance, cover included), °C, hourly.
    pub leaf_c: Vec<f64>,
    /// Air temperature round the plants (under the cover where there is one), °C, hourly.
    pub air_c: Vec<f64>,
    /// Temperature of the root zone, 0.1 m deep, °C, hourly.
    pub root_zone_c: Vec<f64>,
    /// Relative humidity round the plants, %, hourly.
    pub relative_humidity_pct: Vec<f64>,
    /// Photosynthetic light at the bed, mol/m2/day, 365 days.
    pub light_mol_m2_day: Vec<f64>,
}

/// Consecutive years of one kind of bed.
///
/// A planting may run over the year's end: day 365 of year `i` is day 0 of year `i + 1`; after the last year
/// comes the first again, so a single settled year repeats itself.
#[derive(Clone, Debug, PartialEq)]
pub struct BedClimate {
    /// What people call it, such as `bare` or `row cover`.
    pub name: String,
    /// The years, in order; at least one.
    pub years: Vec<BedYear>,
    /// Day length at the site, sun's upper limb with refraction, h, 365 days.
    pub day_length_h: Vec<f64>,
}

impl BedClimate {
    /// The year and the day in it for day `day` counted from 1 January of year `year`.
    pub fn at(&self, year: usize, day: usize) -> (&BedYear, usize) {
        let index = (year + day / DAYS_PER_YEAR) % self.years.len();
        (&self.years[index], day % DAYS_PER_YEAR)
    }

    /// The 24 hours of a column for a day of a [`BedYear`]; empty beyond the column's end.
    pub fn hours(column: &[f64], day: usize) -> &[f64] {
        column
            .get(day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY)
            .unwrap_or_default()
    }
}
