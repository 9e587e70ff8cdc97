//! Each planting followed: what the plan asked for, what the journal tells, how it stands.

use super::occur::Occurrence;
use crate::calendar::day_of_date;
use crate::crops::{Crop, Sowing, Way, grow, prepare};
use crate::journal::Stand;
use crate::profile::{BedClimate, bed_climates};
use crate::study::{ClimateStudy, Job, PlanStudy, StudyError, climate_of_bed};
use chrono::{Days, NaiveDate};

/// How a planting stands.
#[derive(Clone, Debug, PartialEq)]
pub enum State {
    /// Its sowing is still to come.
    ToCome,
    /// It should have been sown, and was not.
    NotSown {
        /// Days since the day it was due.
        late_days: i64,
    },
    /// It stands; the model has it ready on a day, none where it never would be.
    Growing {
        /// First day it could be picked.
        ready: Option<NaiveDate>,
    },
    /// It could be picked since a day, and nothing was.
    Ready {
        /// That day.
        since: NaiveDate,
    },
    /// It is being picked.
    Picking,
    /// It was picked, and the bed is cleared.
    Done,
    /// It was lost.
    Lost {
        /// When.
        on: NaiveDate,
        /// Why, as the journal has it.
        cause: String,
    },
    /// The plan has it begin before the journal does, and the journal does not speak of it.
    BeforeTheJournal,
}

/// One planting of the plan, of the journal, or of both.
#[derive(Clone, Debug, PartialEq)]
pub struct Followed {
    /// Bed, by name; empty where the journal names none.
    pub bed: String,
    /// Crop id, as the plan has it where it has it.
    pub crop: String,
    /// What the plan asks for.
    pub planned: Option<Occurrence>,
    /// What the journal tells: usually one.
    pub stands: Vec<Stand>,
    /// How it stands.
    pub state: State,
    /// Picked so far, kg.
    pub picked_kg: f64,
    /// Day on which its young plants are to be set out, while they stand in trays.
    pub set_out_due: Option<NaiveDate>,
    /// Days by which it is later than planned: sowing against sowing, or where that is not known 0.
    pub behind_days: i64,
}

/// Sowings farther apart than this are not the same planting, days (own choice).
const SAME_WITHIN_DAYS: i64 = 42;

/// Joins plan and journal; `since` is the journal's first day, `at` the day of the review.
///
/// # Errors
/// [`StudyError::NoBed`] where no bed was simulated.
pub fn follow(
    job: &Job,
    climate: &ClimateStudy,
    plan: &PlanStudy,
    (occurrences, told): (Vec<Occurrence>, Vec<Stand>),
    (since, at): (NaiveDate, NaiveDate),
) -> Result<Vec<Followed>, StudyError> {
    let day_length_h = &job.sun.day_length_h;
    let usual = bed_climates(&job.project.house, &climate.run.settled, day_length_h);
    let food = |crop: &str| {
        let line = plan.problem.market.line_of(job.table.get(crop)?)?;
        Some(line.food.clone())
    };
    let mut of_occurrence: Vec<Vec<Stand>> = vec![Vec::new(); occurrences.len()];
    let mut unplanned = Vec::new();
    for stand in told {
        match nearest(&occurrences, &stand, &food) {
            Some(place) => of_occurrence[place].push(stand),
            None => unplanned.push(stand),
        }
    }
    let mut all = Vec::new();
    for (occurrence, stands) in occurrences.into_iter().zip(of_occurrence) {
        all.push((
            occurrence.bed.clone(),
            occurrence.crop.clone(),
            Some(occurrence),
            stands,
        ));
    }
    for stand in unplanned {
        let bed = stand.bed.clone().unwrap_or_default();
        all.push((bed, stand.crop.clone(), None, vec![stand]));
    }
    let mut followed = Vec::new();
    for (bed, crop, planned, stands) in all {
        let own = job.project.beds.iter().find(|own| own.name == bed);
        let climate = climate_of_bed(&usual, own).ok_or(StudyError::NoBed)?;
        let told_of = stands
            .first()
            .map_or(crop.as_str(), |stand| stand.crop.as_str());
        let state = state(
            planned.as_ref(),
            &stands,
            job.table.get(told_of),
            climate,
            (since, at),
        );
        let mut one = Followed {
            set_out_due: None,
            picked_kg: stands.iter().map(|stand| stand.kg_until(at)).sum(),
            behind_days: planned
                .as_ref()
                .map_or(0, |planned| behind(planned, &stands)),
            bed,
            crop,
            planned,
            stands,
            state,
        };
        one.set_out_due = set_out_due(job, &one);
        followed.push(one);
    }
    followed.sort_by_key(|one| (one.bed.clone(), first_day(one), one.crop.clone()));
    Ok(followed)
}

fn first_day(one: &Followed) -> Option<NaiveDate> {
    let told = one.stands.iter().filter_map(Stand::since).min();
    told.or(one.planned.as_ref().map(|planned| planned.sow))
}

