//! How long food keeps where the household keeps it.

use crate::calendar::{DAYS_PER_WEEK, DAYS_PER_YEAR, MONTH_START_DAY};
use crate::crops::{Crop, Storage};
use crate::file::Cellar;
use crate::site::UndisturbedGround;

/// Rise of the rate at which fresh vegetables age for each 10 K (from memory, USDA Agriculture Handbook 66: two to four
/// times as fast near 0 °C, two to three times further up).
pub const AGEING_PER_10_K: f64 = 2.5;
pub const TEN_K: f64 = 10.0;
/// First month of the cold half of the year in the north, from 0: October; in the south it is April.
const COLD_FROM_NORTH: usize = 9;
const COLD_FROM_SOUTH: usize = 3;
/// Months of the cold half.
const COLD_MONTHS: usize = 6;

/// Temperature of the cellar while food is in it, °C: held, or the warmest day of the soil in the cold half of the year.
pub fn cellar_c(cellar: Cellar, ground: &UndisturbedGround, southern: bool) -> f64 {
    match cellar {
        Cellar::HeldAt(temperature_c) => temperature_c,
        Cellar::SoilAt(depth_m) => {
            let from = if southern {
                COLD_FROM_SOUTH
            } else {
                COLD_FROM_NORTH
            };
            let first = MONTH_START_DAY[from];
            let last = first + COLD_MONTHS * DAYS_PER_YEAR / MONTH_START_DAY.len();
            (first..last)
                .map(|day| ground.temp_c(depth_m, day as f64))
                .fold(f64::NEG_INFINITY, f64::max)
        }
    }
}

/// Days a food keeps: as published at its best temperature, less in a warmer cellar. What is kept colder than its best
/// does not keep longer.
fn keeps_days(storage: &Storage, cellar_c: Option<f64>) -> f64 {
    let above_k = cellar_c.map_or(0.0, |cellar_c| cellar_c - storage.temperature_c);
    storage.days.low / AGEING_PER_10_K.powf(above_k.max(0.0) / TEN_K)
}

/// Whole weeks that what is picked of a crop keeps; 0 where its file says nothing of it.
pub fn keeps_weeks(crop: &Crop, cellar_c: Option<f64>) -> usize {
    crop.storage.map_or(0, |storage| {
        (keeps_days(&storage, cellar_c) / DAYS_PER_WEEK as f64)
            .floor()
            .max(0.0) as usize
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::crops::Range;

    const CARROTS: Storage = Storage {
        temperature_c: 0.0,
        days: Range {
            low: 120.0,
            high: 150.0,
        },
    };

    #[test]
    fn ten_kelvin_warmer_ages_by_the_factor() {
        assert_eq!(keeps_days(&CARROTS, None), 120.0);
        assert_eq!(keeps_days(&CARROTS, Some(-2.0)), 120.0);
        assert!((keeps_days(&CARROTS, Some(10.0)) - 120.0 / AGEING_PER_10_K).abs() < 1e-9);
    }

    #[test]
    fn a_pit_is_as_warm_as_the_soil_in_autumn() {
        let ground = UndisturbedGround {
            mean_c: 8.0,
            amplitude_k: 12.0,
            coldest_day: 20.0,
            diffusivity_m2_day: 0.05,
        };
        let shallow = cellar_c(Cellar::SoilAt(1.0), &ground, false);
        let deep = cellar_c(Cellar::SoilAt(9.0), &ground, false);
        assert!(
            shallow > deep && deep > 8.0 && deep < 9.0,
            "{shallow} {deep}"
        );
    }
}
