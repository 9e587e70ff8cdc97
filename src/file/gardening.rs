//! How a household wants to garden: how simple, on which days, what is settled beforehand.

use crate::calendar::DAYS_PER_WEEK;
use crate::words::worded;
use chrono::{Datelike, NaiveDate, Weekday};

worded! {
    /// How simple a plan is kept.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
    #[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
    pub enum Simple {
        /// At most 5 kinds of crop.
        "few" => Few,
        /// At most 8 kinds.
        #[default]
        "usual" => Usual,
        /// As many as pay for the time they take.
        #[cfg_attr(feature = "cli", value(name = "most food", alias = "most-food"))]
        "most food" => MostFood,
    }
}

impl Simple {
    /// Most kinds of crop; none without a limit. In surveys a garden holds 4 to 10 kinds; 5 and 8 are own choices within.
    pub fn kinds(self) -> Option<usize> {
        match self {
            Self::Few => Some(5),
            Self::Usual => Some(8),
            Self::MostFood => None,
        }
    }
}

worded! {
    /// How far families of crops are kept apart in a place.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
    pub enum Rotation {
        /// A family rests from a place for its years, as far as the beds allow.
        #[default]
        "years" => Years,
        /// No family directly after itself.
        "crops" => Crops,
        /// As it comes.
        "none" => None,
    }
}

/// A time of the year in which nothing can be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Away {
    /// First day of the year, 0 to 364.
    pub from_day: usize,
    /// Last day, which may lie before the first: over the turn of the year.
    pub to_day: usize,
}

impl Away {
    /// Does any day of so many from a day on (0 to 364) lie in it?
    pub fn touches(&self, day: usize, days: usize) -> bool {
        (day..day + days).any(|day| {
            let day = day % crate::calendar::DAYS_PER_YEAR;
            match self.from_day <= self.to_day {
                true => (self.from_day..=self.to_day).contains(&day),
                false => day >= self.from_day || day <= self.to_day,
            }
        })
    }
}

/// A sowing already decided.
#[derive(Clone, Debug, PartialEq)]
pub struct FixedSowing {
    /// The words of the file.
    pub text: String,
    pub crop: String,
    /// Bed by name.
    pub bed: String,
    /// Share of the bed, above 0 to 1.
    pub share: f64,
    pub sow: NaiveDate,
    /// In trays, where the file says so.
    pub tray: bool,
}

/// How a household wants to garden.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Gardening {
    pub simple: Simple,
    /// Most kinds of crop, where the file says it.
    pub kinds: Option<usize>,
    /// Crops or foods that must be in the plan.
    pub must: Vec<String>,
    pub fixed: Vec<FixedSowing>,
    pub away: Vec<Away>,
    /// Day of the week for sowing, where the file says it.
    pub day: Option<Weekday>,
    /// Weeks between days of sowing, at least 1.
    pub sow_every_weeks: usize,
    /// Equal sections in which a bed is planted; none where the file leaves it open.
    pub sections: Option<usize>,
    pub rotation: Rotation,
    /// What a planting, a kind and a day of sowing weigh, money, where the file says it.
    pub effort: [Option<f64>; 3],
}

impl Gardening {
    /// Day of the week for sowing; Saturday where the file is silent.
    pub fn weekday(&self) -> Weekday {
        self.day.unwrap_or(Weekday::Sat)
    }

    /// The next day on which the household works in its beds, that day itself included.
    pub fn work_day(&self, date: NaiveDate) -> NaiveDate {
        let mut week = date.iter_days().take(DAYS_PER_WEEK);
        week.find(|day| day.weekday() == self.weekday())
            .unwrap_or(date)
    }

    pub fn kinds_most(&self) -> Option<usize> {
        self.kinds.or(self.simple.kinds())
    }
}
