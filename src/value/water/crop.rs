//! Crop coefficients by stage of growth, and the water of standing crops.

use super::reference::{InsideDay, WIND_INSIDE_M_S};
use crate::calendar::{DAYS_PER_YEAR, month_of_day};
use crate::crops::Water;
use crate::value::food;
use serde::Deserialize;
use std::sync::LazyLock;

/// Days of the four stages of growth in the open (`data/stages.csv`, FAO-56 table 11); only their proportions are used,
/// since the days themselves come from the simulated growth.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Stages {
    /// Food id.
    pub food: String,
    /// Young crop, bare soil between.
    pub ini_days: f64,
    /// Until it covers the ground.
    pub dev_days: f64,
    /// Full cover.
    pub mid_days: f64,
    /// Until the harvest.
    pub late_days: f64,
}

static TABLE: LazyLock<Vec<Stages>> =
    LazyLock::new(|| food::rows(include_str!("../data/stages.csv")));

/// Stages of a food or crop, by id or alias; those of lettuce, a small vegetable, where it is not in the table.
pub fn stages(name: &str) -> Option<&'static Stages> {
    let of = |id: &str| TABLE.iter().find(|row| row.food == id);
    food::find(name)
        .and_then(|food| of(&food.id))
        .or_else(|| of(SMALL_VEGETABLE))
}

/// Food whose stages stand for a crop that is not in the table.
const SMALL_VEGETABLE: &str = "lettuce";

impl Stages {
    /// Shares of the crop's days at which it begins to cover the ground and at which it does.
    pub fn development(&self) -> (f64, f64) {
        let total = self.total_days();
        let covers_days = self.ini_days + self.dev_days;
        (self.ini_days / total, covers_days / total)
    }

    fn total_days(&self) -> f64 {
        self.ini_days + self.dev_days + self.mid_days + self.late_days
    }

    /// Crop coefficient at a share (0 to 1) of the crop's days, in the air of a day (FAO-56, eqs. 62, 65, 66).
    pub fn coefficient(&self, kc: &Water, share: f64, air: &CropAir) -> f64 {
        let mid = for_air(kc.kc_mid, kc.height_m, air);
        let end = for_air(kc.kc_end, kc.height_m, air);
        let day = share.clamp(0.0, 1.0) * self.total_days();
        let (dev_from, mid_from) = (self.ini_days, self.ini_days + self.dev_days);
        let late_from = mid_from + self.mid_days;
        let between = |from: f64, to: f64, start: f64, length: f64| {
            from + (to - from) * ((day - start) / length).clamp(0.0, 1.0)
        };
        if day < dev_from {
            kc.kc_ini
        } else if day < mid_from {
            between(kc.kc_ini, mid, dev_from, self.dev_days)
        } else if day < late_from {
            mid
        } else {
            between(mid, end, late_from, self.late_days)
        }
    }
}

/// What the correction of the coefficients needs of the air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CropAir {
    /// Wind at 2 m, m/s.
    pub wind_2m_m_s: f64,
    /// Lowest relative humidity of the day, %.
    pub lowest_humidity_pct: f64,
}

/// Correction for wind and humidity within the limits FAO-56 gives for it (eqs. 62, 65); small coefficients stay.
fn for_air(kc: f64, height_m: f64, air: &CropAir) -> f64 {
    if kc < KC_CORRECTED_FROM {
        return kc;
    }
    let wind = air.wind_2m_m_s.clamp(1.0, 6.0);
    let humidity = air.lowest_humidity_pct.clamp(20.0, 80.0);
    kc + (0.04 * (wind - 2.0) - 0.004 * (humidity - 45.0)) * (height_m / 3.0).powf(0.3)
}

/// Coefficients below this are not corrected for the air (FAO-56, eq. 65).
const KC_CORRECTED_FROM: f64 = 0.45;

/// A crop in its bed.
#[derive(Clone, Debug, PartialEq)]
pub struct CropInBed {
    /// Food or crop id, for the stages of growth.
    pub food: String,
    /// Crop coefficients of the crop table.
    pub water: Water,
    /// Day of the year (from 0) from which it stands in the bed.
    pub first_day: usize,
    /// Days in the bed.
    pub days: usize,
    /// Bed area, m2.
    pub area_m2: f64,
}

impl CropInBed {
    /// Its days in the bed, as days of the year, each with the share of them that is gone at noon.
    pub(super) fn each_day(&self) -> impl Iterator<Item = (usize, f64)> {
        (0..self.days).map(|at| {
            let share = (at as f64 + 0.5) / self.days as f64;
            ((self.first_day + at) % DAYS_PER_YEAR, share)
        })
    }
}

/// Share of the water given that reaches the roots with drip or careful hand watering (common practice, no source).
pub const APPLICATION_EFFICIENCY: f64 = 0.85;

/// Water given to the standing crops in each month, litres: their use over [`APPLICATION_EFFICIENCY`].
pub fn crop_water_l(days: &[InsideDay], standing: &[CropInBed]) -> [f64; 12] {
    let mut months = [0.0; 12];
    for crop in standing {
        let Some(stages) = stages(&crop.food) else {
            continue;
        };
        for (day, share) in crop.each_day() {
            let Some(inside) = days.get(day) else {
                continue;
            };
            let air = CropAir {
                wind_2m_m_s: WIND_INSIDE_M_S,
                lowest_humidity_pct: inside.lowest_humidity_pct,
            };
            let used_mm = stages.coefficient(&crop.water, share, &air) * inside.reference_mm;
            months[month_of_day(day)] += used_mm * crop.area_m2 / APPLICATION_EFFICIENCY;
        }
    }
    months
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_food_has_stages() {
        for food in food::foods() {
            assert_eq!(stages(&food.id).unwrap().food, food.id);
        }
    }

    /// FAO-56, tables 11 and 12: lettuce 0.70, 1.00, 0.95; 30, 40, 25, 10 days. In the air of the tables (2 m/s, 45 %)
    /// nothing is corrected; half way through development the coefficient is half way.
    #[test]
    fn the_curve_of_lettuce() {
        let kc = Water {
            kc_ini: 0.70,
            kc_mid: 1.00,
            kc_end: 0.95,
            height_m: 0.3,
            ..Water::default()
        };
        let air = CropAir {
            wind_2m_m_s: 2.0,
            lowest_humidity_pct: 45.0,
        };
        let at = |day: f64| {
            stages("lettuce")
                .unwrap()
                .coefficient(&kc, day / 105.0, &air)
        };
        assert!((at(10.0) - 0.70).abs() < 1e-9);
        assert!((at(50.0) - 0.85).abs() < 1e-9);
        assert!((at(80.0) - 1.00).abs() < 1e-9);
        assert!((at(105.0) - 0.95).abs() < 1e-9);
    }
}
