//! The house simulated on the dates of a record, with factors, and read off where the logger has readings.

use super::weather::years;
use crate::calendar::{HOURS_PER_DAY, HOURS_PER_YEAR, SECONDS_PER_HOUR, day_of_date};
use crate::house::{House, HouseRun, Tuned, simulate, simulate_years_chained};
use crate::site::Weather;
use crate::study::{Job, StudyError, run_options};
use crate::tune::logger::Record;
use chrono::{Datelike, NaiveDateTime, Timelike};

/// One hour of readings: model hours since 1 January of the first year, on the logger's clock.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// When, h.
    pub at_h: f64,
    /// Air inside, °C.
    pub air_c: f64,
    /// Root zone, °C.
    pub root_zone_c: Option<f64>,
}

/// The readings in order of time, those kept out of the fit last.
#[derive(Clone, Debug, PartialEq)]
pub struct Observed {
    /// Year whose January begins the count of hours.
    pub first_year: i32,
    /// Calendar years that the record touches.
    pub years: usize,
    /// Readings.
    pub seen: Vec<Seen>,
    /// Number of readings to fit to.
    train: usize,
}

impl Observed {
    /// Readings of a record; 29 February is left out, which the model year has not.
    pub fn new(record: &Record, held_out: f64) -> Self {
        let years = record.readings.iter().map(|reading| reading.at.year());
        let first_year = years.clone().min().unwrap_or(0);
        let last_year = years.max().unwrap_or(0);
        let seen: Vec<Seen> = record
            .readings
            .iter()
            .filter_map(|reading| {
                Some(Seen {
                    at_h: model_hour(first_year, reading.at)?,
                    air_c: reading.air_c?,
                    root_zone_c: reading.root_zone_c,
                })
            })
            .collect();
        let train = (seen.len() as f64 * (1.0 - held_out)).round() as usize;
        Self {
            first_year,
            years: (last_year - first_year + 1).max(1) as usize,
            train: train.min(seen.len()),
            seen,
        }
    }

    /// Readings to fit to.
    pub fn train(&self) -> &[Seen] {
        &self.seen[..self.train]
    }

    /// Readings kept out.
    pub fn kept_out(&self) -> &[Seen] {
        &self.seen[self.train..]
    }

    /// First and last reading of a record.
    pub fn span(&self, record: &Record) -> (NaiveDateTime, NaiveDateTime) {
        let readings = &record.readings;
        let at = |reading: Option<&crate::tune::logger::Reading>| {
            reading.map_or(NaiveDateTime::MIN, |r| r.at)
        };
        (at(readings.first()), at(readings.last()))
    }
}

/// Model hours since 1 January of a year; none on 29 February.
pub fn model_hour(first_year: i32, moment: NaiveDateTime) -> Option<f64> {
    const LEAP: (u32, u32) = (2, 29);
    if (moment.month(), moment.day()) == LEAP {
        return None;
    }
    let years = (moment.year() - first_year) as f64;
    let day = day_of_date(moment.date()) as f64;
    let hours = f64::from(moment.num_seconds_from_midnight()) / SECONDS_PER_HOUR;
    Some(years * HOURS_PER_YEAR as f64 + day * HOURS_PER_DAY as f64 + hours)
}

/// A value between the middles of the hours; none beyond the ends.
pub fn between(hourly: &[f64], at_h: f64) -> Option<f64> {
    const MIDDLE: f64 = 0.5;
    let place = at_h - MIDDLE;
    let before = place.floor();
    if before < 0.0 {
        return hourly.first().copied();
    }
    let before = before as usize;
    let (low, high) = (
        hourly.get(before)?,
        hourly.get(before + 1).or(hourly.get(before))?,
    );
    Some(low + (place - place.floor()) * (high - low))
}

/// Hours that the house lives through before the first reading, at least: two months, in which walls and beds forget
/// how they began (own choice).
const LEAD_HOURS: f64 = 60.0 * HOURS_PER_DAY as f64;

