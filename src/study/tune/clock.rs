//! The logger's clock against the sun: the shift at which record and simulation run together best.

use super::run::{Bench, Seen, Series, between};
use crate::calendar::HOURS_PER_DAY;
use crate::house::Tuned;
use crate::study::StudyError;

/// Shifts that are tried: half a day to both sides, in quarters of an hour.
const FARTHEST_QUARTERS: i32 = 12 * 4;
const QUARTERS_PER_HOUR: f64 = 4.0;
/// Hours by which the logger's clock seems to be behind local standard time, as a start for the fit.
///
/// Compared are the departures from the mean of each day, so that a wrong heat loss does not count. Where the record
/// brings its own air outside, which is late with it, the house is simulated anew for each whole hour.
pub fn shift_h(bench: &Bench<'_>, tuned: &Tuned) -> Result<f64, StudyError> {
    let likeness = if bench.has_outdoor() {
        by_simulation(bench, tuned)?
    } else {
        by_sliding(bench, tuned)?
    };
    let nearer = |a: f64, b: f64| (-a.abs()).total_cmp(&-b.abs());
    let best = likeness
        .into_iter()
        .max_by(|a, b| a.1.total_cmp(&b.1).then(nearer(a.0, b.0)));
    Ok(best.map_or(0.0, |(shift_h, _)| shift_h))
}

fn by_sliding(bench: &Bench<'_>, tuned: &Tuned) -> Result<Vec<(f64, f64)>, StudyError> {
    let series = bench.series(tuned)?;
    let quarters = -FARTHEST_QUARTERS..=FARTHEST_QUARTERS;
    let likeness = |quarter| {
        let shift_h = f64::from(quarter) / QUARTERS_PER_HOUR;
        (shift_h, likeness(bench.observed.train(), &series, shift_h))
    };
    Ok(quarters.map(likeness).collect())
}

fn by_simulation(bench: &Bench<'_>, tuned: &Tuned) -> Result<Vec<(f64, f64)>, StudyError> {
    use rayon::prelude::*;
    /// Slips of stamps, of summer time and of time zones nearby, h.
    const SLIPS: [f64; 9] = [0.0, 0.5, -0.5, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0];
    // A clock left on UTC is behind by the zone's offset.
    let zone = bench.job.site.place.utc_offset_h;
    let zones = [zone, zone + 1.0].into_iter();
    let zones = zones.filter(|shift| !SLIPS.contains(shift));
    let tried: Vec<f64> = SLIPS.into_iter().chain(zones).collect();
    let likeness = |shift_h| {
        let series = bench.shifted(shift_h)?.series(tuned)?;
        let like = likeness(bench.observed.train(), &series, shift_h);
        Ok((shift_h, like))
    };
    tried.into_par_iter().map(likeness).collect()
}

/// Correlation of the departures from the daily means.
fn likeness(train: &[Seen], series: &Series, shift_h: f64) -> f64 {
    let pair = |seen: &Seen| {
        let simulated_c = between(&series.air_c, seen.at_h + shift_h)?;
        Some((seen.at_h, seen.air_c, simulated_c))
    };
    let pairs: Vec<(f64, f64, f64)> = train.iter().filter_map(pair).collect();
    let (mut both, mut own, mut other) = (0.0, 0.0, 0.0);
    let day_of = |at_h: f64| (at_h / HOURS_PER_DAY as f64).floor();
    for day in pairs.chunk_by(|a, b| day_of(a.0) == day_of(b.0)) {
        let count = day.len() as f64;
        let seen_c = day.iter().map(|pair| pair.1).sum::<f64>() / count;
        let simulated_c = day.iter().map(|pair| pair.2).sum::<f64>() / count;
        for (_, a, b) in day {
            both += (a - seen_c) * (b - simulated_c);
            own += (a - seen_c).powi(2);
            other += (b - simulated_c).powi(2);
        }
    }
    let whole = (own * other).sqrt();
    if whole > 0.0 { both / whole } else { 0.0 }
}

/// What the stamp of a row stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
pub enum Stamps {
    /// A row of 9:00 stands for 9 to 10 h.
    Begin,
    /// It is a reading of 9:00, or the mean about it.
    Middle,
    /// It stands for 8 to 9 h.
    End,
}

impl Stamps {
    /// Hours from the stamp to the middle of the row's span.
    pub fn to_middle_h(self, interval_min: f64) -> f64 {
        const MINUTES_PER_HOUR: f64 = 60.0;
        let half_h = 0.5 * interval_min.min(MINUTES_PER_HOUR) / MINUTES_PER_HOUR;
        match self {
            Self::Begin => half_h,
            Self::Middle => 0.0,
            Self::End => -half_h,
        }
    }
}

/// Minutes between rows from which half a row can be told from the clock's own quarters of an hour.
const LONG_ROW_MIN: f64 = 45.0;

/// A shift that was found, to a quarter of an hour, as what the stamps stand for and what the clock is behind.
///
/// Half an hour in a record of hourly rows is a matter of the stamps: clocks are wrong by whole hours, or by minutes.
pub fn told(shift_h: f64, interval_min: f64, known: Option<Stamps>) -> (Option<Stamps>, f64) {
    // Nought has no sign.
    let quarters = |shift_h: f64| (shift_h * QUARTERS_PER_HOUR).round() / QUARTERS_PER_HOUR + 0.0;
    if let Some(stamps) = known {
        return (known, quarters(shift_h - stamps.to_middle_h(interval_min)));
    }
    if interval_min < LONG_ROW_MIN {
        return (None, quarters(shift_h));
    }
    let whole = quarters(shift_h);
    [Stamps::Middle, Stamps::Begin, Stamps::End]
        .into_iter()
        .map(|stamps| (Some(stamps), whole - stamps.to_middle_h(interval_min)))
        .filter(|(_, clock_h)| clock_h.fract() == 0.0)
        .min_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
        .unwrap_or((None, whole))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_an_hour_is_the_stamps_the_rest_the_clock() {
        const HOURLY: f64 = 60.0;
        assert_eq!(told(0.45, HOURLY, None), (Some(Stamps::Begin), 0.0));
        assert_eq!(told(-0.55, HOURLY, None), (Some(Stamps::End), 0.0));
        assert_eq!(told(0.02, HOURLY, None), (Some(Stamps::Middle), 0.0));
        assert_eq!(told(-1.5, HOURLY, None), (Some(Stamps::End), -1.0));
        assert_eq!(told(0.27, HOURLY, None), (None, 0.25));
        assert_eq!(told(0.5, 10.0, None), (None, 0.5));
        let known = Some(Stamps::End);
        assert_eq!(told(0.5, HOURLY, known), (known, 1.0));
    }
}
