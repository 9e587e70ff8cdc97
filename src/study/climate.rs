//! The year inside: the first year, the settled year, and the weather years.

use chrono::NaiveDate;

use super::year_inside::{Asked, GROWN_YEARS, YearInside};
use super::{Job, StudyError};
use crate::calendar::{HOURS_PER_DAY, day_of_date};
use crate::file::Planning;
use crate::house::{self, House, HouseRun, HouseYear, RunOptions};
use crate::profile::quantile;
use crate::site::{Site, Weathers};
use crate::solar::SunYear;

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
    /// The settled one.
    pub settled: YearInside,
    /// Place of that weather year among `years`; none where none ran.
    pub middle: Option<usize>,
    /// Air outside in the weather of `run`, °C by hour.
    pub outside_c: Vec<f64>,
}

/// How a job's building is run.
pub fn run_options(job: &Job) -> RunOptions {
    options_at(&job.site, &job.project.planning)
}

fn options_at(site: &Site, planning: &Planning) -> RunOptions {
    let midsummer = if site.place.latitude_deg < 0.0 {
        MIDSUMMER_SOUTH_DAY
    } else {
        MIDSUMMER_NORTH_DAY
    };
    RunOptions {
        finished_day: planning.finished.map_or(midsummer, day_of_date),
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
    climate_on(job, house, settled(job, house)?, weathers)
}

/// The weather years of a job and its own building in them.
///
/// # Errors
/// As [`climate`].
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
    if weathers.is_empty() {
        let study = climate_on(job, house, run?, &weathers)?;
        let made = make(study.tried(), &weathers)?;
        return Ok((weathers, study, made));
    }
    let years = years_from(job, house, run?, &weathers, asked)?;
    let at = (&job.site, &job.sun, &job.project.planning);
    let drawn = || drawn(at, house, (&years, &weathers), asked);
    let (study, made) = rayon::join(drawn, || make(&years, &weathers));
    let (study, made) = (study?, made?);
    Ok((weathers, ClimateStudy { years, ..study }, made))
}

/// A building from the day it is finished until a usual year repeats itself.
pub(super) fn settled(job: &Job, house: &House) -> Result<HouseRun, StudyError> {
    job.goes_on()?;
    let (site, options) = (&job.site, run_options(job));
    let run = house::simulate(house, &site.typical, &job.sun, &site.ground, &options)?;
    Ok(run)
}

fn climate_on(
    job: &Job,
    house: &House,
    run: HouseRun,
    weathers: &Weathers,
) -> Result<ClimateStudy, StudyError> {
    let goes_on = || job.goes_on();
    let at = (&job.site, &job.sun, &job.project.planning);
    climate_from(at, house, (run, weathers), &Asked::by(job), &goes_on)
}

/// A building in weather years without a year of its own to draw or follow, which takes years more to settle.
///
/// # Errors
/// As [`climate`].
pub(super) fn climate_to_try(
    job: &Job,
    house: &House,
    weathers: &Weathers,
) -> Result<ClimateStudy, StudyError> {
    let (run, asked) = (settled(job, house)?, Asked::by(job));
    let years = years_from(job, house, run.clone(), weathers, &asked)?;
    Ok(ClimateStudy {
        first: asked.year(&job.site, &job.sun, &run.first),
        settled: asked.year(&job.site, &job.sun, &run.settled),
        run,
        years: if weathers.is_empty() {
            Vec::new()
        } else {
            years
        },
        middle: None,
        outside_c: job.site.typical.temp_air_c.clone(),
    })
}

/// The same at a site that many buildings stand on.
///
/// # Errors
/// As [`climate`].
pub(super) fn climate_at(
    (site, sun, planning): (&Site, &SunYear, &Planning),
    house: &House,
    weathers: &Weathers,
    asked: &Asked,
    goes_on: &(impl Fn() -> Result<(), StudyError> + Sync),
) -> Result<ClimateStudy, StudyError> {
    let options = options_at(site, planning);
    let run = house::simulate(house, &site.typical, sun, &site.ground, &options)?;
    climate_from(
        (site, sun, planning),
        house,
        (run, weathers),
        asked,
        goes_on,
    )
}

fn climate_from(
    (site, sun, planning): (&Site, &SunYear, &Planning),
    house: &House,
    (run, weathers): (HouseRun, &Weathers),
    asked: &Asked,
    goes_on: &(impl Fn() -> Result<(), StudyError> + Sync),
) -> Result<ClimateStudy, StudyError> {
    let kept = |year: &HouseYear| asked.year(site, sun, year);
    if weathers.is_empty() {
        return Ok(ClimateStudy {
            first: kept(&run.first),
            settled: kept(&run.settled),
            run,
            years: Vec::new(),
            middle: None,
            outside_c: site.typical.temp_air_c.clone(),
        });
    }
    let sky = (sun, &site.ground);
    let years = house::simulate_each(house, weathers, sky, &run, |at, year| {
        goes_on()?;
        Ok::<_, StudyError>(asked.weather_year(at, (site, sun), year))
    })?;
    let study = drawn((site, sun, planning), house, (&years, weathers), asked)?;
    Ok(ClimateStudy { years, ..study })
}

