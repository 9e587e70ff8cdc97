//! The model year: 365 days, 8760 hours, in local standard time.
//!
//! Hour `h` (from 0) covers the clock from `h` to `h + 1`, so its middle is `h + 0.5`. A leap day is never
//! simulated; 29 February of a planning year shares the climate of 28 February.

use std::sync::LazyLock;

use chrono::{Datelike, NaiveDate};

/// Hours in a model year.
pub const HOURS_PER_YEAR: usize = 8760;
/// Days in a model year.
pub const DAYS_PER_YEAR: usize = 365;
/// Seconds in an hour.
pub const SECONDS_PER_HOUR: f64 = 3600.0;
/// Hours in a day.
pub const HOURS_PER_DAY: usize = 24;
/// Planning weeks in a model year; the last one has one day more.
pub const WEEKS_PER_YEAR: usize = 52;
/// Days in a week.
pub const DAYS_PER_WEEK: usize = 7;
/// Days of each month of the model year.
pub const DAYS_IN_MONTH: [usize; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
/// First day (from 0) of each month of the model year.
pub const MONTH_START_DAY: [usize; 12] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];
/// English month heads, as tables show them.
pub const MONTH_HEADS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

/// Month (0 to 11) of a day of the year (from 0); days beyond the year's end wrap round.
pub fn month_of_day(day: usize) -> usize {
    usize::from(MONTH_OF_DAY[day % DAYS_PER_YEAR])
}

/// Month (0 to 11) of every day of the year.
const MONTH_OF_DAY: [u8; DAYS_PER_YEAR] = {
    let mut months = [0; DAYS_PER_YEAR];
    let (mut day, mut month) = (0, 0);
    while day < DAYS_PER_YEAR {
        if month + 1 < MONTH_START_DAY.len() && MONTH_START_DAY[month + 1] <= day {
            month += 1;
        }
        months[day] = month as u8;
        day += 1;
    }
    months
};

/// Month (0 to 11) of an hour of the year (from 0); hours beyond the year's end wrap round.
pub fn month_of_hour(hour: usize) -> usize {
    month_of_day(hour / HOURS_PER_DAY)
}

/// Planning week (0 to 51) of a day of the year (from 0): seven days each, the last week has eight.
pub fn week_of_day(day: usize) -> usize {
    ((day % DAYS_PER_YEAR) / DAYS_PER_WEEK).min(WEEKS_PER_YEAR - 1)
}

/// First day (from 0) of a planning week (0 to 51; later weeks run into the next year).
pub fn first_day_of_week(week: usize) -> usize {
    (week / WEEKS_PER_YEAR) * DAYS_PER_YEAR + (week % WEEKS_PER_YEAR) * DAYS_PER_WEEK
}

/// Days of a planning week: seven, the last of a year eight.
pub fn days_of_week(week: usize) -> usize {
    if week % WEEKS_PER_YEAR == WEEKS_PER_YEAR - 1 {
        DAYS_PER_WEEK + 1
    } else {
        DAYS_PER_WEEK
    }
}

/// Months (0 to 11) that a planning week falls in, with the part of the week in each; the parts add up to 1. What is
/// told by week is shared out over months by this alone, so that no two tables of months disagree.
pub fn months_of_week(week: usize) -> &'static [(usize, f64)] {
    static WEEKS: LazyLock<Vec<Vec<(usize, f64)>>> =
        LazyLock::new(|| (0..WEEKS_PER_YEAR).map(months_of).collect());
    &WEEKS[week % WEEKS_PER_YEAR]
}

fn months_of(week: usize) -> Vec<(usize, f64)> {
    let (first, days) = (first_day_of_week(week), days_of_week(week));
    let mut parts: Vec<(usize, f64)> = Vec::new();
    for day in first..first + days {
        let month = month_of_day(day);
        match parts.last_mut() {
            Some((last, part)) if *last == month => *part += 1.0 / days as f64,
            _ => parts.push((month, 1.0 / days as f64)),
        }
    }
    parts
}

/// Day of the model year (from 0) of a date; 29 February counts as the 28th.
pub fn day_of_date(date: NaiveDate) -> usize {
    let day = date.ordinal0() as usize;
    if date.leap_year() && day >= MONTH_START_DAY[2] {
        day - 1
    } else {
        day
    }
}

/// Date of a day of the model year (from 0) counted from 1 January of `year`; days beyond 365 run into later years.
pub fn date_of_day(year: i32, day: usize) -> NaiveDate {
    let year = year + (day / DAYS_PER_YEAR) as i32;
    let day = day % DAYS_PER_YEAR;
    let month = month_of_day(day);
    let in_month = day - MONTH_START_DAY[month] + 1;
    NaiveDate::from_ymd_opt(year, month as u32 + 1, in_month as u32).unwrap_or(NaiveDate::MAX)
}

/// Planning weeks from that of one day to that of another; negative where the other lies before.
pub fn planning_weeks(from: NaiveDate, to: NaiveDate) -> i64 {
    let week = |day: NaiveDate| {
        let years = i64::from(day.year()) * WEEKS_PER_YEAR as i64;
        years + week_of_day(day_of_date(day)) as i64
    };
    week(to) - week(from)
}

/// Day and short month, such as `4 Sep`.
pub fn short_date(date: NaiveDate) -> String {
    format!("{} {}", date.day(), MONTH_HEADS[date.month0() as usize])
}

/// The same day some years later; 29 February becomes the 28th.
pub fn years_later(day: NaiveDate, years: i32) -> NaiveDate {
    const LAST_OF_FEBRUARY: u32 = 28;
    let year = day.year() + years;
    day.with_year(year)
        .or_else(|| NaiveDate::from_ymd_opt(year, day.month(), LAST_OF_FEBRUARY))
        .unwrap_or(day)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn months_and_days_agree() {
        assert_eq!(month_of_day(0), 0);
        assert_eq!(month_of_day(58), 1);
        assert_eq!(month_of_day(59), 2);
        assert_eq!(month_of_day(364), 11);
        assert_eq!(month_of_day(365), 0);
    }

    #[test]
    fn dates_come_back_in_a_leap_year() {
        for day in 0..DAYS_PER_YEAR {
            assert_eq!(day_of_date(date_of_day(2028, day)), day);
        }
        let leap = NaiveDate::from_ymd_opt(2028, 2, 29).unwrap();
        assert_eq!(day_of_date(leap), 58);
    }

    #[test]
    fn every_day_has_a_week() {
        assert_eq!(week_of_day(0), 0);
        assert_eq!(week_of_day(364), 51);
        assert_eq!(first_day_of_week(52), 365);
    }

    #[test]
    fn a_week_is_shared_out_by_its_days() {
        // 29 January to 4 February: three days and four.
        let parts = months_of_week(4);
        assert_eq!(parts.len(), 2);
        assert_eq!((parts[0].0, parts[1].0), (0, 1));
        assert!((parts[0].1 - 3.0 / 7.0).abs() < 1e-12 && (parts[1].1 - 4.0 / 7.0).abs() < 1e-12);
        assert_eq!(months_of_week(51), [(11, months_of_week(51)[0].1)]);
        let days: f64 = (0..WEEKS_PER_YEAR)
            .flat_map(|week| {
                let days = days_of_week(week) as f64;
                let parts = months_of_week(week).iter();
                parts.map(move |(month, part)| (*month, part * days))
            })
            .filter(|(month, _)| *month == 6)
            .map(|(_, days)| days)
            .sum();
        assert!((days - 31.0).abs() < 1e-9, "July has {days} days");
    }
}
