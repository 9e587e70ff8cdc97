//! Residuals judged: root mean square and bias, and the mean of each day.

use super::run::{Bench, Seen, Series, between};
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY, date_of_day};
use chrono::NaiveDate;

/// Simulated less read, before tuning and after.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Quality {
    pub hours: usize,
    /// Root mean square before, K.
    pub rms_before_k: f64,
    /// Root mean square after, K.
    pub rms_after_k: f64,
    /// Mean before, K.
    pub bias_before_k: f64,
    /// Mean after, K.
    pub bias_after_k: f64,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DayResidual {
    pub date: NaiveDate,
    /// Simulated less read before tuning, K.
    pub before_k: f64,
    /// Simulated less read after tuning, K.
    pub after_k: f64,
    /// Was it kept out of the fit?
    pub kept_out: bool,
}

/// A record judged.
pub struct Judged {
    pub train: Quality,
    pub kept_out: Option<Quality>,
    pub root_zone: Option<Quality>,
    pub days: Vec<DayResidual>,
}

/// Sets a record against the house as described and as tuned.
pub fn judge(bench: &Bench<'_>, nominal: &Series, tuned: &Series) -> Judged {
    let observed = bench.observed;
    let air = |seen: &Seen| {
        let (before, after) = (bench.air_at(nominal, seen), bench.air_at(tuned, seen));
        Some((before - seen.air_c, after - seen.air_c))
    };
    let root = |seen: &Seen| {
        let read_c = seen.root_zone_c?;
        let at_h = seen.at_h + bench.shift_h;
        let before = between(&nominal.root_zone_c, at_h)?;
        Some((before - read_c, between(&tuned.root_zone_c, at_h)? - read_c))
    };
    let kept_out = observed.kept_out();
    Judged {
        train: quality(observed.train(), air).unwrap_or_default(),
        kept_out: quality(kept_out, air),
        root_zone: quality(&observed.seen, root),
        days: days(bench, air),
    }
}

fn quality(seen: &[Seen], residual: impl Fn(&Seen) -> Option<(f64, f64)>) -> Option<Quality> {
    let pairs: Vec<(f64, f64)> = seen.iter().filter_map(residual).collect();
    let hours = pairs.len();
    if hours == 0 {
        return None;
    }
    let mean = |of: fn(&(f64, f64)) -> f64| pairs.iter().map(of).sum::<f64>() / hours as f64;
    Some(Quality {
        hours,
        rms_before_k: mean(|pair| pair.0 * pair.0).sqrt(),
        rms_after_k: mean(|pair| pair.1 * pair.1).sqrt(),
        bias_before_k: mean(|pair| pair.0),
        bias_after_k: mean(|pair| pair.1),
    })
}

fn days(bench: &Bench<'_>, residual: impl Fn(&Seen) -> Option<(f64, f64)>) -> Vec<DayResidual> {
    let observed = bench.observed;
    let train = observed.train().len();
    let day_of = |seen: &Seen| (seen.at_h / HOURS_PER_DAY as f64).floor().max(0.0) as usize;
    let mut done = 0;
    let mut days = Vec::new();
    for of_day in observed.seen.chunk_by(|a, b| day_of(a) == day_of(b)) {
        let pairs: Vec<(f64, f64)> = of_day.iter().filter_map(&residual).collect();
        let day = day_of(&of_day[0]);
        let count = pairs.len().max(1) as f64;
        let year = observed.first_year + (day / DAYS_PER_YEAR) as i32;
        days.push(DayResidual {
            date: date_of_day(year, day % DAYS_PER_YEAR),
            before_k: pairs.iter().map(|pair| pair.0).sum::<f64>() / count,
            after_k: pairs.iter().map(|pair| pair.1).sum::<f64>() / count,
            kept_out: done >= train,
        });
        done += of_day.len();
    }
    days
}
