//! From the simulated house to the climates its beds live in.

use super::{BedClimate, BedYear};
use crate::calendar::HOURS_PER_DAY;
use crate::house::{CoveredYear, HouseYear};

/// Name of the climate of beds without a cover.
pub const BARE: &str = "bare";

/// The climates of a house's beds over consecutive years: bare first, then under the `cover` of that name, if every
/// year has one.
///
/// `day_length_h` holds 365 days. No years give no climates.
pub fn bed_climates(cover: &str, years: &[HouseYear], day_length_h: &[f64]) -> Vec<BedClimate> {
    let bare = years.iter().map(bare_year).collect();
    let covered: Option<Vec<BedYear>> = years
        .iter()
        .map(|year| year.covered.as_ref().map(covered_year))
        .collect();
    [(BARE, Some(bare)), (cover, covered)]
        .into_iter()
        .filter_map(|(name, years)| Some((name, years.filter(|years| !years.is_empty())?)))
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

fn covered_year(year: &CoveredYear) -> BedYear {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::HOURS_PER_YEAR;

    #[test]
    fn a_house_without_cover_has_one_climate() {
        let year = HouseYear {
            air_c: vec![10.0; HOURS_PER_YEAR],
            light_mol_m2_h: vec![0.25; HOURS_PER_YEAR],
            ..HouseYear::default()
        };
        let covered = HouseYear {
            covered: Some(CoveredYear::default()),
            ..year.clone()
        };
        let one = bed_climates("", std::slice::from_ref(&year), &[12.0; 365]);
        assert_eq!(one.len(), 1);
        assert_eq!(one[0].years[0].light_mol_m2_day, vec![6.0; 365]);
        assert_eq!(
            bed_climates("inner tunnel", &[covered.clone(), covered], &[12.0; 365])[1].name,
            "inner tunnel"
        );
        assert!(bed_climates("", &[], &[12.0; 365]).is_empty());
    }
}
