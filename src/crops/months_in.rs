//! How many months a crop of warm origin can stay in a bed climate.

use super::growth::frost::{Chill, death};
use super::growth::start::can_set_out;
use super::{Crop, Hardiness, Prepared};
use crate::calendar::DAYS_PER_YEAR;
use crate::profile::Quantiles;

/// Months in, over the years of a bed climate.
#[derive(Clone, Debug, PartialEq)]
pub struct MonthsIn {
    /// Longest unbroken time that plants live in the bed, months of 30.4 days, at most 12.
    pub stays: Quantiles,
    /// From the median of its first days to the median of its last ones, over the years in which plants live; none where they never
    /// do.
    pub middle: Option<Stretch>,
}

/// An unbroken time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// First day, from 1 January.
    pub from_day: usize,
    /// Days that it lasts, 1 to 365; it may pass the year's end.
    pub days: usize,
}

/// Mean days of a month.
const DAYS_PER_MONTH: f64 = DAYS_PER_YEAR as f64 / 12.0;

/// Months that a crop can stay in a bed climate: from the day the root zone is warm enough for setting out until cold,
/// chilling or heat ends it.
///
/// None if the climate has no years.
pub fn months_in(crop: &Crop, prepared: &Prepared) -> Option<MonthsIn> {
    let runs: Vec<(usize, usize)> = (0..prepared.years)
        .map(|year| longest_run(crop, prepared, year))
        .collect();
    let stays: Vec<f64> = runs
        .iter()
        .map(|(_, days)| *days as f64 / DAYS_PER_MONTH)
        .collect();
    Some(MonthsIn {
        stays: Quantiles::of(&stays)?,
        middle: middle(&runs),
    })
}

/// From the median first day to the median last one of the years in which plants live: no single year's odd spring or autumn.
fn middle(runs: &[(usize, usize)]) -> Option<Stretch> {
    let lives = || runs.iter().filter(|(_, days)| *days > 0);
    let median = |days: Vec<f64>| Some(Quantiles::of(&days)?.p50.round() as usize);
    let from_day = median(lives().map(|(from, _)| *from as f64).collect())?;
    let end = median(lives().map(|(from, days)| (from + days) as f64).collect())?;
    let days = end.saturating_sub(from_day).clamp(1, DAYS_PER_YEAR);
    Some(Stretch { from_day, days })
}

/// First day and length of the longest life that begins in a year, in days, at most a year.
fn longest_run(crop: &Crop, prepared: &Prepared, year: usize) -> (usize, usize) {
    let mut best = (0, 0);
    let mut from = 0;
    while from < DAYS_PER_YEAR {
        if !can_set_out(crop, prepared, year, from) {
            from += 1;
            continue;
        }
        let mut chill = Chill::new(crop, from);
        let alive = (from..from + DAYS_PER_YEAR)
            .take_while(|&day| {
                death(crop, prepared, year, day).is_none()
                    && !frosted(crop, prepared, year, day)
                    && chill.day(crop, prepared, year, day).is_ok()
            })
            .count();
        if alive > best.1 {
            best = (from, alive);
        }
        from += alive + 1;
    }
    best
}

/// True if a night takes half of the leaves of a tender crop: a grower calls it the killing frost.
fn frosted(crop: &Crop, prepared: &Prepared, year: usize, day: usize) -> bool {
    let bed = prepared.bed_day(year, day);
    crop.hardiness == Hardiness::Tender && bed.coldest_c < crop.cold.kill_at(bed.hardening)
}
