//! A figure that may change by month, by hour of the day or by hour of the year.

use crate::calendar::{HOURS_PER_DAY, HOURS_PER_YEAR, month_of_hour};

/// A figure through the model year, local standard time.
#[derive(Clone, Debug, PartialEq)]
pub enum Schedule {
    /// The same all year.
    Constant(f64),
    /// One figure a month, January first.
    Monthly([f64; 12]),
    /// One figure an hour of the day, the hour from midnight to one first.
    Daily([f64; HOURS_PER_DAY]),
    /// One day of 24 hours for each month, January first.
    MonthlyHours(Box<[[f64; HOURS_PER_DAY]; 12]>),
    /// One figure for each of the 8760 hours.
    Hourly(Vec<f64>),
}

impl Default for Schedule {
    /// Nothing at any hour.
    fn default() -> Self {
        Self::Constant(0.0)
    }
}

impl Schedule {
    /// The figure for hour `hour` of the year (from 0; later hours wrap round). An hourly list that is too short
    /// gives NaN, which [`crate::house::simulate`] refuses.
    #[inline]
    pub fn at(&self, hour: usize) -> f64 {
        let month = || month_of_hour(hour % HOURS_PER_YEAR);
        match self {
            Self::Constant(value) => *value,
            Self::Monthly(months) => months[month()],
            Self::Daily(hours) => hours[hour % HOURS_PER_DAY],
            Self::MonthlyHours(months) => months[month()][hour % HOURS_PER_DAY],
            Self::Hourly(hours) => *hours.get(hour % HOURS_PER_YEAR).unwrap_or(&f64::NAN),
        }
    }

    /// The schedule hour by hour through the year.
    pub(crate) fn expand(&self) -> Vec<f64> {
        (0..HOURS_PER_YEAR).map(|hour| self.at(hour)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_hourly_list_is_seen() {
        assert!(Schedule::Hourly(vec![1.0; 10]).at(10).is_nan());
    }
}
