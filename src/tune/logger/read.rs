//! The readings of a logger, hour by hour in local standard time.

use std::collections::BTreeMap;

use chrono::{Duration, NaiveDateTime, Timelike};

use super::cells::{
    Cells, ROWS_MAX, cells, celsius, guess_scale, is_moment, mostly, scale, sunlight,
};
use super::clock::{Clock, day_part, stamp, standard_time};
use super::columns::{Columns, Wanted};
use crate::sheet::{self, DateOrder};

/// One hour of a logger.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Mean moment of the hour's readings, local standard time as the logger has it.
    pub at: NaiveDateTime,
    /// Air inside, °C.
    pub air_c: Option<f64>,
    /// Air outside, °C.
    pub outdoor_c: Option<f64>,
    /// Root zone, °C.
    pub root_zone_c: Option<f64>,
    /// Sunlight on the level outside, W/m2.
    pub sun_w_m2: Option<f64>,
}

/// Hours without a reading of the air inside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    /// First hour without one.
    pub from: NaiveDateTime,
    /// Hours without one.
    pub hours: usize,
}

/// A logger's record.
#[derive(Clone, Debug, PartialEq)]
pub struct Record {
    /// Where the columns were found.
    pub columns: Columns,
    /// Whether the figures are °F.
    pub fahrenheit: bool,
    /// Rows with a moment.
    pub rows: usize,
    /// Usual time between rows, minutes.
    pub interval_min: f64,
    /// One reading for each hour that has one, in order.
    pub readings: Vec<Reading>,
    /// Hours without a reading, in order.
    pub gaps: Vec<Gap>,
    /// Rows left out: line and reason.
    pub bad: Vec<(usize, String)>,
    /// Lines before which the clock was set back.
    pub set_back: Vec<usize>,
}

/// How to read a logger's CSV.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// Columns as named.
    pub wanted: Wanted,
    /// What the clock shows.
    pub clock: Clock,
    /// Local standard time less UTC, h.
    pub utc_offset_h: f64,
    /// Order of day and month, where named.
    pub order: Option<DateOrder>,
    /// Whether the figures are °F, where named.
    pub fahrenheit: Option<bool>,
}

/// Why a logger's CSV cannot be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file}{}: {what}", line.map_or_else(String::new, |line| format!(":{line}")))]
pub struct LoggerError {
    /// File name in messages.
    pub file: String,
    /// Line, where one is to blame.
    pub line: Option<usize>,
    /// What is wrong, and what would be right.
    pub what: String,
}

/// Reads a logger's CSV; `file` is the name shown in messages.
///
/// # Errors
/// [`LoggerError`] where time or air cannot be found or told for certain, or nothing can be read.
pub fn read(file: &str, text: &str, options: &Options) -> Result<Record, LoggerError> {
    let fail = |line: Option<usize>, what: String| LoggerError {
        file: file.to_owned(),
        line,
        what,
    };
    let cells = cells(text).ok_or_else(|| {
        let what = "no row begins with a date and holds a reading; is it the logger's CSV?";
        fail(None, what.to_owned())
    })?;
    if cells.rows.len() > ROWS_MAX {
        let what = format!("more than {ROWS_MAX} rows; hand over a part of the record");
        return Err(fail(None, what));
    }
    let all = 0..cells.heads.len();
    let is_number = |cell: &str| sheet::number(cell, cells.comma_decimal).is_ok();
    let numeric: Vec<bool> = all
        .clone()
        .map(|at| mostly(&cells, at, is_number))
        .collect();
    let dated: Vec<bool> = all.map(|at| mostly(&cells, at, is_moment)).collect();
    let mut columns = Columns::find(&cells.heads, (&numeric, &dated), &options.wanted)
        .map_err(|what| fail(None, what))?;
    if mostly(&cells, columns.time, |cell| cell.contains(':')) {
        columns.clock = None;
    }
    let days = cells
        .rows
        .iter()
        .filter_map(|(_, row)| row.get(columns.time));
    let order = options
        .order
        .or_else(|| sheet::order(days.map(|day| day_part(day.trim()))));
    let fahrenheit = match options
        .fahrenheit
        .or_else(|| scale(columns.head(columns.air)))
    {
        Some(known) => known,
        None => guess_scale(&cells, columns.air).map_err(|what| fail(None, what))?,
    };
    let mut record = Record {
        columns,
        fahrenheit,
        rows: 0,
        interval_min: 0.0,
        readings: Vec::new(),
        gaps: Vec::new(),
        bad: Vec::new(),
        set_back: Vec::new(),
    };
    let moments = moments(&cells, &mut record, options, order);
    // A file of which most rows cannot be put in time is not read wrongly in part.
    if let Some((line, what)) = record.bad.first()
        && moments.len() < record.bad.len()
    {
        return Err(fail(Some(*line), what.clone()));
    }
    record.rows = moments.len();
    record.interval_min = interval_min(&moments);
    gather(&cells, &moments, &mut record);
    let mut readings = record.readings.iter();
    if readings.all(|reading| reading.air_c.is_none()) {
        let head = record.columns.head(record.columns.air);
        let what = format!("`{head}` holds no temperature that can be");
        return Err(fail(None, what));
    }
    record.gaps = gaps(&record.readings);
    Ok(record)
}

