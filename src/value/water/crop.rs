//! Crop coefficients by stage of growth, and the water of standing crops.

use super::inside::{InsideDay, WIND_INSIDE_M_S};
use crate::calendar::{DAYS_PER_YEAR, month_of_day};
use crate::value::food;
use serde::Deserialize;
use std::sync::LazyLock;

/// Crop coefficients and shares of the stages of growth (`data/crop_coefficients.csv`).
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Coefficients {
    /// Food id.
    pub food: String,
    /// Young crop, bare soil between.
    pub kc_ini: f64,
    /// Full cover.
    pub kc_mid: f64,
    /// At harvest.
    pub kc_end: f64,
    /// Height of the full crop, m.
    pub height_m: f64,
    /// Share of its days in the first stage.
    pub share_ini: f64,
    /// Share of its days in which it covers the ground.
    pub share_dev: f64,
    /// Share of its days at full cover.
    pub share_mid: f64,
    /// Share of its days to the harvest.
    pub share_late: f64,
    /// Days of all stages in the table.
    pub days_total: f64,
    /// What was borrowed, if anything.
    pub note: String,
    /// `read` or `assumption`.
    pub mark: String,
}

static TABLE: LazyLock<Vec<Coefficients>> =
    LazyLock::new(|| food::rows(include_str!("../data/crop_coefficients.csv")));

/// Coefficients of a food or crop, by id or alias.
pub fn coefficients(name: &str) -> Option<&'static Coefficients> {
    let food = food::find(name)?;
    TABLE.iter().find(|row| row.food == food.id)
}

impl Coefficients {
    /// Coefficient at a share (0 to 1) of the crop's days, for the air of a day (eqs. 62, 65, 66).
    ///
    /// Middle and end are corrected for wind and the day's lowest humidity within the limits that FAO-56 gives.
    pub fn at(&self, share: f64, wind_2m_m_s: f64, lowest_humidity_pct: f64) -> f64 {
        let mid = self.for_air(self.kc_mid, wind_2m_m_s, lowest_humidity_pct);
        let end = self.for_air(self.kc_end, wind_2m_m_s, lowest_humidity_pct);
        let (dev, mid_from) = (self.share_ini, self.share_ini + self.share_dev);
        let late = mid_from + self.share_mid;
        let between = |from: f64, to: f64, start: f64, length: f64| {
            from + (to - from) * ((share - start) / length).clamp(0.0, 1.0)
        };
        if share < dev {
            self.kc_ini
        } else if share < mid_from {
            between(self.kc_ini, mid, dev, self.share_dev)
        } else if share < late {
            mid
        } else {
            between(mid, end, late, self.share_late)
        }
    }

    /// Correction of eqs. 62 and 65; small coefficients at the end stay as they are.
    fn for_air(&self, kc: f64, wind_2m_m_s: f64, lowest_humidity_pct: f64) -> f64 {
        if kc < KC_CORRECTED_FROM {
            return kc;
        }
        let wind = wind_2m_m_s.clamp(1.0, 6.0);
        let humidity = lowest_humidity_pct.clamp(20.0, 80.0);
        kc + (0.04 * (wind - 2.0) - 0.004 * (humidity - 45.0)) * (self.height_m / 3.0).powf(0.3)
    }
}

/// Coefficients below this are not corrected for the air (FAO-56, eq. 65).
const KC_CORRECTED_FROM: f64 = 0.45;

/// A crop in its bed.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// Food or crop id; one without coefficients takes those of small vegetables (lettuce).
    pub food: String,
    /// Day of the year (from 0) from which it stands in the bed.
    pub first_day: usize,
    /// Days in the bed.
    pub days: usize,
    /// Bed area, m2.
    pub area_m2: f64,
}

/// Food whose coefficients stand for a crop that is not in the table.
const SMALL_VEGETABLE: &str = "lettuce";

/// Water given to the standing crops in each month, litres: their use over the share of the water that reaches
/// the roots (`application_efficiency`, 0.1 to 1; 0.85 is common practice for drip and careful hand watering, no source).
pub fn crop_water_l(
    days: &[InsideDay],
    standing: &[Standing],
    application_efficiency: f64,
) -> [f64; 12] {
    let mut months = [0.0; 12];
    for crop in standing {
        let Some(kc) = coefficients(&crop.food).or_else(|| coefficients(SMALL_VEGETABLE)) else {
            continue;
        };
        for at in 0..crop.days {
            let day = (crop.first_day + at) % DAYS_PER_YEAR;
            let Some(inside) = days.get(day) else {
                continue;
            };
            let share = (at as f64 + 0.5) / crop.days as f64;
            let use_mm =
                kc.at(share, WIND_INSIDE_M_S, inside.lowest_humidity_pct) * inside.reference_mm;
            months[month_of_day(day)] +=
                use_mm * crop.area_m2 / application_efficiency.clamp(0.1, 1.0);
        }
    }
    months
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_food_has_coefficients_and_stages_that_add_up() {
        assert_eq!(
            TABLE.len(),
            include_str!("../data/crop_coefficients.csv")
                .lines()
                .count()
                - 1
        );
        for food in food::foods() {
            let row = coefficients(&food.id).unwrap_or_else(|| panic!("{}", food.id));
            let sum = row.share_ini + row.share_dev + row.share_mid + row.share_late;
            assert!((sum - 1.0).abs() < 5e-4, "{}", food.id);
        }
    }

    /// FAO-56, tables 11 and 12: lettuce 0.70, 1.00, 0.95; 30, 40, 25, 10 days. At the air of the tables (2 m/s, 45 %)
    /// nothing is corrected; half way through development the coefficient is half way.
    #[test]
    fn the_curve_of_lettuce() {
        let lettuce = coefficients("lettuce").unwrap();
        let at = |day: f64| lettuce.at(day / 105.0, 2.0, 45.0);
        assert!((at(10.0) - 0.70).abs() < 1e-9);
        assert!((at(50.0) - 0.85).abs() < 1e-3);
        assert!((at(80.0) - 1.00).abs() < 1e-9);
        assert!((at(105.0) - 0.95).abs() < 1e-9);
    }
}
