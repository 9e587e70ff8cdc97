//! The climate one kind of bed lives in: the interface between the building and the crops.

use std::borrow::Cow;

use crate::calendar::HOURS_PER_DAY;

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
    /// Photosynthesis in this air's carbon dioxide against outdoor air, share, 365 days; none where it is outdoor air.
    pub carbon_share: Vec<f64>,
}

/// The columns of a [`BedYear`] where they stand.
#[derive(Clone, Debug)]
pub struct BedHours<'a> {
    /// Leaves, °C, hourly.
    pub leaf_c: &'a [f64],
    /// Air round the plants, °C, hourly.
    pub air_c: &'a [f64],
    /// Root zone, °C, hourly.
    pub root_zone_c: &'a [f64],
    /// Relative humidity round the plants, %, hourly.
    pub relative_humidity_pct: &'a [f64],
    /// Light at the bed, mol/m2/day, 365 days.
    pub light_mol_m2_day: Cow<'a, [f64]>,
    /// Photosynthesis in this air's carbon dioxide against outdoor air, share, 365 days; none where it is outdoor air.
    pub carbon_share: &'a [f64],
}

impl BedYear {
    /// Its columns.
    pub fn as_hours(&self) -> BedHours<'_> {
        BedHours {
            leaf_c: &self.leaf_c,
            air_c: &self.air_c,
            root_zone_c: &self.root_zone_c,
            relative_humidity_pct: &self.relative_humidity_pct,
            light_mol_m2_day: Cow::Borrowed(&self.light_mol_m2_day),
            carbon_share: &self.carbon_share,
        }
    }
}

impl BedHours<'_> {
    /// A copy of them.
    pub fn to_year(&self) -> BedYear {
        BedYear {
            leaf_c: self.leaf_c.to_vec(),
            air_c: self.air_c.to_vec(),
            root_zone_c: self.root_zone_c.to_vec(),
            relative_humidity_pct: self.relative_humidity_pct.to_vec(),
            light_mol_m2_day: self.light_mol_m2_day.to_vec(),
            carbon_share: self.carbon_share.to_vec(),
        }
    }
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
    /// The 24 hours of a column for a day of a [`BedYear`]; empty beyond the column's end.
    pub fn hours(column: &[f64], day: usize) -> &[f64] {
        column
            .get(day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY)
            .unwrap_or_default()
    }
}