/// Everything that stays the same while factors are tried.
pub struct Bench<'j> {
    job: &'j Job,
    base: &'j Weather,
    history: Option<&'j Weather>,
    record: &'j Record,
    observed: &'j Observed,
    run: HouseRun,
    weathers: Vec<Weather>,
    lead_years: usize,
    shift_h: f64,
}

impl Series {
    /// Mean of several, hour by hour; there must be one.
    pub fn mean(several: &[Self]) -> Self {
        let share = 1.0 / several.len() as f64;
        let column = |of: fn(&Self) -> &Vec<f64>| -> Vec<f64> {
            let hours = of(&several[0]).len();
            (0..hours)
                .map(|hour| several.iter().map(|one| of(one)[hour] * share).sum())
                .collect()
        };
        Self {
            air_c: column(|series| &series.air_c),
            root_zone_c: column(|series| &series.root_zone_c),
        }
    }
}

/// Hourly columns from 1 January of the first year on.
#[derive(Clone, Debug, PartialEq)]
pub struct Series {
    /// Air, °C.
    pub air_c: Vec<f64>,
    /// Root zone of bare beds, °C.
    pub root_zone_c: Vec<f64>,
}

impl<'j> Bench<'j> {
    /// The house as described, settled, with the weather of the record's dates.
    ///
    /// # Errors
    /// As the simulation.
    pub fn new(
        job: &'j Job,
        record: &'j Record,
        observed: &'j Observed,
    ) -> Result<Self, StudyError> {
        let early = observed
            .seen
            .first()
            .is_some_and(|seen| seen.at_h < LEAD_HOURS);
        let mut bench = Self {
            run: settled(job, &job.project.house)?,
            weathers: Vec::new(),
            lead_years: usize::from(early),
            shift_h: 0.0,
            base: &job.site.typical,
            history: None,
            job,
            record,
            observed,
        };
        bench.shift(0.0);
        Ok(bench)
    }

    /// Takes the logger's clock to be so many hours behind.
    pub fn shift(&mut self, shift_h: f64) {
        self.shift_h = shift_h;
        let sky = (self.base, &self.job.sun);
        self.weathers = years(sky, self.record, self.observed, shift_h);
        if self.lead_years > 0 {
            let before = self.history.unwrap_or(self.base);
            self.weathers.insert(0, before.clone());
        }
    }

    /// Hours by which the logger's clock is taken to be behind.
    pub fn shift_h(&self) -> f64 {
        self.shift_h
    }

    /// Does the record say how cold or how bright it was outside, so that the weather moves with its clock?
    pub fn has_outdoor(&self) -> bool {
        self.record.columns.outdoor.is_some() || self.record.columns.sun.is_some()
    }

    /// Local standard time less UTC, h.
    pub fn utc_offset_h(&self) -> f64 {
        self.job.site.place.utc_offset_h
    }

