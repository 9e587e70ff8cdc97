//! From hours to days, months and quantiles: what a grower asks of a climate.

mod bed;
mod month;

use serde::Serialize;

pub use crate::numbers::{highest, lowest, mean};
pub use bed::{
    BARE, BedClimate, BedHours, BedYear, bed_climates, bed_hours, bed_names, daily_sums,
};
pub use month::{MonthRow, MonthSpread, month_rows, month_spread};

/// Figures that 10, 50 and 90 % of the years do not exceed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Quantiles {
    /// Tenth percentile.
    pub p10: f64,
    /// Median.
    pub p50: f64,
    /// Ninetieth percentile.
    pub p90: f64,
}

impl Quantiles {
    /// Quantiles of a sample by linear interpolation between order statistics (Hyndman and Fan 1996, The American
    /// Statistician 50:361, type 7); none for an empty sample. NaN sorts last.
    pub fn of(values: &[f64]) -> Option<Self> {
        let mut sorted = values.to_vec();
        sorted.sort_by(f64::total_cmp);
        Some(Self {
            p10: quantile(&sorted, 0.1)?,
            p50: quantile(&sorted, 0.5)?,
            p90: quantile(&sorted, 0.9)?,
        })
    }
}

/// Quantile `share` (0 to 1) of a sorted sample, type 7; none for an empty sample.
pub fn quantile(sorted: &[f64], share: f64) -> Option<f64> {
    let last = sorted.len().checked_sub(1)?;
    let place = share.clamp(0.0, 1.0) * last as f64;
    let below = place.floor() as usize;
    let above = (below + 1).min(last);
    Some(sorted[below] + (place - below as f64) * (sorted[above] - sorted[below]))
}

/// The level that a yearly minimum falls below once in `years`, from the minima of a row of years; none if the row
/// is too short to say (fewer than `years - 1` minima).
///
/// # Source
/// Weibull plotting position m / (n + 1), as hydrology uses it for return periods (World Meteorological
/// Organization, Guide to Hydrological Practices, from memory).
pub fn minimum_once_in(years: f64, yearly_minima: &[f64]) -> Option<f64> {
    let mut sorted = yearly_minima.to_vec();
    sorted.sort_by(f64::total_cmp);
    let place = (sorted.len() + 1) as f64 / years;
    let last = sorted.len() as f64;
    if !(1.0..=last).contains(&place) {
        return None;
    }
    let below = place.floor();
    let low = sorted.get(below as usize - 1)?;
    let high = sorted.get(below as usize).unwrap_or(low);
    Some(low + (place - below) * (high - low))
}

/// Range in which the level of [`minimum_once_in`] lies with a probability of at least 80 %, each end alone with 90 %;
/// an end is none where the row is too short to bound it.
///
/// # Source
/// Confidence limits of a quantile from order statistics: the number of minima below it is binomial (Conover, Practical
/// Nonparametric Statistics, from memory).
pub fn minimum_once_in_range(years: f64, yearly_minima: &[f64]) -> (Option<f64>, Option<f64>) {
    /// Probability that an end is passed.
    const BEYOND: f64 = 0.1;
    let mut sorted = yearly_minima.to_vec();
    sorted.sort_by(f64::total_cmp);
    let count = sorted.len();
    let share = 1.0 / years;
    if count == 0 || !(0.0..1.0).contains(&share) {
        return (None, None);
    }
    let odds = share / (1.0 - share);
    let mut term = (1.0 - share).powi(count as i32);
    let mut below = 0.0;
    let (mut low, mut high) = (None, None);
    // `below`: probability that fewer than `rank` minima lie below the level.
    for rank in 1..=count {
        below += term;
        term *= odds * (count + 1 - rank) as f64 / rank as f64;
        if below <= BEYOND {
            low = Some(sorted[rank - 1]);
        }
        if high.is_none() && below >= 1.0 - BEYOND {
            high = Some(sorted[rank - 1]);
        }
    }
    (low, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    // Hyndman & Fan 1996 type 7 is the default of common statistics packages; 0 to 10 is exact by construction.
    #[test]
    fn ten_fifty_ninety_of_eleven_values() {
        let values: Vec<f64> = (0..=10).rev().map(f64::from).collect();
        let got = Quantiles::of(&values).unwrap();
        assert_eq!((got.p10, got.p50, got.p90), (1.0, 5.0, 9.0));
        assert!(Quantiles::of(&[]).is_none());
    }

    // Binomial distribution, 30 draws of 0.1: P(0) = 0.042, P(<= 1) = 0.184, P(<= 4) = 0.825, P(<= 5) = 0.927.
    #[test]
    fn a_range_from_order_statistics() {
        let minima: Vec<f64> = (1..=30).map(f64::from).collect();
        assert_eq!(minimum_once_in_range(10.0, &minima), (Some(1.0), Some(6.0)));
        // 30 draws of 0.5: P(<= 10) = 0.049, P(<= 11) = 0.100, P(<= 18) = 0.900.
        let (low, high) = minimum_once_in_range(2.0, &minima);
        assert_eq!(low.unwrap() + high.unwrap(), 31.0);
        let few: Vec<f64> = (1..=10).map(f64::from).collect();
        assert_eq!(minimum_once_in_range(10.0, &few).0, None);
        assert_eq!(minimum_once_in_range(10.0, &[]), (None, None));
    }

    // Weibull position: of 9 years the coldest comes once in 10, the middle one once in 2.
    #[test]
    fn return_levels_of_nine_years() {
        let minima: Vec<f64> = (1..=9).map(|year| -f64::from(year)).collect();
        assert_eq!(minimum_once_in(10.0, &minima), Some(-9.0));
        assert_eq!(minimum_once_in(5.0, &minima), Some(-8.0));
        assert_eq!(minimum_once_in(2.0, &minima), Some(-5.0));
        assert_eq!(minimum_once_in(20.0, &minima), None);
        assert_eq!(minimum_once_in(2.0, &[]), None);
    }
}
