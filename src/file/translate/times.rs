//! Figures that change by month or hour.

use crate::calendar::HOURS_PER_DAY;
use crate::house::Schedule;

/// One figure all year, 12 by month, 24 by hour of the day, or 288, the hours of January first.
pub fn schedule(values: &[f64]) -> Schedule {
    if let Ok(months) = <[f64; 12]>::try_from(values) {
        return Schedule::Monthly(months);
    }
    if let Ok(hours) = <[f64; HOURS_PER_DAY]>::try_from(values) {
        return Schedule::Daily(hours);
    }
    let mut months = [[0.0; HOURS_PER_DAY]; 12];
    if values.len() == months.as_flattened().len() {
        months.as_flattened_mut().copy_from_slice(values);
        return Schedule::MonthlyHours(Box::new(months));
    }
    Schedule::Constant(values.first().copied().unwrap_or(f64::NAN))
}

/// Twelve monthly figures from one or twelve.
pub fn twelve(values: &[f64]) -> [f64; 12] {
    <[f64; 12]>::try_from(values).unwrap_or([values.first().copied().unwrap_or(f64::NAN); 12])
}

/// `inside` from one clock hour to another in the months marked, zero else; part hours count in part.
pub fn by_clock(from_h: f64, to_h: f64, months: [bool; 12], inside: f64) -> Schedule {
    let day: [f64; HOURS_PER_DAY] =
        std::array::from_fn(|hour| inside * share_of_hour(hour as f64, from_h, to_h));
    if months.iter().all(|on| *on) {
        return Schedule::Daily(day);
    }
    Schedule::MonthlyHours(Box::new(
        months.map(|on| if on { day } else { [0.0; HOURS_PER_DAY] }),
    ))
}

/// Share of the hour from `hour` that lies between two clock times, over midnight where `to` is not after `from`.
fn share_of_hour(hour: f64, from_h: f64, to_h: f64) -> f64 {
    let overlap = |from: f64, to: f64| (to.min(hour + 1.0) - from.max(hour)).max(0.0);
    match from_h < to_h {
        true => overlap(from_h, to_h),
        false => overlap(from_h, HOURS_PER_DAY as f64) + overlap(0.0, to_h),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_night_fan_runs_thirteen_hours() {
        let fan = by_clock(18.0, 7.0, [true; 12], 2.0);
        let sum: f64 = (0..24).map(|hour| fan.at(hour)).sum();
        assert!((sum - 26.0).abs() < 1e-12);
    }

    #[test]
    fn half_hours_count_half() {
        let lamp = by_clock(16.5, 20.0, [true; 12], 1.0);
        assert_eq!(lamp.at(16), 0.5);
        assert_eq!(lamp.at(19), 1.0);
        assert_eq!(lamp.at(20), 0.0);
    }
}
