//! From months to days and from days to midnights without changing a single mean.
//!
//! Quadratic pieces that join smoothly and keep the mean of each piece: Delhez (2003), *A spline interpolation
//! technique that preserves mass budgets*, Applied Mathematics Letters 16:17-26 (from memory); the midnight values
//! by Colella & Woodward (1984), *The piecewise parabolic method*, J. Comput. Phys. 54:174-201, eq. 1.6 (from memory).

use super::normals::Monthly;
use crate::calendar::{DAYS_IN_MONTH, DAYS_PER_YEAR};

/// Rounds of the solver for the values at the months' starts; each halves the error at least.
const ROUNDS: usize = 60;

/// Daily values of a smooth yearly course whose monthly means are the given ones.
pub fn months_to_days(monthly: &Monthly) -> Vec<f64> {
    let starts = month_start_values(monthly);
    let mut daily = Vec::with_capacity(DAYS_PER_YEAR);
    for month in 0..12 {
        let piece = Quadratic {
            start: starts[month],
            end: starts[(month + 1) % 12],
            mean: monthly[month],
        };
        let days = DAYS_IN_MONTH[month];
        for day in 0..days {
            daily
                .push(piece.mean_between(day as f64 / days as f64, (day + 1) as f64 / days as f64));
        }
    }
    daily
}

/// Values at the start of each month for which neighbouring quadratic pieces join without a kink.
fn month_start_values(monthly: &Monthly) -> Monthly {
    let length = |month: usize| DAYS_IN_MONTH[month % 12] as f64;
    let mut starts = [0.0; 12];
    for month in 0..12 {
        starts[month] = (monthly[(month + 11) % 12] + monthly[month]) / 2.0;
    }
    for _round in 0..ROUNDS {
        for month in 0..12 {
            let before = (month + 11) % 12;
            let (left, right) = (1.0 / length(before), 1.0 / length(month));
            let pull = 3.0 * (monthly[before] * left + monthly[month] * right);
            let neighbours = starts[before] * left + starts[(month + 1) % 12] * right;
            starts[month] = (pull - neighbours) / (2.0 * (left + right));
        }
    }
    starts
}

/// A quadratic on 0 to 1 with given end values and mean.
#[derive(Clone, Copy, Debug)]
pub struct Quadratic {
    /// Value at 0.
    pub start: f64,
    /// Value at 1.
    pub end: f64,
    /// Mean over 0 to 1.
    pub mean: f64,
}

impl Quadratic {
    /// Value at `x`, 0 to 1.
    pub fn at(&self, x: f64) -> f64 {
        let bow = 3.0 * (self.start + self.end) - 6.0 * self.mean;
        let slope = 6.0 * self.mean - 4.0 * self.start - 2.0 * self.end;
        self.start + x * (slope + x * bow)
    }

    /// Mean between `a` and `b`, 0 to 1, `a` below `b`.
    pub fn mean_between(&self, a: f64, b: f64) -> f64 {
        let bow = 3.0 * (self.start + self.end) - 6.0 * self.mean;
        let slope = 6.0 * self.mean - 4.0 * self.start - 2.0 * self.end;
        self.start + slope * (a + b) / 2.0 + bow * (a * a + a * b + b * b) / 3.0
    }
}

/// The quadratic within a day from the means of the day, two days before and two days after.
pub fn within_day(means: [f64; 5]) -> Quadratic {
    let between = |a: f64, b: f64, c: f64, d: f64| (7.0 * (b + c) - (a + d)) / 12.0;
    Quadratic {
        start: between(means[0], means[1], means[2], means[3]),
        end: between(means[1], means[2], means[3], means[4]),
        mean: means[2],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::MONTH_START_DAY;

    #[test]
    fn monthly_means_come_back_and_days_join() {
        let monthly = [
            -20.5, -11.3, -6.3, 0.1, 6.7, 11.5, 14.0, 11.6, 7.1, 0.2, -10.3, -15.8,
        ];
        let daily = months_to_days(&monthly);
        for month in 0..12 {
            let start = MONTH_START_DAY[month];
            let days = &daily[start..start + DAYS_IN_MONTH[month]];
            let mean = days.iter().sum::<f64>() / days.len() as f64;
            assert!((mean - monthly[month]).abs() < 1e-9);
        }
        for day in 0..DAYS_PER_YEAR {
            let step = daily[(day + 1) % DAYS_PER_YEAR] - daily[day];
            assert!(step.abs() < 1.0, "day {day}: {step} K");
        }
    }

    #[test]
    fn a_day_keeps_its_mean() {
        let piece = within_day([1.0, 5.0, -2.0, 3.0, 8.0]);
        let hours =
            (0..24).map(|h| piece.mean_between(f64::from(h) / 24.0, f64::from(h + 1) / 24.0));
        assert!((hours.sum::<f64>() / 24.0 + 2.0).abs() < 1e-12);
    }
}
