//! The year inside: the first year, the settled year, and the weather years.

use chrono::NaiveDate;

use super::year_inside::{Asked, GROWN_YEARS, YearInside};
use super::{Job, StudyError};
use crate::calendar::{HOURS_PER_DAY, day_of_date};
use crate::house::{self, House, HouseRun, HouseYear, RunOptions};
use crate::profile::{Quantiles, quantile};
use crate::site::{Weather, Weathers};

/// Midsummer of the northern half of the earth, day of the year from 0: 21 June.
const MIDSUMMER_NORTH_DAY: usize = 171;
/// Midsummer of the southern half, day of the year from 0: 21 December.
const MIDSUMMER_SOUTH_DAY: usize = 354;

/// A building simulated.
#[derive(Clone, Debug)]
pub struct ClimateStudy {
    /// First and settled year: in the weather year nearest to the medians of all, repeating itself; where no weather years
    /// ran, in the usual weather.
    pub run: HouseRun,
    /// Consecutive weather years on settled ground; empty where none were asked for.
    pub years: Vec<YearInside>,
    /// First and settled year of `run` in the same figures.
    pub first: YearInside,
    pub settled: YearInside,
    /// Place of that weather year among `years`; none where none ran.
    pub middle: Option<usize>,
    /// Air outside in the weather of `run`, °C by hour.
    pub outside_c: Vec<f64>,
}

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
pub fn weather_years(job: &Job) -> Weathers {
    weather_years_of(job, job.project.planning.weather_years)
}

/// So many of them.
pub(super) fn weather_years_of(job: &Job, count: usize) -> Weathers {
    let planning = &job.project.planning;
    Weathers::new(
        &job.site.year_source,
        count,
        (planning.seed, planning.year),
        job.project.site_override.ground_reflectance,
    )
}

/// Simulates a building at the job's site, in the usual year and in the weather years given.
///
/// # Errors
/// [`StudyError::House`] as [`house::simulate`].
pub fn climate(job: &Job, house: &House, weathers: &Weathers) -> Result<ClimateStudy, StudyError> {
    climate_asked(job, house, weathers, &Asked::by(job))
}

/// The same where other figures of each year are asked for.
pub(super) fn climate_asked(
    job: &Job,
    house: &House,
    weathers: &Weathers,
    asked: &Asked,
) -> Result<ClimateStudy, StudyError> {
    let run = settled(job, house)?;
    if weathers.is_empty() {
        return Ok(of_run(job, run, &job.site.typical, asked));
    }
    let years = years_from(job, house, &run, weathers, asked)?;
    let study = drawn(job, house, (&years, weathers), asked)?;
    Ok(ClimateStudy { years, ..study })
}

/// The weather years of a job and its own building in them.
pub fn climate_of_years(job: &Job) -> Result<(Weathers, ClimateStudy), StudyError> {
    let (weathers, study, ()) = climate_beside(job, &Asked::by(job), |_, _| Ok(()))?;
    Ok((weathers, study))
}

/// The same with what is made of the years ([`ClimateStudy::tried`]) while the one that is drawn settles, which keeps one core
/// busy only. The building settles in the usual year while the weather is made.
pub(super) fn climate_beside<T: Send>(
    job: &Job,
    asked: &Asked,
    make: impl FnOnce(&[YearInside], &Weathers) -> Result<T, StudyError> + Send,
) -> Result<(Weathers, ClimateStudy, T), StudyError> {
    let house = &job.project.house;
    let (weathers, run) = rayon::join(|| weather_years(job), || settled(job, house));
    let run = run?;
    if weathers.is_empty() {
        let study = of_run(job, run, &job.site.typical, &Asked::by(job));
        let made = make(study.tried(), &weathers)?;
        return Ok((weathers, study, made));
    }
    let years = years_from(job, house, &run, &weathers, asked)?;
    let drawn = || drawn(job, house, (&years, &weathers), asked);
    let (study, made) = rayon::join(drawn, || make(&years, &weathers));
    let (study, made) = (study?, made?);
    Ok((weathers, ClimateStudy { years, ..study }, made))
}

/// A building from the day it is finished until a usual year repeats itself.
pub(super) fn settled(job: &Job, house: &House) -> Result<HouseRun, StudyError> {
    job.goes_on()?;
    settled_in(job, house, &job.site.typical)
}

/// The same where another year repeats itself.
fn settled_in(job: &Job, house: &House, weather: &Weather) -> Result<HouseRun, StudyError> {
    let options = run_options(job);
    let run = house::simulate(house, weather, &job.sun, &job.site.ground, &options)?;
    Ok(run)
}

