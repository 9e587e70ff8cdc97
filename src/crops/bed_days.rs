//! Days of a bed climate as every crop meets them; made once, read by all crops.

use super::prepare::CropDay;
use super::{Crop, Prepared, hardening};
use crate::calendar::DAYS_PER_YEAR;
use crate::profile::{BedClimate, highest, lowest, mean};

/// Daily figures of a bed climate that do not depend on the crop.
#[derive(Clone, Debug, PartialEq)]
pub struct BedDays<'a> {
    /// The climate they are made from.
    pub(super) climate: &'a BedClimate,
    /// All days of all years; what a crop makes of them is 0.
    pub(super) days: Vec<CropDay>,
    /// Day of the year with the shortest day, from 0; none where the days are about as long all year.
    pub(super) shortest_day: Option<usize>,
}

impl<'a> BedDays<'a> {
    /// Works out the days of a bed climate.
    pub fn of(climate: &'a BedClimate) -> Self {
        let mut days: Vec<CropDay> = (0..climate.years.len())
            .flat_map(|year| (0..DAYS_PER_YEAR).map(move |day| bed_day(climate, year, day)))
            .collect();
        let minima: Vec<f64> = days.iter().map(|day| day.leaf_min_c).collect();
        for (day, degree) in days.iter_mut().zip(hardening::degrees(&minima)) {
            day.hardening = degree;
        }
        BedDays {
            climate,
            days,
            shortest_day: shortest_day(&climate.day_length_h),
        }
    }

    /// The days of several bed climates.
    pub fn of_all(climates: &'a [BedClimate]) -> Vec<Self> {
        climates.iter().map(BedDays::of).collect()
    }
}

/// Leaves count as thawed above this in the warmest hour of the day, °C.
const THAW_C: f64 = 0.0;

fn bed_day(climate: &BedClimate, year: usize, day: usize) -> CropDay {
    let (columns, day) = climate.at(year, day);
    let air_c = BedClimate::hours(&columns.air_c, day);
    let leaf_c = BedClimate::hours(&columns.leaf_c, day);
    let leaf_max_c = highest(leaf_c);
    CropDay {
        leaf_min_c: lowest(leaf_c),
        leaf_max_c,
        thaws: leaf_max_c > THAW_C,
        root_zone_c: mean(BedClimate::hours(&columns.root_zone_c, day)),
        air_c: mean(air_c),
        air_min_c: lowest(air_c),
        air_max_c: highest(air_c),
        light_mol_m2_day: columns.light_mol_m2_day.get(day).copied().unwrap_or(0.0),
        day_length_h: climate.day_length_h.get(day).copied().unwrap_or(0.0),
        humidity_pct: mean(BedClimate::hours(&columns.relative_humidity_pct, day)),
        ..CropDay::NONE
    }
}

/// Day lengths that differ by less than this over the year make no winter, h (own choice, no source: within some 8
/// degrees of the equator).
const LEAST_SEASON_H: f64 = 1.0;

fn shortest_day(day_length_h: &[f64]) -> Option<usize> {
    let longest_h = highest(day_length_h);
    let (day, shortest_h) = day_length_h
        .iter()
        .enumerate()
        .min_by(|a, b| a.1.total_cmp(b.1))?;
    (longest_h - shortest_h >= LEAST_SEASON_H).then_some(day)
}

/// The daily figures of a crop in every bed climate.
pub fn prepare_all(crop: &Crop, beds: &[BedDays]) -> Vec<Prepared> {
    beds.iter().map(|bed| Prepared::new(crop, bed)).collect()
}
