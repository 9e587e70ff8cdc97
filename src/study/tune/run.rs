//! The house simulated on the dates of a record, with factors, and read off where the logger has readings; in the weather of these
//! dates: the hourly file's, with the logger's own air and sunlight outside where it has them.

use crate::air::{ZERO_CELSIUS_K, relative_humidity_pct, vapour_pressure_kpa};
use crate::calendar::{HOURS_PER_DAY, HOURS_PER_YEAR, SECONDS_PER_HOUR, day_of_date};
use crate::house::{HouseRun, Tuned, simulate_years_chained};
use crate::site::Weather;
use crate::solar::SunYear;
use crate::study::climate::settled;
use crate::study::{Job, StudyError};
use crate::tune::logger::{Reading, Record};
use chrono::{Datelike, NaiveDateTime, Timelike};

/// One hour of readings: model hours since 1 January of the first year, on the logger's clock.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    pub at_h: f64,
    /// Air inside, °C.
    pub air_c: f64,
    pub root_zone_c: Option<f64>,
}

/// The readings in order of time, those kept out of the fit last.
#[derive(Clone, Debug, PartialEq)]
pub struct Observed {
    /// Year whose January begins the count of hours.
    pub first_year: i32,
    /// Calendar years that the record touches.
    pub years: usize,
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
        let seen = |reading: &Reading| {
            Some(Seen {
                at_h: model_hour(first_year, reading.at)?,
                air_c: reading.air_c?,
                root_zone_c: reading.root_zone_c,
            })
        };
        let seen: Vec<Seen> = record.readings.iter().filter_map(seen).collect();
        let train = (seen.len() as f64 * (1.0 - held_out)).round() as usize;
        Self {
            first_year,
            years: (last_year - first_year + 1).max(1) as usize,
            train: train.min(seen.len()),
            seen,
        }
    }

    pub fn train(&self) -> &[Seen] {
        &self.seen[..self.train]
    }

    pub fn kept_out(&self) -> &[Seen] {
        &self.seen[self.train..]
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
    pub job: &'j Job,
    base: &'j Weather,
    history: Option<&'j Weather>,
    record: &'j Record,
    pub observed: &'j Observed,
    run: HouseRun,
    weathers: Vec<Weather>,
    lead_years: usize,
    /// Hours by which the logger's clock is taken to be behind.
    pub shift_h: f64,
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
    pub air_c: Vec<f64>,
    /// Root zone of bare beds, °C.
    pub root_zone_c: Vec<f64>,
}