/// The planting of the plan that a planting of the journal is.
fn nearest(
    occurrences: &[Occurrence],
    stand: &Stand,
    food: &impl Fn(&str) -> Option<String>,
) -> Option<usize> {
    let apart = |occurrence: &Occurrence| -> Option<i64> {
        let days = match (stand.sown, stand.set_out, occurrence.set_out) {
            (_, Some(told), Some(planned)) => (told - planned).num_days().abs(),
            (Some(told), _, _) => (told - occurrence.sow).num_days().abs(),
            (None, Some(told), None) => (told - occurrence.sow).num_days().abs(),
            // It stood before the journal began: its first picking must fall into the time of the plan's.
            (None, None, _) => {
                let told = stand.picks.first().map(|(day, _)| *day)?;
                let first = occurrence.picks.first().map(|(day, _)| *day)?;
                if told >= first && told <= occurrence.clear {
                    0
                } else {
                    (told - first)
                        .num_days()
                        .abs()
                        .min((told - occurrence.clear).num_days().abs())
                }
            }
        };
        (days <= SAME_WITHIN_DAYS).then_some(days)
    };
    let alike = |occurrence: &Occurrence| {
        let bed = stand.bed.as_ref().is_none_or(|bed| *bed == occurrence.bed);
        let same = occurrence.crop == stand.crop;
        (bed && (same || food(&occurrence.crop) == food(&stand.crop))).then_some(!same)
    };
    occurrences
        .iter()
        .enumerate()
        .filter_map(|(place, occurrence)| {
            let other_variety = alike(occurrence)?;
            Some((apart(occurrence)?, other_variety, place))
        })
        .min()
        .map(|(_, _, place)| place)
}

/// The day on which plants in a tray are to be set out, where they still are there.
fn set_out_due(job: &Job, one: &Followed) -> Option<NaiveDate> {
    let waits = one
        .stands
        .iter()
        .find(|stand| stand.set_out.is_none() && stand.picks.is_empty())?;
    let raised = one
        .planned
        .as_ref()
        .map_or(waits.bed.is_none(), |planned| planned.set_out.is_some());
    let crop = job.table.get(&waits.crop)?;
    let sown = waits.sown.filter(|_| raised)?;
    sown.checked_add_days(Days::new(crop.tray_days() as u64))
}

fn behind(planned: &Occurrence, stands: &[Stand]) -> i64 {
    let told = stands
        .iter()
        .find_map(|stand| match (stand.set_out, planned.set_out) {
            (Some(told), Some(planned)) => Some((told - planned).num_days()),
            _ => stand.sown.map(|sown| (sown - planned.sow).num_days()),
        });
    told.unwrap_or(0)
}

fn state(
    planned: Option<&Occurrence>,
    stands: &[Stand],
    crop: Option<&Crop>,
    climate: &BedClimate,
    (since, at): (NaiveDate, NaiveDate),
) -> State {
    let Some(first) = stands.first() else {
        return match planned {
            Some(planned) if planned.sow >= at => State::ToCome,
            Some(planned) if planned.sow < since => State::BeforeTheJournal,
            Some(planned) => State::NotSown {
                late_days: (at - planned.sow).num_days(),
            },
            None => State::ToCome,
        };
    };
    let standing = stands.iter().any(|stand| stand.ended.is_none());
    let picked = stands.iter().any(|stand| !stand.picks.is_empty());
    let lost = stands
        .iter()
        .filter(|stand| stand.died)
        .find_map(|stand| Some((stand.ended?, stand.losses.last().map_or("", |loss| &loss.1))));
    match (standing, lost) {
        (false, Some((on, cause))) => State::Lost {
            on,
            cause: cause.to_owned(),
        },
        (false, None) => State::Done,
        (true, _) if picked => State::Picking,
        (true, _) => match ready(first, crop, climate) {
            Some(since) if since <= at => State::Ready { since },
            ready => State::Growing { ready },
        },
    }
}

/// The day on which the model has a planting ready, from the day it was sown or set out, in the usual year.
fn ready(stand: &Stand, crop: Option<&Crop>, climate: &BedClimate) -> Option<NaiveDate> {
    let crop = crop?;
    let in_tray =
        stand.set_out.is_some() || stand.bed.is_none() || !crop.ways.contains(&Way::Direct);
    let sown = match stand.set_out {
        Some(set_out) => set_out.checked_sub_days(Days::new(crop.tray_days() as u64))?,
        None => stand.sown?,
    };
    let sowing = Sowing {
        day: day_of_date(sown),
        way: if in_tray { Way::Tray } else { Way::Direct },
    };
    let day = grow(crop, &prepare(crop, climate), 0, sowing).ready_day?;
    sown.checked_add_days(Days::new(day.checked_sub(sowing.day)? as u64))
}
