//! From the simulated house to the climates its beds live in.

use super::{BedClimate, BedHours};
use crate::calendar::HOURS_PER_DAY;
use crate::house::{House, HouseYear};

/// Name of the climate of beds without a cover.
pub const BARE: &str = "bare";

/// The climates of a house's beds in a year: bare and away from the walls first, then those of the floor's parts.
pub fn bed_hours(year: &HouseYear) -> Vec<BedHours<'_>> {
    let bare = BedHours {
        leaf_c: &year.leaf_c,
        air_c: &year.air_c,
        root_zone_c: &year.root_zone_c,
        relative_humidity_pct: &year.relative_humidity_pct,
        light_mol_m2_day: daily_sums(&year.light_mol_m2_h).into(),
        carbon_share: &year.carbon_share,
    };
    let parts = year.parts.iter().map(|part| BedHours {
        leaf_c: &part.leaf_c,
        air_c: &part.air_c,
        root_zone_c: &part.root_zone_c,
        relative_humidity_pct: &part.relative_humidity_pct,
        light_mol_m2_day: daily_sums(&part.light_mol_m2_h).into(),
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