/// What is kept of a run in some weather, without weather years.
fn of_run(job: &Job, run: HouseRun, weather: &Weather, asked: &Asked) -> ClimateStudy {
    let kept = |year: &HouseYear| asked.year(&job.site, &job.sun, year);
    ClimateStudy {
        first: kept(&run.first),
        settled: kept(&run.settled),
        run,
        years: Vec::new(),
        middle: None,
        outside_c: weather.temp_air_c.clone(),
    }
}

/// A building in weather years without a year of its own to draw or follow, which takes years more to settle.
pub(super) fn climate_to_try(
    job: &Job,
    house: &House,
    weathers: &Weathers,
) -> Result<ClimateStudy, StudyError> {
    let (run, asked) = (settled(job, house)?, Asked::by(job));
    let years = match weathers.is_empty() {
        true => Vec::new(),
        false => years_from(job, house, &run, weathers, &asked)?,
    };
    let study = of_run(job, run, &job.site.typical, &asked);
    Ok(ClimateStudy { years, ..study })
}

/// The one of some weather years that is drawn or followed, which settles anew; the years themselves are the caller's to put in.
fn drawn(
    job: &Job,
    house: &House,
    (years, weathers): (&[YearInside], &Weathers),
    asked: &Asked,
) -> Result<ClimateStudy, StudyError> {
    let middle = middle_year(years);
    let weather = weathers.year(middle);
    // The usual weather is smooth: its year has no cold snaps. What is drawn or followed is a year that can be.
    let study = of_run(job, settled_in(job, house, &weather)?, &weather, asked);
    Ok(ClimateStudy {
        middle: Some(middle),
        ..study
    })
}

/// The weather years of a building that is only held against another: without a year to draw or follow, which takes two
/// years more to settle. Where there is no weather, the settled year of the usual weather.
pub(super) fn years_inside(
    job: &Job,
    house: &House,
    weathers: &Weathers,
) -> Result<Vec<YearInside>, StudyError> {
    years_from(job, house, &settled(job, house)?, weathers, &Asked::by(job))
}

/// The same without its beds, where only the building's figures are looked at.
pub(super) fn building_inside(
    job: &Job,
    house: &House,
    weathers: &Weathers,
) -> Result<Vec<YearInside>, StudyError> {
    let asked = Asked::of_building(job);
    years_from(job, house, &settled(job, house)?, weathers, &asked)
}

fn years_from(
    job: &Job,
    house: &House,
    run: &HouseRun,
    weathers: &Weathers,
    asked: &Asked,
) -> Result<Vec<YearInside>, StudyError> {
    if weathers.is_empty() {
        return Ok(vec![asked.year(&job.site, &job.sun, &run.settled)]);
    }
    each_year(job, house, run, weathers, |at, year| {
        asked.weather_year(at, (&job.site, &job.sun), year)
    })
}

/// What is made of each weather year of a building, from its settled state on.
fn each_year<T: Send>(
    job: &Job,
    house: &House,
    run: &HouseRun,
    weathers: &Weathers,
    of: impl Fn(usize, &HouseYear) -> T + Sync,
) -> Result<Vec<T>, StudyError> {
    let sky = (&job.sun, &job.site.ground);
    house::simulate_each(house, weathers, sky, run, |at, year| {
        job.goes_on()?;
        Ok(of(at, year))
    })
}

/// The years of a study of the job's own building in which crops are followed once more, for those who ask for their hours.
pub(super) fn hours_again<T: Send>(
    job: &Job,
    study: &ClimateStudy,
    of: impl Fn(&HouseYear) -> T + Sync,
) -> Result<Vec<T>, StudyError> {
    if study.years.is_empty() {
        return Ok(vec![of(&study.run.settled)]);
    }
    let house = &job.project.house;
    let weathers = weather_years_of(job, study.years.len());
    let weathers = weathers.first(study.grown().len());
    let run = settled(job, house)?;
    each_year(job, house, &run, &weathers, |_, year| of(year))
}

pub(super) fn mean_of(years: &[YearInside], of: impl Fn(&YearInside) -> f64) -> f64 {
    years.iter().map(of).sum::<f64>() / years.len() as f64
}

/// Median of a figure over years; not a number for none.
pub(super) fn median_of(years: &[YearInside], of: impl Fn(&YearInside) -> f64) -> f64 {
    let values: Vec<f64> = years.iter().map(of).collect();
    Quantiles::of(&values).map_or(f64::NAN, |found| found.p50)
}

