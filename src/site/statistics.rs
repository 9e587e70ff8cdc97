//! Monthly statistics of daily values: what normals state and weather years must give back; how cold years get.

use super::normals::{Monthly, Normals, Spread};
use super::solar_frame::Frame;
use super::weather::{ANY_YEAR, Place, Weather, daily_means};
use crate::calendar::{DAYS_IN_MONTH, HOURS_PER_DAY, MONTH_START_DAY};
use crate::numbers::{highest, lowest, mean};

/// Days with less sun than this outside the atmosphere have no clearness, Wh/m2.
const LEAST_OUTSIDE_WH_M2: f64 = 100.0;

/// Days of a table, each with the figures that spread is told from.
#[derive(Clone, Debug)]
pub struct DayFigures {
    /// Mean temperature, °C.
    pub temp_mean_c: Vec<f64>,
    /// Largest hourly temperature, °C.
    pub temp_max_c: Vec<f64>,
    /// Smallest hourly temperature, °C.
    pub temp_min_c: Vec<f64>,
    /// Clearness index; nothing where there is next to no sun.
    pub clearness: Vec<Option<f64>>,
}

impl DayFigures {
    /// From one year of hours.
    pub fn new(frame: &Frame, weather: &Weather) -> Self {
        let days = || weather.temp_air_c.chunks_exact(HOURS_PER_DAY);
        Self {
            temp_mean_c: daily_means(&weather.temp_air_c),
            temp_max_c: days().map(highest).collect(),
            temp_min_c: days().map(lowest).collect(),
            clearness: weather
                .ghi_w_m2
                .chunks_exact(HOURS_PER_DAY)
                .zip(&frame.outside_day_wh_m2)
                .map(|(day, &outside)| {
                    (outside > LEAST_OUTSIDE_WH_M2).then(|| day.iter().sum::<f64>() / outside)
                })
                .collect(),
        }
    }
}

/// Sums of departures from single months' own means, gathered over years.
#[derive(Clone, Copy, Debug, Default)]
pub struct WithinMonth {
    squares: f64,
    neighbours: f64,
    freedom: f64,
    ratios: f64,
    months: f64,
}

impl WithinMonth {
    /// Of one month's days.
    pub fn of(days: &[f64]) -> Self {
        let mut within = Self::default();
        within.add(days);
        within
    }

    /// Adds one month's days.
    pub fn add(&mut self, days: &[f64]) {
        if days.len() < 2 {
            return;
        }
        let mean = mean(days);
        let squares = days.iter().map(|day| (day - mean).powi(2)).sum::<f64>();
        let neighbours = days
            .windows(2)
            .map(|pair| (pair[0] - mean) * (pair[1] - mean))
            .sum::<f64>();
        self.squares += squares;
        self.neighbours += neighbours;
        self.freedom += (days.len() - 1) as f64;
        if squares > 0.0 {
            self.ratios += neighbours / squares;
            self.months += 1.0;
        }
    }

    /// Adds what another gathering holds.
    pub fn merge(&mut self, other: &Self) {
        self.squares += other.squares;
        self.neighbours += other.neighbours;
        self.freedom += other.freedom;
        self.ratios += other.ratios;
        self.months += other.months;
    }

    /// Standard deviation with n - 1; 0 where there are no days.
    pub fn sd(&self) -> f64 {
        if self.freedom > 0.0 {
            (self.squares / self.freedom).sqrt()
        } else {
            0.0
        }
    }

    /// Correlation of neighbouring days; 0 where nothing varies.
    ///
    /// Over several months the mean of two estimates: the ratio of all sums, and the mean of the single months'
    /// ratios, which is a few hundredths lower.
    pub fn lag1(&self) -> f64 {
        if self.squares > 0.0 && self.months > 0.0 {
            (self.neighbours / self.squares + self.ratios / self.months) / 2.0
        } else {
            0.0
        }
    }
}

/// Correlation of two series about their own means; 0 where one does not vary.
pub fn correlation(pairs: &[(f64, f64)]) -> f64 {
    let count = pairs.len().max(1) as f64;
    let mean_a = pairs.iter().map(|pair| pair.0).sum::<f64>() / count;
    let mean_b = pairs.iter().map(|pair| pair.1).sum::<f64>() / count;
    let (mut ab, mut aa, mut bb) = (0.0, 0.0, 0.0);
    for (a, b) in pairs {
        ab += (a - mean_a) * (b - mean_b);
        aa += (a - mean_a).powi(2);
        bb += (b - mean_b).powi(2);
    }
    if aa > 0.0 && bb > 0.0 {
        ab / (aa * bb).sqrt()
    } else {
        0.0
    }
}

