//! The climate one kind of bed lives in: the interface between the building and the crops.

use crate::calendar::HOURS_PER_DAY;
use crate::house::{House, HouseYear};

/// Name of the climate of beds without a cover.
pub const BARE: &str = "bare";

/// One year of one kind of bed: 8760 hours, and 365 days of light.
#[derive(Clone, Debug, PartialEq)]
pub struct BedYear<Column = Vec<f64>> {
    /// Temperature of the leaves (by energy balance, cover included), °C, hourly.
    pub leaf_c: Column,
    /// Air temperature round the plants (under the cover where there is one), °C, hourly.
    pub air_c: Column,
    /// Temperature of the root zone, 0.1 m deep, °C, hourly.
    pub root_zone_c: Column,
    /// Relative humidity round the plants, %, hourly.
    pub relative_humidity_pct: Column,
    /// Photosynthetic light at the bed, mol/m2/day, 365 days.
    pub light_mol_m2_day: Vec<f64>,
    /// Photosynthesis in this air's carbon dioxide against outdoor air, share, 365 days; none where it is outdoor air.
    pub carbon_share: Column,
}

/// The columns of a [`BedYear`] where they stand.
pub type BedHours<'a> = BedYear<&'a [f64]>;

impl BedYear {
    /// Its columns.
    pub fn as_hours(&self) -> BedHours<'_> {
        BedHours {
            leaf_c: &self.leaf_c,
            air_c: &self.air_c,
            root_zone_c: &self.root_zone_c,
            relative_humidity_pct: &self.relative_humidity_pct,
            light_mol_m2_day: self.light_mol_m2_day.clone(),
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
            light_mol_m2_day: self.light_mol_m2_day.clone(),
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

/// The climates of a house's beds in a year: bare and away from the walls first, then those of the floor's parts.
pub fn bed_hours(year: &HouseYear) -> Vec<BedHours<'_>> {
    let bare = BedHours {
        leaf_c: &year.leaf_c,
        air_c: &year.air_c,
        root_zone_c: &year.root_zone_c,
        relative_humidity_pct: &year.relative_humidity_pct,
        light_mol_m2_day: daily_sums(&year.light_mol_m2_h),
        carbon_share: &year.carbon_share,
    };
    let parts = year.parts.iter().map(|part| BedHours {
        leaf_c: &part.leaf_c,
        air_c: &part.air_c,
        root_zone_c: &part.root_zone_c,
        relative_humidity_pct: &part.relative_humidity_pct,
        light_mol_m2_day: daily_sums(&part.light_mol_m2_h),
        // The room's: a cover is off by day, or lets air through.
        carbon_share: &year.carbon_share,
    });
    std::iter::once(bare).chain(parts).collect()
}

/// What the climates of a house's beds are called, in the order of [`bed_hours`].
pub fn bed_names(house: &House) -> impl Iterator<Item = &str> {
    std::iter::once(BARE).chain(house.parts.iter().map(|part| part.name.as_str()))
}

/// The climates of a house's beds over one year that repeats itself, with the day length of its 365 days.
pub fn bed_climates(house: &House, year: &HouseYear, day_length_h: &[f64]) -> Vec<BedClimate> {
    let climate = |(name, hours): (&str, BedHours)| BedClimate {
        name: name.to_owned(),
        years: vec![hours.to_year()],
        day_length_h: day_length_h.to_vec(),
    };
    bed_names(house).zip(bed_hours(year)).map(climate).collect()
}

/// Sums of each day of an hourly column.
pub fn daily_sums(hourly: &[f64]) -> Vec<f64> {
    hourly
        .chunks(HOURS_PER_DAY)
        .map(|day| day.iter().sum())
        .collect()
}
