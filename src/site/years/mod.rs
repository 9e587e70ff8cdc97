//! Weather years: what the typical year hides, by a seeded generator.

mod calibrate;
mod daily;
mod own_days;
mod synthetic;
mod weathers;

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rayon::prelude::*;

use super::course::PAD_DAYS;
use super::normals::Normals;
use super::snow::SnowAccount;
use super::solar_frame::Frame;
use super::typical::Figures;
use super::weather::Weather;
use crate::calendar::DAYS_PER_YEAR;
use calibrate::Targets;
use daily::{DrawnDay, Laws, State};
use own_days::OwnDays;
use synthetic::HourLaws;
pub use weathers::Weathers;

/// Days before the first year in which the process settles.
const RUN_IN_DAYS: usize = 120;

/// What weather years are made from.
#[derive(Clone, Debug, PartialEq)]
pub enum YearSource {
    /// Monthly normals.
    Normals(Box<Normals>),
    /// A year of hourly weather: its own monthly statistics, and the course of its own days.
    Days {
        /// Monthly statistics of the year.
        normals: Box<Normals>,
        /// The hours whose days are drawn.
        weather: Box<Weather>,
    },
}

impl YearSource {
    /// The monthly statistics that the years give back.
    pub fn normals(&self) -> &Normals {
        match self {
            Self::Normals(normals) | Self::Days { normals, .. } => normals,
        }
    }
}

/// `count` consecutive years of weather, each 8760 hours.
///
/// The years follow on one another: there is no jump at 1 January. The same source, seed and year give the same
/// bytes on any number of threads, and the first years do not depend on how many follow. `year` fixes the sun's
/// course only.
pub fn weather_years(source: &YearSource, count: usize, seed: u64, year: i32) -> Vec<Weather> {
    let maker = Maker::new(source, count, seed, year);
    let years = (0..count).into_par_iter();
    years.map(|index| maker.year(index)).collect()
}

/// All that a year of weather is made from, so that any of them can be made by itself.
#[derive(Debug)]
pub(super) struct Maker {
    frame: Frame,
    laws: Laws,
    hours: Hours,
    seed: u64,
    /// The last days before the first year.
    run_in: Vec<DrawnDay>,
    /// Where each year begins, and the year after the last.
    begins: Vec<Begin>,
}

/// Where the process and the snow stand on 1 January.
#[derive(Clone, Copy, Debug)]
struct Begin {
    state: State,
    snow: SnowAccount,
}

/// How hours are made of days.
#[derive(Debug)]
enum Hours {
    Made(HourLaws),
    Own(Box<OwnDays>),
}

impl Maker {
    pub fn new(source: &YearSource, count: usize, seed: u64, year: i32) -> Self {
        let normals = source.normals();
        let frame = Frame::new(&normals.place, year);
        let figures = Figures::new(normals, &frame);
        let spread = normals.spread.clone().unwrap_or_else(default_spread);
        let laws = calibrate::laws(
            &frame,
            &Targets {
                figures: &figures,
                spread: &spread,
                design: normals.design,
            },
        );
        let hours = match source {
            YearSource::Days { weather, .. } if weather.check().is_ok() => {
                Hours::Own(Box::new(OwnDays::new(&frame, &figures, &spread, weather)))
            }
            _ => Hours::Made(HourLaws::new(&frame, &figures, &laws)),
        };
        let (mut state, run_in) = laws.run_in(RUN_IN_DAYS, &mut stream(seed, Stream::RunIn));
        let season: Vec<f64> = laws.days.iter().map(|law| law.temp_c).collect();
        let mut snow = SnowAccount::settled(&season);
        let mut begins = vec![Begin { state, snow }];
        for year in 0..count {
            // Snow lies on from year to year.
            let rng = &mut stream(seed, Stream::Days(year));
            for day in laws.run(&mut state, DAYS_PER_YEAR, rng) {
                snow.next_day(day.temp_c);
            }
            begins.push(Begin { state, snow });
        }
        Self {
            frame,
            laws,
            hours,
            seed,
            run_in,
            begins,
        }
    }

    /// The first days of a year.
    fn days(&self, year: usize, count: usize) -> Vec<DrawnDay> {
        let mut state = self.begins[year].state;
        let rng = &mut stream(self.seed, Stream::Days(year));
        self.laws.run(&mut state, count, rng)
    }

    /// A year, from 0.
    pub fn year(&self, index: usize) -> Weather {
        let before = match index.checked_sub(1) {
            Some(before) => self.days(before, DAYS_PER_YEAR),
            None => self.run_in.clone(),
        };
        let own = self.days(index, DAYS_PER_YEAR);
        let mut snow = self.begins[index].snow;
        let cover: Vec<f64> = own.iter().map(|day| snow.next_day(day.temp_c)).collect();
        // With the neighbouring years' days as padding.
        let mut days = before[before.len() - PAD_DAYS..].to_vec();
        days.extend(own);
        days.extend(self.days(index + 1, PAD_DAYS));
        match &self.hours {
            Hours::Own(own) => own.hours(&self.frame, &days, &cover),
            Hours::Made(made) => {
                let mut rng = stream(self.seed, Stream::Hours(index));
                made.hours(&self.frame, &self.laws, &days, &cover, &mut rng)
            }
        }
    }
}

/// Streams of chance; each year has its own two.
#[derive(Clone, Copy, Debug)]
enum Stream {
    RunIn,
    Days(usize),
    Hours(usize),
}

fn stream(seed: u64, which: Stream) -> ChaCha8Rng {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    rng.set_stream(match which {
        Stream::RunIn => 0,
        Stream::Days(year) => 1 + 2 * year as u64,
        Stream::Hours(year) => 2 + 2 * year as u64,
    });
    rng
}

/// Spread where normals have none and none could be borrowed: middling figures of temperate places.
fn default_spread() -> super::normals::Spread {
    super::normals::Spread {
        temp_daily_sd_k: [3.5; 12],
        temp_daily_lag1: [0.65; 12],
        clearness_daily_sd: [0.16; 12],
        ..Default::default()
    }
}
