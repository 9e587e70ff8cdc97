//! From when to when is planned, and which climate the beds have then.

use chrono::{Datelike, Days, Months, NaiveDate};

use std::sync::Arc;

use crate::calendar::{DAYS_PER_WEEK, HOURS_PER_DAY, HOURS_PER_YEAR, WEEKS_PER_YEAR, date_of_day};
use crate::crops::{BedDays, YearOfDays, chills_c};
use crate::house::HouseYear;
use crate::plan::Closing;
use crate::plan::candidate::Climates;
use crate::profile::{BedHours, BedYear, bed_hours};
use crate::study::climate::hours_again;
use crate::study::{ClimateStudy, Job, StudyError, beds};

/// Longest plan from a date on, weeks: two years.
const MAX_WEEKS: usize = 2 * WEEKS_PER_YEAR;

/// From when to when is planned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Horizon {
    pub start: NaiveDate,
    pub weeks: usize,
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
    let weeks = ((end - start).num_days() / DAYS_PER_WEEK as i64) as usize;
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
/// colder or warmer, hour by hour, by what the first year of the usual weather differs from its settled year; those years are
/// simulated once more, since their hours are not kept.
///
/// # Errors
/// [`StudyError::House`] as for the climate itself.
pub fn climates(
    job: &Job,
    study: &ClimateStudy,
    horizon: &Horizon,
) -> Result<YearClimates, StudyError> {
    let mut found = YearClimates {
        sets: vec![Climates {
            kinds: beds(job, study),
            stride: 1,
        }],
        first_year: None,
        own: Vec::new(),
    };
    let finished = job.project.planning.finished;
    let (Closing::Open, Some(finished)) = (horizon.closing, finished) else {
        return Ok(found);
    };
    let after = finished + Days::new(crate::calendar::DAYS_PER_YEAR as u64);
    if after <= horizon.start {
        return Ok(found);
    }
    found.first_year = Some((finished, after));
    let first = finished.year();
    let moved = |calendar: i32, bed: BedHours, kind: usize, chills_c: &[f64]| {
        let mut own = bed.to_year();
        move_by_first_year(&mut own, kind, study, calendar, (finished, after));
        Arc::new(YearOfDays::of(&own.as_hours(), chills_c))
    };
    let chills_c = chills_c(job.table.iter());
    // Each weather year as each of the calendar years has it, and as the one after the last.
    let calendars = first..=after.year() + 1;
    let of_year = |year: &HouseYear| {
        let kinds = bed_hours(year).into_iter().enumerate();
        let of_kind = |(kind, bed): (usize, BedHours)| {
            let calendars = calendars.clone();
            let years = calendars.map(|calendar| moved(calendar, bed.clone(), kind, &chills_c));
            years.collect::<Vec<_>>()
        };
        kinds.map(of_kind).collect::<Vec<_>>()
    };
    let lived = hours_again(job, study, of_year)?;
    for calendar in first..=after.year() {
        let at = (calendar - first) as usize;
        let kinds = found.sets[0].kinds.iter().enumerate().map(|(kind, bed)| {
            // Each weather year as this year has it, followed by the next one as the year after has it.
            let years = (0..lived.len()).flat_map(|weather| {
                let next = (weather + 1) % lived.len();
                [&lived[weather][kind][at], &lived[next][kind][at + 1]].map(Arc::clone)
            });
            BedDays::in_a_row(&bed.name, years.collect(), &bed.day_length_h)
        });
        let kinds = kinds.collect();
        found.own.push((calendar, found.sets.len()));
        found.sets.push(Climates { kinds, stride: 2 });
    }
    Ok(found)
}

fn move_by_first_year(
    own: &mut BedYear,
    kind: usize,
    study: &ClimateStudy,
    year: i32,
    (from, after): (NaiveDate, NaiveDate),
) {
    let (first, settled) = (bed_hours(&study.run.first), bed_hours(&study.run.settled));
    let (Some(first), Some(settled)) = (first.get(kind), settled.get(kind)) else {
        return;
    };
    let moved = [
        (&mut own.leaf_c, first.leaf_c, settled.leaf_c),
        (&mut own.air_c, first.air_c, settled.air_c),
        (&mut own.root_zone_c, first.root_zone_c, settled.root_zone_c),
    ];
    for (column, first, settled) in moved {
        for hour in 0..HOURS_PER_YEAR.min(column.len()) {
            let day = date_of_day(year, hour / HOURS_PER_DAY);
            if from <= day && day < after {
                column[hour] += first[hour] - settled[hour];
            }
        }
    }
}