/// A row's moment in local standard time, by its place in the rows.
type Moments = Vec<(usize, NaiveDateTime)>;

fn moments(
    cells: &Cells,
    record: &mut Record,
    options: &Options,
    order: Option<DateOrder>,
) -> Moments {
    let mut moments: Moments = Vec::with_capacity(cells.rows.len());
    for (at, (line, row)) in cells.rows.iter().enumerate() {
        let day = row.get(record.columns.time).map_or("", String::as_str);
        let clock = record
            .columns
            .clock
            .and_then(|at| row.get(at))
            .map(String::as_str);
        let before = moments.last().map(|(_, moment)| *moment);
        let found = stamp(day, clock, order).and_then(|stamp| {
            standard_time(stamp, options.clock, options.utc_offset_h, before)
                .ok_or_else(|| format!("`{day}` is an hour that the clock left out in spring"))
        });
        match found {
            Ok(moment) => {
                if before.is_some_and(|before| moment < before) {
                    record.set_back.push(*line);
                }
                moments.push((at, moment));
            }
            Err(what) => record.bad.push((*line, what)),
        }
    }
    moments
}

/// Middle of the times between rows, minutes.
fn interval_min(moments: &Moments) -> f64 {
    const SECONDS_PER_MINUTE: f64 = 60.0;
    let mut steps: Vec<i64> = moments
        .windows(2)
        .map(|pair| (pair[1].1 - pair[0].1).num_seconds())
        .filter(|step| *step > 0)
        .collect();
    steps.sort_unstable();
    steps
        .get(steps.len() / 2)
        .map_or(0.0, |step| *step as f64 / SECONDS_PER_MINUTE)
}

/// Sum and number.
#[derive(Clone, Copy, Default)]
struct Mean(f64, usize);

impl Mean {
    fn add(&mut self, value: Option<f64>) {
        if let Some(value) = value {
            self.0 += value;
            self.1 += 1;
        }
    }

    fn value(self) -> Option<f64> {
        (self.1 > 0).then(|| self.0 / self.1 as f64)
    }
}

/// The moment at which the hour of another begins.
fn hour_of(moment: NaiveDateTime) -> NaiveDateTime {
    let hour = moment.date().and_hms_opt(moment.hour(), 0, 0);
    hour.unwrap_or(moment)
}

/// Puts the rows into hours; readings that cannot be are left out and named.
fn gather(cells: &Cells, moments: &Moments, record: &mut Record) {
    let mut hours: BTreeMap<NaiveDateTime, ([Mean; 4], Mean)> = BTreeMap::new();
    let columns = [
        Some(record.columns.air),
        record.columns.outdoor,
        record.columns.root_zone,
        record.columns.sun,
    ];
    const SUN: usize = 3;
    for (at, moment) in moments {
        let (line, row) = &cells.rows[*at];
        let hour = hour_of(*moment);
        let (means, time) = hours.entry(hour).or_default();
        time.add(Some((*moment - hour).num_seconds() as f64));
        for (what, (mean, column)) in means.iter_mut().zip(columns).enumerate() {
            let Some(cell) = column
                .and_then(|column| row.get(column))
                .filter(|cell| !cell.is_empty())
            else {
                continue;
            };
            let value = if what == SUN {
                sunlight(cell, cells.comma_decimal)
            } else {
                celsius(cell, cells.comma_decimal, record.fahrenheit)
            };
            match value {
                Ok(value) => mean.add(Some(value)),
                Err(what) => record.bad.push((*line, what)),
            }
        }
    }
    record.bad.sort_by_key(|(line, _)| *line);
    record.readings = hours
        .into_iter()
        .map(|(hour, ([air, outdoor, root, sun], time))| Reading {
            at: hour + Duration::seconds(time.value().unwrap_or(0.0).round() as i64),
            air_c: air.value(),
            outdoor_c: outdoor.value(),
            root_zone_c: root.value(),
            sun_w_m2: sun.value(),
        })
        .collect();
}

/// Hours without air between the first reading and the last.
fn gaps(readings: &[Reading]) -> Vec<Gap> {
    let mut gaps = Vec::new();
    let mut last: Option<NaiveDateTime> = None;
    for reading in readings.iter().filter(|reading| reading.air_c.is_some()) {
        let hour = hour_of(reading.at);
        if let Some(last) = last {
            let missing = (hour - last).num_hours() - 1;
            if missing > 0 {
                gaps.push(Gap {
                    from: last + Duration::hours(1),
                    hours: missing as usize,
                });
            }
        }
        last = Some(hour);
    }
    gaps
}