/// Indices of a month's days in the year.
pub fn days_of_month(month: usize) -> std::ops::Range<usize> {
    MONTH_START_DAY[month]..MONTH_START_DAY[month] + DAYS_IN_MONTH[month]
}

/// Mean of a daily series over a month of the model year.
pub fn month_mean(daily: &[f64], month: usize) -> f64 {
    mean(&daily[days_of_month(month)])
}

impl Normals {
    /// Monthly normals and spread of a year of hourly weather, each month by itself.
    pub fn from_weather(place: &Place, weather: &Weather) -> Self {
        let frame = Frame::new(place, ANY_YEAR);
        let days = DayFigures::new(&frame, weather);
        let monthly =
            |daily: &[f64]| -> Monthly { std::array::from_fn(|month| month_mean(daily, month)) };
        let hourly = |column: &[f64]| monthly(&daily_means(column));
        Self {
            temp_max_c: monthly(&days.temp_max_c),
            temp_min_c: monthly(&days.temp_min_c),
            temp_mean_c: Some(monthly(&days.temp_mean_c)),
            ghi_kwh_m2_day: Some(hourly(&weather.ghi_w_m2).map(|mean_w| mean_w * 24.0 / 1000.0)),
            wind_m_s: Some(hourly(&weather.wind_m_s)),
            relative_humidity_pct: Some(hourly(&weather.relative_humidity_pct)),
            place: place.clone(),
            spread: Some(spread_of(&days)),
            ..Self::default()
        }
    }
}

/// Spread of the days within each month.
fn spread_of(days: &DayFigures) -> Spread {
    let temp: [WithinMonth; 12] =
        std::array::from_fn(|month| WithinMonth::of(&days.temp_mean_c[days_of_month(month)]));
    let clearness: [WithinMonth; 12] = std::array::from_fn(|month| {
        let clear = days.clearness[days_of_month(month)].iter().flatten();
        WithinMonth::of(&clear.copied().collect::<Vec<_>>())
    });
    let range = |day: usize| days.temp_max_c[day] - days.temp_min_c[day];
    let with_clearness = |of: &dyn Fn(usize) -> f64| -> Monthly {
        std::array::from_fn(|month| correlation(&clear_days(days, month, of).collect::<Vec<_>>()))
    };
    Spread {
        temp_daily_sd_k: temp.map(|within| within.sd()),
        temp_daily_lag1: temp.map(|within| within.lag1()),
        clearness_daily_sd: clearness.map(|within| within.sd()),
        clearness_daily_lag1: Some(clearness.map(|within| within.lag1())),
        temp_clearness_correlation: Some(with_clearness(&|day| days.temp_mean_c[day])),
        range_clearness_correlation: Some(with_clearness(&range)),
        range_daily_cv: Some(std::array::from_fn(|month| {
            let ranges: Vec<f64> = days_of_month(month).map(range).collect();
            WithinMonth::of(&ranges).sd() / mean(&ranges).max(0.1)
        })),
        coldest_possible_c: None,
    }
}

/// Clearness and another figure of a month's days that have sun.
fn clear_days(
    days: &DayFigures,
    month: usize,
    of: impl Fn(usize) -> f64,
) -> impl Iterator<Item = (f64, f64)> {
    days_of_month(month).filter_map(move |day| Some((days.clearness[day]?, of(day))))
}

/// Hours of every thousand that are colder than the 99.6 % design temperature.
const COLDER_PER_MILLE: usize = 4;

/// Cold of one or more years.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cold {
    /// Air temperature exceeded in 99.6 % of the hours, °C.
    pub hours_99_6_c: f64,
    /// Mean of the yearly coldest hours, °C.
    pub yearly_min_mean_c: f64,
}

impl Cold {
    /// Cold of some years; nothing without hours.
    pub fn of(years: &[Weather]) -> Option<Self> {
        let mut hours: Vec<f64> = years
            .iter()
            .flat_map(|year| year.temp_air_c.iter().copied())
            .collect();
        hours.sort_by(f64::total_cmp);
        let hours_99_6_c = *hours.get(hours.len() * COLDER_PER_MILLE / 1000)?;
        let minima = years.iter().map(|year| lowest(&year.temp_air_c));
        Some(Self {
            hours_99_6_c,
            yearly_min_mean_c: minima.sum::<f64>() / years.len() as f64,
        })
    }
}
