//! Weather years: what the typical year hides, by a seeded generator.

mod calibrate;
mod daily;
mod own_days;
mod synthetic;

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
use daily::{DrawnDay, Laws};
use own_days::OwnDays;
use synthetic::HourLaws;

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
    let years = draw_days(&laws, count, seed);
    let covers = snow_covers(&laws, &years);
    match source {
        YearSource::Days { weather, .. } if weather.check().is_ok() => {
            let own = OwnDays::new(&frame, &figures, &spread, weather);
            years
                .par_iter()
                .zip(&covers)
                .map(|(days, cover)| own.hours(&frame, days, cover))
                .collect()
        }
        _ => {
            let made = HourLaws::new(&frame, &figures, &laws);
            years
                .par_iter()
                .zip(&covers)
                .enumerate()
                .map(|(index, (days, cover))| {
                    let mut rng = stream(seed, Stream::Hours(index));
                    made.hours(&frame, &laws, days, cover, &mut rng)
                })
                .collect()
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

/// The days of `count` years, each with the neighbouring years' days as padding.
fn draw_days(laws: &Laws, count: usize, seed: u64) -> Vec<Vec<DrawnDay>> {
    let (mut state, mut all) = laws.run_in(RUN_IN_DAYS, &mut stream(seed, Stream::RunIn));
    for year in 0..count {
        all.extend(laws.run(
            &mut state,
            DAYS_PER_YEAR,
            &mut stream(seed, Stream::Days(year)),
        ));
    }
    all.extend(laws.run(&mut state, PAD_DAYS, &mut stream(seed, Stream::Days(count))));
    (0..count)
        .map(|year| {
            let start = RUN_IN_DAYS + year * DAYS_PER_YEAR - PAD_DAYS;
            all[start..start + DAYS_PER_YEAR + 2 * PAD_DAYS].to_vec()
        })
        .collect()
}

/// Share of white ground for each day of each year; snow lies on from year to year.
fn snow_covers(laws: &Laws, years: &[Vec<DrawnDay>]) -> Vec<Vec<f64>> {
    let season: Vec<f64> = laws.days.iter().map(|law| law.temp_c).collect();
    let mut account = SnowAccount::settled(&season);
    years
        .iter()
        .map(|days| {
            days[PAD_DAYS..PAD_DAYS + DAYS_PER_YEAR]
                .iter()
                .map(|day| account.next_day(day.temp_c))
                .collect()
        })
        .collect()
}

/// Spread where normals have none and none could be borrowed: middling figures of temperate places.
fn default_spread() -> super::normals::Spread {
    super::normals::Spread {
        temp_daily_sd_k: [3.5; 12],
        temp_daily_lag1: [0.65; 12],
        clearness_daily_sd: [0.16; 12],
        clearness_daily_lag1: None,
        temp_clearness_correlation: None,
        range_clearness_correlation: None,
        range_daily_cv: None,
        coldest_possible_c: None,
    }
}
