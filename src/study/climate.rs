//! The year inside: the first year, the settled year, and the weather years.

use super::{Job, StudyError};
use crate::calendar::day_of_date;
use crate::house::{self, House, HouseRun, HouseYear, RunOptions};
use crate::site::Weather;

/// Midsummer of the northern half of the earth, day of the year from 0: 21 June.
const MIDSUMMER_NORTH_DAY: usize = 171;
/// Midsummer of the southern half, day of the year from 0: 21 December.
const MIDSUMMER_SOUTH_DAY: usize = 354;

/// A building simulated.
#[derive(Clone, Debug)]
pub struct ClimateStudy {
    /// First and settled year in the usual weather.
    pub run: HouseRun,
    /// Consecutive weather years on settled ground; empty where none were asked for.
    pub years: Vec<HouseYear>,
}

/// How a job's building is run.
pub fn run_options(job: &Job) -> RunOptions {
    let midsummer = if job.site.place.latitude_deg < 0.0 {
        MIDSUMMER_SOUTH_DAY
    } else {
        MIDSUMMER_NORTH_DAY
    };
    RunOptions {
        finished_day: job.project.planning.finished.map_or(midsummer, day_of_date),
        ..RunOptions::default()
    }
}

/// Weather years of a job, as many as its project asks for.
pub fn weather_years(job: &Job) -> Vec<Weather> {
    let planning = &job.project.planning;
    job.site
        .weather_years(planning.weather_years, planning.seed, planning.year)
}

/// Simulates a building at the job's site, in the usual year and in the weather years given.
///
/// # Errors
/// [`StudyError::House`] as [`house::simulate`].
pub fn climate(job: &Job, house: &House, weathers: &[Weather]) -> Result<ClimateStudy, StudyError> {
    let options = run_options(job);
    let (sun, ground) = (&job.sun, &job.site.ground);
    let run = house::simulate(house, &job.site.typical, sun, ground, &options)?;
    let years = if weathers.is_empty() {
        Vec::new()
    } else {
        house::simulate_years(house, weathers, sun, ground, &run, &options)?
    };
    Ok(ClimateStudy { run, years })
}

impl ClimateStudy {
    /// The weather years, or the settled year alone where none ran.
    pub fn tried(&self) -> &[HouseYear] {
        if self.years.is_empty() {
            std::slice::from_ref(&self.run.settled)
        } else {
            &self.years
        }
    }

    /// The weather year whose coldest hour is undercut by only one year in ten; none where no weather years ran.
    pub fn hard_year(&self) -> Option<&HouseYear> {
        const HARD_SHARE: f64 = 0.1;
        let mut coldest: Vec<(f64, usize)> = self
            .years
            .iter()
            .map(|year| year.air_c.iter().copied().fold(f64::INFINITY, f64::min))
            .zip(0..)
            .collect();
        coldest.sort_by(|a, b| a.0.total_cmp(&b.0));
        let place = (HARD_SHARE * coldest.len().saturating_sub(1) as f64).round() as usize;
        coldest
            .get(place)
            .and_then(|(_, year)| self.years.get(*year))
    }
}