    /// The house as described.
    pub fn house(&self) -> &'j House {
        &self.job.project.house
    }

    /// The readings.
    pub fn observed(&self) -> &'j Observed {
        self.observed
    }

    /// Begins the next simulations in the settled state of the house with these factors.
    ///
    /// # Errors
    /// As the simulation.
    pub fn settle(&mut self, tuned: &Tuned) -> Result<(), StudyError> {
        self.run = settled(self.job, &tuned.apply(self.house()))?;
        Ok(())
    }

    /// The same bench with the clock set otherwise.
    pub fn shifted(&self, shift_h: f64) -> Result<Bench<'j>, StudyError> {
        let mut other = Bench {
            run: self.run.clone(),
            weathers: Vec::new(),
            ..*self
        };
        other.shift(shift_h);
        Ok(other)
    }

    /// The same bench where another year went before the record and, where the record's own are not known, gives sun and wind.
    pub fn under<'o>(&self, other: &'o Weather, own_weather: bool) -> Bench<'o>
    where
        'j: 'o,
    {
        let mut bench = Bench {
            run: self.run.clone(),
            weathers: Vec::new(),
            base: if own_weather { self.base } else { other },
            history: Some(other),
            lead_years: 1,
            ..*self
        };
        bench.shift(self.shift_h);
        bench
    }

    /// Simulates the record's years with factors.
    ///
    /// # Errors
    /// As the simulation.
    pub fn series(&self, tuned: &Tuned) -> Result<Series, StudyError> {
        let years = simulate_years_chained(
            &tuned.apply(self.house()),
            &self.weathers,
            (&self.job.sun, &self.job.site.ground),
            &self.run,
        )?;
        let own = years.get(self.lead_years..).unwrap_or_default();
        let join = |column: fn(&crate::house::HouseYear) -> &Vec<f64>| -> Vec<f64> {
            own.iter()
                .flat_map(|year| column(year).iter().copied())
                .collect()
        };
        Ok(Series {
            air_c: join(|year| &year.air_c),
            root_zone_c: join(|year| &year.root_zone_c),
        })
    }

    /// The simulated air where a reading stands, °C.
    pub fn air_at(&self, series: &Series, seen: &Seen) -> f64 {
        between(&series.air_c, seen.at_h + self.shift_h).unwrap_or(seen.air_c)
    }

    /// The fit of some factors, and of the clock where it is `free`; `noise_k` weighs what is known beforehand.
    pub fn problem<'b>(&'b self, active: &'b [usize], free: bool, noise_k: f64) -> Problem<'b> {
        Problem {
            bench: self,
            active,
            free,
            noise_k,
        }
    }

    /// Simulated less read at a shift of the clock, for the hours to fit to.
    ///
    /// # Errors
    /// As the simulation.
    pub fn off_k(&self, tuned: &Tuned, shift_h: f64) -> Result<Vec<f64>, StudyError> {
        if shift_h != self.shift_h && self.has_outdoor() {
            return self.shifted(shift_h)?.off_k(tuned, shift_h);
        }
        let series = self.series(tuned)?;
        let off = |seen: &Seen| {
            let at = between(&series.air_c, seen.at_h + shift_h);
            at.unwrap_or(seen.air_c) - seen.air_c
        };
        Ok(self.observed.train().iter().map(off).collect())
    }
}

fn settled(job: &Job, house: &House) -> Result<HouseRun, StudyError> {
    let (site, options) = (&job.site, run_options(job));
    Ok(simulate(
        house,
        &site.typical,
        &job.sun,
        &site.ground,
        &options,
    )?)
}

/// Factors from the logarithms of some of them.
pub fn factors(active: &[usize], logs: &[f64]) -> Tuned {
    /// Factors tried at most, as logarithm: the range that the project file takes.
    const FARTHEST: f64 = std::f64::consts::LN_10;
    let mut all = [1.0; Tuned::COUNT];
    for (&at, log) in active.iter().zip(logs) {
        all[at] = log.clamp(-FARTHEST, FARTHEST).exp();
    }
    Tuned::from(all)
}

/// How well a description is known before a logger looks on: standard deviation of the logarithm of a factor (own
/// assumption: two of three figures within a half more or less).
pub const KNOWN_BEFOREHAND: f64 = 0.405;
/// How well the first search knows the clock, h.
const CLOCK_BEFOREHAND_H: f64 = 1.0;

/// Residuals of the air over the hours to fit to, then what is known of each parameter beforehand.
///
/// Parameters are logarithms of factors and, where the clock is free, hours from the bench's shift.
pub struct Problem<'b> {
    bench: &'b Bench<'b>,
    active: &'b [usize],
    free: bool,
    noise_k: f64,
}

impl Problem<'_> {
    /// Residuals for parameters; as many for any.
    ///
    /// # Errors
    /// Why they cannot be computed.
    pub fn residuals(&self, parameters: &[f64]) -> Result<Vec<f64>, StudyError> {
        let (logs, clock) = parameters.split_at(self.active.len());
        let shift_h = self.bench.shift_h + clock.first().copied().unwrap_or(0.0);
        let mut off = self.bench.off_k(&factors(self.active, logs), shift_h)?;
        off.extend(logs.iter().map(|log| log * self.noise_k / KNOWN_BEFOREHAND));
        if self.free {
            off.extend(clock.iter().map(|h| h * self.noise_k / CLOCK_BEFOREHAND_H));
        }
        Ok(off)
    }
}