/// The year nearest to the medians of all: in the air's mean and coldest hour, the root zone's mean and the light of each
/// month, each by its spread over the years, and in the year's coldest hour, which counts as much as twelve of these.
fn middle_year(years: &[YearInside]) -> usize {
    /// Weight of the year's coldest hour against a figure of one month.
    const COLDEST: f64 = 12.0;
    let figures: Vec<Vec<f64>> = years.iter().map(figures_of).collect();
    let count = figures.first().map_or(0, Vec::len);
    let mut off = vec![0.0; years.len()];
    for at in 0..count {
        let mut column: Vec<f64> = figures.iter().map(|year| year[at]).collect();
        column.sort_by(f64::total_cmp);
        let [low, middle, high] =
            [0.1, 0.5, 0.9].map(|share| quantile(&column, share).unwrap_or(0.0));
        let spread = (high - low).max(f64::MIN_POSITIVE);
        let weight = if at == 0 { COLDEST } else { 1.0 };
        for (off, year) in off.iter_mut().zip(&figures) {
            *off += weight * ((year[at] - middle) / spread).powi(2);
        }
    }
    let nearest = (0..years.len()).min_by(|a, b| off[*a].total_cmp(&off[*b]));
    nearest.unwrap_or(0)
}

/// The year's coldest hour of the air first, then the figures of its months.
fn figures_of(year: &YearInside) -> Vec<f64> {
    let months = year.months.iter().flat_map(|month| {
        [
            month.air_mean_c,
            month.air_min_c,
            month.root_zone_mean_c,
            month.light_mol_m2_day,
        ]
    });
    std::iter::once(year.coldest_air_c())
        .chain(months)
        .collect()
}

impl ClimateStudy {
    /// The same climate with the first weather years alone.
    pub fn first_years(&self, count: usize) -> Self {
        Self {
            years: self.years.iter().take(count).cloned().collect(),
            ..self.clone()
        }
    }

    /// The year that is drawn or followed, by name.
    pub fn year_name(&self) -> String {
        match self.middle {
            Some(at) => format!(
                "weather year {} of {}, the one nearest to the medians",
                at + 1,
                self.years.len()
            ),
            None => "the usual year, which has no cold snaps".to_owned(),
        }
    }

    /// The hard year beside it, by name; empty where no weather years ran.
    pub fn hard_year_name(&self) -> String {
        self.hard_year().map_or_else(String::new, |(at, _)| {
            format!("weather year {}, colder than nine in ten", at + 1)
        })
    }

    pub fn mean_of_years(&self, of: impl Fn(&YearInside) -> f64) -> Option<f64> {
        (!self.years.is_empty()).then(|| mean_of(&self.years, of))
    }

    /// First and last day from `from` to `to` on which the cover of a bed climate (the bare middle counted first) lies in
    /// the usual year; none where it never does.
    pub fn cover_days(
        &self,
        climate: usize,
        from: NaiveDate,
        to: NaiveDate,
    ) -> Option<(NaiveDate, NaiveDate)> {
        let on = &self.run.settled.parts.get(climate.checked_sub(1)?)?.on;
        let lies = |date: &NaiveDate| {
            let hours = day_of_date(*date) * HOURS_PER_DAY;
            let day = on.get(hours..hours + HOURS_PER_DAY).unwrap_or_default();
            day.iter().any(|share| *share > 0.0)
        };
        let days = || from.iter_days().take_while(|date| *date <= to);
        Some((days().find(lies)?, days().filter(lies).last()?))
    }

    pub fn mean_of_tried(&self, of: impl Fn(&YearInside) -> f64) -> f64 {
        mean_of(self.tried(), of)
    }

    pub fn median_of_tried(&self, of: impl Fn(&YearInside) -> f64) -> f64 {
        median_of(self.tried(), of)
    }

    /// The weather years, or the settled year alone where none ran.
    pub fn tried(&self) -> &[YearInside] {
        if self.years.is_empty() {
            std::slice::from_ref(&self.settled)
        } else {
            &self.years
        }
    }

    /// Those of them in which crops are followed, the first [`GROWN_YEARS`].
    pub fn grown(&self) -> &[YearInside] {
        let tried = self.tried();
        &tried[..tried.len().min(GROWN_YEARS)]
    }

    /// The weather year whose coldest hour is undercut by only one year in ten, and its place; none where no weather years
    /// ran.
    pub fn hard_year(&self) -> Option<(usize, &YearInside)> {
        const HARD_SHARE: f64 = 0.1;
        let mut coldest: Vec<(f64, usize)> = self
            .years
            .iter()
            .map(YearInside::coldest_air_c)
            .zip(0..)
            .collect();
        coldest.sort_by(|a, b| a.0.total_cmp(&b.0));
        let place = (HARD_SHARE * coldest.len().saturating_sub(1) as f64).round() as usize;
        let (_, year) = coldest.get(place)?;
        Some((*year, self.years.get(*year)?))
    }
}
