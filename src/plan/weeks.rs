//! Weeks of the horizon on the calendar.

use chrono::{Datelike, Days, NaiveDate};

use super::{Closing, Instance};
use crate::calendar;

impl Instance {
    /// Planning week of the calendar in which the horizon begins.
    fn first_week(&self) -> usize {
        match self.closing {
            Closing::Open => calendar::week_of_day(calendar::day_of_date(self.start)),
            Closing::EachBed => 0,
        }
    }

    /// First day of a week of the horizon; weeks past its end run on. They are the planning weeks of the calendar whenever it
    /// begins, so that a sowing has the same week in every plan; the first is what is left of its own.
    pub fn date_of_week(&self, week: usize) -> NaiveDate {
        let day = calendar::first_day_of_week(self.first_week() + week);
        calendar::date_of_day(self.start.year(), day).max(self.start)
    }

    /// Day of a week of the horizon on which the beds are worked in.
    pub fn work_date(&self, week: usize) -> NaiveDate {
        let first = self.date_of_week(week);
        let Some(day) = self.work_day else {
            return first;
        };
        first + Days::new(u64::from(day.days_since(first.weekday())))
    }

    /// Months of the calendar (year, month from 1) that a week of the horizon falls in, with the part of the week in
    /// each; the parts add up to 1.
    pub fn months_of_week(&self, week: usize) -> Vec<((i32, u32), f64)> {
        match self.closing {
            Closing::EachBed => {
                let year = self.start.year() + (week / calendar::WEEKS_PER_YEAR) as i32;
                let parts = calendar::months_of_week(week).iter();
                parts
                    .map(|(month, part)| ((year, *month as u32 + 1), *part))
                    .collect()
            }
            Closing::Open => {
                let mut parts: Vec<((i32, u32), f64)> = Vec::new();
                for day in self.date_of_week(week).iter_days().take(7) {
                    let month = (day.year(), day.month());
                    match parts.last_mut() {
                        Some((last, part)) if *last == month => *part += 1.0 / 7.0,
                        _ => parts.push((month, 1.0 / 7.0)),
                    }
                }
                parts
            }
        }
    }

    /// Week of the horizon that a date lies in; a settled year takes any year's date.
    pub fn week_of_date(&self, date: NaiveDate) -> Option<usize> {
        match self.closing {
            Closing::EachBed => self.week_index(calendar::week_of_day(calendar::day_of_date(date))),
            Closing::Open => {
                let week = calendar::planning_weeks(self.start, date);
                self.week_index(usize::try_from(week).ok()?)
            }
        }
    }

    /// A week of the horizon for a week that may run past its end: wrapped in a settled year, `None` past an
    /// open end.
    pub fn week_index(&self, week: usize) -> Option<usize> {
        match self.closing {
            Closing::EachBed => Some(week % self.weeks),
            Closing::Open => (week < self.weeks).then_some(week),
        }
    }
}
