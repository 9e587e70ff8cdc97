//! Leaf area of standing crops, read back from their crop coefficients.
//!
//! FAO-56, eq. 97, gives the basal coefficient that goes with a leaf area index up to 3; turned round it gives the leaf area
//! that a tabled coefficient stands for. Young stands come out bare and full ones at the two to three of close-planted
//! vegetables.

use super::crop::{CropAir, CropInBed, stages};
use super::reference::WIND_INSIDE_M_S;
use crate::calendar::{DAYS_IN_MONTH, month_of_day};

/// Coefficient of bare, dry ground (FAO-56, eq. 97: K c min 0.15 to 0.20).
const BARE: f64 = 0.15;
/// How fast the coefficient nears its full value with leaf area (FAO-56, eq. 97).
const NEARING: f64 = 0.7;
/// What damp ground adds to the coefficient of a full stand (difference of tables 12 and 17 of FAO-56 for most vegetables;
/// from memory).
const DAMP_GROUND: f64 = 0.1;
/// Leaf area index from which the ground is covered (FAO-56, eq. 97 holds below it).
const FULL_COVER: f64 = 3.0;
/// Share of a full stand's coefficient that the young stand has for certain (first stage: ground under a tenth covered;
/// FAO-56, chapter 6).
const YOUNG_COVER: f64 = 0.1;

/// Leaf area index of a stand of `height_m` whose single crop coefficient is `kc`, m2/m2, 0 to 3.
///
/// # Source
/// FAO-56, eqs. 97 and 100.
pub fn leaf_area_index(kc: f64, height_m: f64) -> f64 {
    /// Beyond this height the full coefficient grows no further, m (FAO-56, eq. 100).
    const TALL_M: f64 = 2.0;
    let full = 1.0 + 0.1 * height_m.min(TALL_M);
    let share = (kc - DAMP_GROUND - BARE) / (full - BARE);
    let covered = 1.0 - (-NEARING * FULL_COVER).exp();
    -(1.0 - share.clamp(0.0, covered)).ln() / NEARING
}

/// Leaf area per area of all beds in each month, m2/m2: what stands, spread over `beds_m2` and the days of the month.
pub fn leaf_area_by_month(standing: &[CropInBed], beds_m2: f64) -> [f64; 12] {
    let mut months = [0.0; 12];
    for crop in standing {
        for (day, share) in crop.each_day() {
            let month = month_of_day(day);
            let bed_days = beds_m2 * DAYS_IN_MONTH[month] as f64;
            months[month] += of_crop(crop, share) * crop.area_m2 / bed_days;
        }
    }
    months
}

/// Leaf area index of a crop at a share of its days in the bed.
///
/// The first stage's coefficient of FAO-56 is mostly that of wetted ground; the stand then covers a tenth of the ground at
/// most, and grows to its full area while the coefficient climbs.
fn of_crop(crop: &CropInBed, share: f64) -> f64 {
    /// Humidity of the coefficients' tables, %: nothing is corrected for it (FAO-56, eq. 62).
    const TABLE_HUMIDITY_PCT: f64 = 45.0;
    let Some(stages) = stages(&crop.food) else {
        return 0.0;
    };
    let air = CropAir {
        wind_2m_m_s: WIND_INSIDE_M_S,
        lowest_humidity_pct: TABLE_HUMIDITY_PCT,
    };
    let full = leaf_area_index(crop.water.kc_mid, crop.water.height_m);
    let (begins, covers) = stages.development();
    let total = full * ((share - begins) / (covers - begins)).clamp(YOUNG_COVER, 1.0);
    let now = stages.coefficient(&crop.water, share, &air);
    let at_full = stages.coefficient(&crop.water, covers, &air);
    // Towards the end leaves yellow or are picked: the coefficient falls, and the leaves with it.
    if share > covers {
        total.min(leaf_area_index(
            crop.water.kc_mid * now / at_full,
            crop.water.height_m,
        ))
    } else {
        total
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::crops::Water;

    /// FAO-56, eq. 97 put forward again: the coefficient of the leaf area found is the one asked for.
    #[test]
    fn the_equation_comes_back() {
        for kc in [0.4, 0.7, 0.95] {
            let index = leaf_area_index(kc, 0.3);
            let full = 1.0 + 0.1 * 0.3;
            let basal = BARE + (full - BARE) * (1.0 - (-0.7 * index).exp());
            assert!((basal + DAMP_GROUND - kc).abs() < 1e-12);
        }
        assert!((leaf_area_index(1.3, 0.6) - FULL_COVER).abs() < 1e-12);
        assert_eq!(leaf_area_index(0.1, 0.6), 0.0);
    }

    /// A bed of lettuce over a whole year: bare at first, two to three layers of leaves in the middle, and half the bed is half
    /// the leaves.
    #[test]
    fn a_year_of_lettuce() {
        let lettuce = |area_m2| {
            [CropInBed {
                food: "lettuce".to_owned(),
                water: Water {
                    kc_ini: 0.7,
                    kc_mid: 1.0,
                    kc_end: 0.95,
                    height_m: 0.3,
                    ..Water::default()
                },
                first_day: 0,
                days: 365,
                area_m2,
            }]
        };
        let months = leaf_area_by_month(&lettuce(10.0), 10.0);
        assert!(months[0] < 0.4, "{months:?}");
        assert!((2.0..3.0).contains(&months[9]), "{months:?}");
        let half = leaf_area_by_month(&lettuce(5.0), 10.0);
        for (whole, half) in months.iter().zip(half) {
            assert!((half - whole / 2.0).abs() < 1e-12);
        }
    }
}