/// The one of some weather years that is drawn or followed, which settles anew; the years themselves are the caller's to put in.
fn drawn(
    (site, sun, planning): (&Site, &SunYear, &Planning),
    house: &House,
    (years, weathers): (&[YearInside], &Weathers),
    asked: &Asked,
) -> Result<ClimateStudy, StudyError> {
    let options = options_at(site, planning);
    let kept = |year: &HouseYear| asked.year(site, sun, year);
    let middle = middle_year(years);
    let weather = weathers.year(middle);
    // The usual weather is smooth: its year has no cold snaps. What is drawn or followed is a year that can be.
    let run = house::simulate(house, &weather, sun, &site.ground, &options)?;
    Ok(ClimateStudy {
        first: kept(&run.first),
        settled: kept(&run.settled),
        run,
        years: Vec::new(),
        middle: Some(middle),
        outside_c: weather.temp_air_c.clone(),
    })
}

/// The weather years of a building that is only held against another: without a year to draw or follow, which takes two
/// years more to settle. Where there is no weather, the settled year of the usual weather.
///
/// # Errors
/// As [`climate`].
pub(super) fn years_inside(
    job: &Job,
    house: &House,
    weathers: &Weathers,
) -> Result<Vec<YearInside>, StudyError> {
    years_from(job, house, settled(job, house)?, weathers, &Asked::by(job))
}

/// The same without its beds, where only the building's figures are looked at.
///
/// # Errors
/// As [`climate`].
pub(super) fn building_inside(
    job: &Job,
    house: &House,
    weathers: &Weathers,
) -> Result<Vec<YearInside>, StudyError> {
    let asked = Asked::of_building(job);
    years_from(job, house, settled(job, house)?, weathers, &asked)
}

pub(super) fn years_from(
    job: &Job,
    house: &House,
    run: HouseRun,
    weathers: &Weathers,
    asked: &Asked,
) -> Result<Vec<YearInside>, StudyError> {
    let (site, sun) = (&job.site, &job.sun);
    if weathers.is_empty() {
        return Ok(vec![asked.year(site, sun, &run.settled)]);
    }
    let sky = (sun, &site.ground);
    house::simulate_each(house, weathers, sky, &run, |at, year| {
        job.goes_on()?;
        Ok(asked.weather_year(at, (site, sun), year))
    })
}

/// The years of a study of the job's own building in which crops are followed once more, for those who ask for their hours.
///
/// # Errors
/// As [`climate`].
pub(super) fn hours_again<T: Send>(
    job: &Job,
    study: &ClimateStudy,
    of: impl Fn(&HouseYear) -> T + Sync,
) -> Result<Vec<T>, StudyError> {
    if study.years.is_empty() {
        return Ok(vec![of(&study.run.settled)]);
    }
    let (site, house, options) = (&job.site, &job.project.house, run_options(job));
    let weathers = weather_years_of(job, study.years.len());
    let weathers = weathers.first(study.grown().len());
    let run = house::simulate(house, &site.typical, &job.sun, &site.ground, &options)?;
    let sky = (&job.sun, &site.ground);
    house::simulate_each(house, &weathers, sky, &run, |_, year| {
        job.goes_on()?;
        Ok(of(year))
    })
}

/// Mean of a figure over years.
pub(super) fn mean_of(years: &[YearInside], of: impl Fn(&YearInside) -> f64) -> f64 {
    years.iter().map(of).sum::<f64>() / years.len() as f64
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
            run: self.run.clone(),
            first: self.first.clone(),
            settled: self.settled.clone(),
            years: self.years.iter().take(count).cloned().collect(),
            middle: self.middle,
            outside_c: self.outside_c.clone(),
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

    /// Heat from the heater in a year, kWh, mean of the weather years; none where none ran.
    pub fn mean_heater_kwh(&self) -> Option<f64> {
        self.mean(|year| year.year.heater_kwh)
    }

    /// Electricity of the fans in a year, kWh, mean of the weather years.
    pub fn mean_fan_kwh(&self) -> Option<f64> {
        self.mean(|year| year.fans_kwh)
    }

    fn mean(&self, of: impl Fn(&YearInside) -> f64) -> Option<f64> {
        let sum: f64 = self.years.iter().map(of).sum();
        (!self.years.is_empty()).then(|| sum / self.years.len() as f64)
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

    /// Mean of a figure over the weather years, or that of the settled year where none ran.
    pub fn mean_of_tried(&self, of: impl Fn(&YearInside) -> f64) -> f64 {
        mean_of(self.tried(), of)
    }

    /// Median of a figure over the weather years, or that of the settled year where none ran.
    pub fn median_of_tried(&self, of: impl Fn(&YearInside) -> f64) -> f64 {
        let mut values: Vec<f64> = self.tried().iter().map(of).collect();
        values.sort_by(f64::total_cmp);
        quantile(&values, 0.5).unwrap_or(f64::NAN)
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
        coldest
            .get(place)
            .and_then(|(_, year)| Some((*year, self.years.get(*year)?)))
    }
}
