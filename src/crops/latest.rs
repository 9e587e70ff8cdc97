//! Latest safe sowing of a winter crop, and what then stands through the dark weeks.

use super::growth::standing_kg_m2;
use super::{Crop, Hardiness, Prepared, Sowing, Through, Way, grow_years};
use crate::calendar::{DAYS_PER_WEEK, DAYS_PER_YEAR};
use crate::profile::Quantiles;

/// When a winter crop must be sown to stand through the dark weeks.
#[derive(Clone, Debug, PartialEq)]
pub struct LatestSowing {
    /// Latest safe day over the years, from 1 January of the year in which the dark weeks begin (below nought: the
    /// year before). The tenth percentile is the day that is early enough in nine years of ten.
    pub day: Quantiles,
    /// Fresh mass that then stands at the beginning of the dark weeks, kg/m2.
    pub standing_kg_m2: Quantiles,
    /// What a sowing of the day that is early enough in nine years of ten gives, year by year.
    pub through: Through,
}

/// Day length under which growers expect a standstill, if the crop file names none, h (ten-hour rule, Coleman, The
/// Winter Harvest Handbook; here it only says between which days the crop must stand).
const DARK_H: f64 = 10.0;
/// Share of its low yield that should stand when the dark weeks begin (common practice, no source: three quarters grown).
const GROWN_SHARE: f64 = 0.75;
/// Earliest sowing that is tried, days before the dark weeks.
const EARLIEST_DAYS: usize = 180;

/// The latest safe sowing of a crop over the years of a bed climate.
///
/// None where the question has no answer: a crop that does not stand through winter (tender, or one whose file names no
/// warning day length), a way it is not started, no years, or no day on which it gets big enough.
pub fn latest_sowing(crop: &Crop, prepared: &Prepared, way: Way) -> Option<LatestSowing> {
    let stands = crop.hardiness != Hardiness::Tender && crop.light.warning_day_length_h.is_some();
    if !stands || !crop.ways.contains(&way) || prepared.years == 0 {
        return None;
    }
    // Counted from the year before, so that a sowing of the year before has a day of its own.
    let dark = DAYS_PER_YEAR + dark_from_day(crop, prepared);
    let mut days = Vec::new();
    let mut standing = Vec::new();
    for year in 0..prepared.years {
        let before = year + prepared.years - 1;
        let Some((day, kg_m2)) = latest_of_year(crop, prepared, before, dark, way) else {
            continue;
        };
        days.push(day as f64 - DAYS_PER_YEAR as f64);
        standing.push(kg_m2);
    }
    let day = Quantiles::of(&days)?;
    let safe = Sowing {
        day: (day.p10.floor() + DAYS_PER_YEAR as f64).max(0.0) as usize,
        way,
    };
    let growths = grow_years(crop, prepared, 0..prepared.years, safe);
    Some(LatestSowing {
        day,
        standing_kg_m2: Quantiles::of(&standing)?,
        through: Through::of(crop, &growths),
    })
}

/// First day, from 0, on which the day is shorter than the crop's warning; where it never is, the shortest day.
fn dark_from_day(crop: &Crop, prepared: &Prepared) -> usize {
    let least_h = crop.light.warning_day_length_h.unwrap_or(DARK_H);
    let hours = |day: usize| prepared.bed_day(0, day).day_length_h;
    let days = 0..DAYS_PER_YEAR;
    days.clone()
        .find(|&day| hours(day + DAYS_PER_YEAR - 1) >= least_h && hours(day) < least_h)
        .or_else(|| days.min_by(|&a, &b| hours(a).total_cmp(&hours(b))))
        .unwrap_or(0)
}

/// The latest day on which a sowing is still grown enough when the dark weeks begin, and the mass that then stands.
fn latest_of_year(
    crop: &Crop,
    prepared: &Prepared,
    year: usize,
    dark: usize,
    way: Way,
) -> Option<(usize, f64)> {
    let standing = |day: usize| standing_kg_m2(crop, prepared, year, Sowing { day, way }, dark);
    let big_enough = |day: usize| standing(day) >= GROWN_SHARE * crop.yields.kg_m2.low;
    // What is sown long before may have run to seed, so the search goes back from the dark weeks, week by week, then forward
    // day by day.
    let week =
        (1..=EARLIEST_DAYS / DAYS_PER_WEEK).find(|week| big_enough(dark - week * DAYS_PER_WEEK))?;
    let early = dark - week * DAYS_PER_WEEK;
    let latest = (early + 1..early + DAYS_PER_WEEK)
        .rev()
        .find(|&day| big_enough(day));
    let early = latest.unwrap_or(early);
    Some((early, standing(early)))
}
