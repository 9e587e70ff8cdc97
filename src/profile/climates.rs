//! From the simulated house to the climates its beds live in.

use super::{BedClimate, BedYear};
use crate::calendar::HOURS_PER_DAY;
use crate::house::{House, HouseYear, PartYear};

/// Name of the climate of beds without a cover.
pub const BARE: &str = "bare";

/// The climates of a house's beds over consecutive years: bare and away from the walls first, then those of the floor's
/// parts that every year has.
///
/// `day_length_h` holds 365 days. No years give no climates.
pub fn bed_climates(house: &House, years: &[HouseYear], day_length_h: &[f64]) -> Vec<BedClimate> {
    let bare = (BARE, years.iter().map(bare_year).collect());
    let parts = house.parts.iter().enumerate().filter_map(|(index, part)| {
        let of_years = years
            .iter()
            .map(|year| year.parts.get(index).map(part_year));
        Some((
            part.name.as_str(),
            of_years.collect::<Option<Vec<BedYear>>>()?,
        ))
    });
    std::iter::once(bare)
        .chain(parts)
        .filter(|(_, years)| !years.is_empty())
        .map(|(name, years)| BedClimate {
            name: name.to_string(),
            years,
            day_length_h: day_length_h.to_vec(),
        })
        .collect()
}

fn bare_year(year: &HouseYear) -> BedYear {
    BedYear {
        leaf_c: year.leaf_c.clone(),
        air_c: year.air_c.clone(),
        root_zone_c: year.root_zone_c.clone(),
        relative_humidity_pct: year.relative_humidity_pct.clone(),
        light_mol_m2_day: daily_sums(&year.light_mol_m2_h),
    }
}

fn part_year(year: &PartYear) -> BedYear {
    BedYear {
        leaf_c: year.leaf_c.clone(),
        air_c: year.air_c.clone(),
        root_zone_c: year.root_zone_c.clone(),
        relative_humidity_pct: year.relative_humidity_pct.clone(),
        light_mol_m2_day: daily_sums(&year.light_mol_m2_h),
    }
}

/// Sums of each day of an hourly column.
pub fn daily_sums(hourly: &[f64]) -> Vec<f64> {
    hourly
        .chunks(HOURS_PER_DAY)
        .map(|day| day.iter().sum())
        .collect()
}