impl<'j> Bench<'j> {
    /// The house as described, settled, with the weather of the record's dates.
    pub fn new(
        job: &'j Job,
        record: &'j Record,
        observed: &'j Observed,
    ) -> Result<Self, StudyError> {
        let first = observed.seen.first();
        let early = first.is_some_and(|seen| seen.at_h < LEAD_HOURS);
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

    /// Does the record say how cold or how bright it was outside, so that the weather moves with its clock?
    pub fn has_outdoor(&self) -> bool {
        self.record.columns.outdoor.is_some() || self.record.columns.sun.is_some()
    }

    /// Begins the next simulations in the settled state of the house with these factors.
    pub fn settle(&mut self, tuned: &Tuned) -> Result<(), StudyError> {
        self.run = settled(self.job, &tuned.apply(&self.job.project.house))?;
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
    pub fn series(&self, tuned: &Tuned) -> Result<Series, StudyError> {
        let sky = (&self.job.sun, &self.job.site.ground);
        let house = tuned.apply(&self.job.project.house);
        let years = simulate_years_chained(&house, &self.weathers, sky, &self.run)?;
        let own = years.get(self.lead_years..).unwrap_or_default();
        let join = |column: fn(&crate::house::HouseYear) -> &Vec<f64>| -> Vec<f64> {
            own.iter().flat_map(column).copied().collect()
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

/// One table for each calendar year of the record; what the record does not say is that of `base`.
fn years(
    (base, sun): (&Weather, &SunYear),
    record: &Record,
    observed: &Observed,
    shift_h: f64,
) -> Vec<Weather> {
    let readings = |of: &dyn Fn(&Reading, f64) -> Option<f64>| -> Vec<(f64, f64)> {
        let all = record.readings.iter().filter_map(|reading| {
            let at_h = model_hour(observed.first_year, reading.at)? + shift_h;
            Some((at_h, of(reading, at_h)?))
        });
        let mut all: Vec<(f64, f64)> = all.collect();
        all.dedup_by(|a, b| a.0 <= b.0);
        all
    };
    let differences = readings(&|reading, at_h| {
        let usual = between(&base.temp_air_c, at_h.rem_euclid(HOURS_PER_YEAR as f64))?;
        Some(reading.outdoor_c? - usual)
    });
    let lights = readings(&|reading, _| reading.sun_w_m2);
    (0..observed.years)
        .map(|year| {
            let first = year * HOURS_PER_YEAR;
            let mut weather = base.clone();
            for hour in 0..HOURS_PER_YEAR {
                const MIDDLE: f64 = 0.5;
                if let Some(difference) = line(&differences, (first + hour) as f64 + MIDDLE) {
                    warm(&mut weather, hour, difference);
                }
                let light_w_m2 = light((first + hour) as f64 + MIDDLE, &lights);
                if let (Some(w_m2), Some(sun)) = (light_w_m2, sun.hours.get(hour)) {
                    weather.take_global(hour, sun, w_m2);
                }
            }
            weather
        })
        .collect()
}

/// The sunlight at a moment, in a straight line between readings that are near; none in a gap.
fn light(at_h: f64, lights: &[(f64, f64)]) -> Option<f64> {
    /// Hours between readings beyond which nothing is said between them (own choice).
    const NEAR_H: f64 = 2.0;
    let after = lights.partition_point(|(known_h, _)| *known_h < at_h);
    let next = lights.get(after)?;
    if next.0 == at_h {
        return Some(next.1);
    }
    let before = lights.get(after.checked_sub(1)?)?;
    let share = (at_h - before.0) / (next.0 - before.0);
    (next.0 - before.0 <= NEAR_H).then_some(before.1 + share * (next.1 - before.1))
}

/// Hours before and after the record over which the difference to the file fades (own choice: two days).
const FADE_H: f64 = 48.0;

/// The difference at a moment, in a straight line between readings; fading before the first and after the last.
fn line(differences: &[(f64, f64)], at_h: f64) -> Option<f64> {
    let after = differences.partition_point(|(known_h, _)| *known_h <= at_h);
    let faded = |known: &(f64, f64)| {
        let share = 1.0 - (known.0 - at_h).abs() / FADE_H;
        (share > 0.0).then_some(known.1 * share)
    };
    let before = after.checked_sub(1).and_then(|at| differences.get(at));
    match (before, differences.get(after)) {
        (Some(before), Some(next)) => {
            let share = (at_h - before.0) / (next.0 - before.0);
            Some(before.1 + share * (next.1 - before.1))
        }
        (Some(only), None) | (None, Some(only)) => faded(only),
        (None, None) => None,
    }
}

/// An hour so much warmer: the air keeps its vapour as far as it can hold it, the sky its emissivity.
fn warm(weather: &mut Weather, hour: usize, difference_k: f64) {
    let old_c = weather.temp_air_c[hour];
    let new_c = old_c + difference_k;
    let vapour_kpa = vapour_pressure_kpa(old_c, weather.relative_humidity_pct[hour]);
    weather.temp_air_c[hour] = new_c;
    weather.relative_humidity_pct[hour] =
        relative_humidity_pct(new_c, vapour_kpa).clamp(0.0, 100.0);
    let ratio = (new_c + ZERO_CELSIUS_K) / (old_c + ZERO_CELSIUS_K);
    weather.sky_long_wave_w_m2[hour] *= ratio.powi(4);
}
