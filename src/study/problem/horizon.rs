//! From when to when is planned, and which climate the beds have then.

use chrono::{Datelike, Days, Months, NaiveDate};

use crate::calendar::{HOURS_PER_DAY, HOURS_PER_YEAR, WEEKS_PER_YEAR, date_of_day};
use crate::house::HouseYear;
use crate::plan::candidate::Climates;
use crate::plan::{Closing, MAX_WEEKS};
use crate::profile::{BedClimate, BedYear};
use crate::study::{ClimateStudy, Job, StudyError, beds};

/// Days in a planning week of an open horizon.
const DAYS_PER_WEEK: i64 = 7;

/// From when to when is planned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Horizon {
    /// First day.
    pub start: NaiveDate,
    /// Weeks.
    pub weeks: usize,
    /// How it ends.
    pub closing: Closing,
}

/// The horizon of a project: the settled year, or an open one from a date on.
///
/// # Errors
/// [`StudyError::BeforeFinished`] for a plan that begins before there is a building.
pub fn horizon(job: &Job) -> Result<Horizon, StudyError> {
    let planning = &job.project.planning;
    let Some(start) = planning.from else {
        return Ok(Horizon {
            start: date_of_day(planning.year, 0),
            weeks: WEEKS_PER_YEAR,
            closing: Closing::EachBed,
        });
    };
    if let Some(finished) = planning.finished.filter(|finished| start < *finished) {
        return Err(StudyError::BeforeFinished { start, finished });
    }
    let end = start + Months::new(planning.months as u32);
    let weeks = ((end - start).num_days() / DAYS_PER_WEEK) as usize;
    Ok(Horizon {
        start,
        weeks: weeks.clamp(1, MAX_WEEKS),
        closing: Closing::Open,
    })
}

/// The bed climates of each calendar year in which something is sown.
pub struct YearClimates {
    /// Different sets of bed climates; the first is the settled building.
    pub sets: Vec<Climates>,
    /// First day of the building's first year, and the first day after it; none where it plays no part.
    pub first_year: Option<(NaiveDate, NaiveDate)>,
    /// Set by calendar year, for those that differ from the settled one.
    own: Vec<(i32, usize)>,
}

impl YearClimates {
    /// Place in `sets` for what is sown in a calendar year.
    pub fn set_of(&self, year: i32) -> usize {
        let own = self.own.iter().find(|(own, _)| *own == year);
        own.map_or(0, |(_, set)| *set)
    }
}

/// Bed climates for a horizon. In the year after the day on which the building was finished, each weather year is
/// colder or warmer, hour by hour, by what the first year of the usual weather differs from its settled year.
pub fn climates(job: &Job, study: &ClimateStudy, horizon: &Horizon) -> YearClimates {
    let settled = beds(job, study);
    let mut found = YearClimates {
        sets: vec![Climates {
            kinds: settled.clone(),
            stride: 1,
        }],
        first_year: None,
        own: Vec::new(),
    };
    let finished = job.project.planning.finished;
    let (Closing::Open, Some(finished)) = (horizon.closing, finished) else {
        return found;
    };
    let after = finished + Days::new(crate::calendar::DAYS_PER_YEAR as u64);
    if after <= horizon.start {
        return found;
    }
    found.first_year = Some((finished, after));
    for year in finished.year()..=after.year() {
        let kinds = settled
            .iter()
            .enumerate()
            .map(|(kind, climate)| with_first_year(climate, kind, study, year, (finished, after)))
            .collect();
        found.own.push((year, found.sets.len()));
        found.sets.push(Climates { kinds, stride: 2 });
    }
    found
}

/// A bed climate for sowings of one calendar year: each weather year as that year has it, followed by the next one as
/// the year after has it.
fn with_first_year(
    climate: &BedClimate,
    kind: usize,
    study: &ClimateStudy,
    year: i32,
    within: (NaiveDate, NaiveDate),
) -> BedClimate {
    let count = climate.years.len();
    let years = (0..count)
        .flat_map(|weather| {
            [(weather, year), ((weather + 1) % count, year + 1)].map(|(weather, year)| {
                let mut own = climate.years[weather].clone();
                move_by_first_year(&mut own, kind, study, year, within);
                own
            })
        })
        .collect();
    BedClimate {
        name: climate.name.clone(),
        years,
        day_length_h: climate.day_length_h.clone(),
    }
}

fn move_by_first_year(
    own: &mut BedYear,
    kind: usize,
    study: &ClimateStudy,
    year: i32,
    (from, after): (NaiveDate, NaiveDate),
) {
    let columns = |house: &HouseYear| -> [Vec<f64>; 3] {
        match kind.checked_sub(1).and_then(|part| house.parts.get(part)) {
            Some(part) => [
                part.leaf_c.clone(),
                part.air_c.clone(),
                part.root_zone_c.clone(),
            ],
            None => [
                house.leaf_c.clone(),
                house.air_c.clone(),
                house.root_zone_c.clone(),
            ],
        }
    };
    let (first, settled) = (columns(&study.run.first), columns(&study.run.settled));
    let moved = [&mut own.leaf_c, &mut own.air_c, &mut own.root_zone_c];
    for (column, (first, settled)) in moved.into_iter().zip(first.iter().zip(&settled)) {
        for hour in 0..HOURS_PER_YEAR.min(column.len()) {
            let day = date_of_day(year, hour / HOURS_PER_DAY);
            if from <= day && day < after {
                column[hour] += first[hour] - settled[hour];
            }
        }
    }
}
