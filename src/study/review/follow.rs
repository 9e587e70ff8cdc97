//! Each planting followed: what the plan asked for, what the journal tells, how it stands, and what is to be done in the days ahead.

use super::{AHEAD_DAYS, Occurrence};
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
        since: NaiveDate,
    },
    Picking,
    /// It was picked, and the bed is cleared.
    Done,
    Lost {
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
    let planned = occurrences.into_iter().map(Some).zip(of_occurrence);
    let unplanned = unplanned.into_iter().map(|stand| (None, vec![stand]));
    let mut followed = Vec::new();
    for (planned, stands) in planned.chain(unplanned) {
        let (of_plan, told) = (planned.as_ref(), stands.first());
        let bed = of_plan
            .map(|one| &one.bed)
            .or(told.and_then(|one| one.bed.as_ref()));
        let bed = bed.cloned().unwrap_or_default();
        let told = told.map(|one| &one.crop);
        let crop = of_plan
            .map(|one| &one.crop)
            .or(told)
            .cloned()
            .unwrap_or_default();
        let own = job.project.beds.iter().find(|own| own.name == bed);
        let climate = climate_of_bed(&usual, own).ok_or(StudyError::NoBed)?;
        let told_of = job.table.get(told.unwrap_or(&crop));
        followed.push(Followed {
            set_out_due: set_out_due(job, of_plan, &stands),
            picked_kg: stands.iter().map(|stand| stand.kg_until(at)).sum(),
            behind_days: of_plan.map_or(0, |planned| behind(planned, &stands)),
            state: state(of_plan, &stands, told_of, climate, (since, at)),
            bed,
            crop,
            planned,
            stands,
        });
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
                let from = |day: NaiveDate| (told - day).num_days().abs();
                match (first..=occurrence.clear).contains(&told) {
                    true => 0,
                    false => from(first).min(from(occurrence.clear)),
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
    let all = occurrences.iter().enumerate();
    let found = all.filter_map(|(place, occurrence)| {
        let other_variety = alike(occurrence)?;
        Some((apart(occurrence)?, other_variety, place))
    });
    found.min().map(|(_, _, place)| place)
}

/// The day on which plants in a tray are to be set out, where they still are there.
fn set_out_due(job: &Job, planned: Option<&Occurrence>, stands: &[Stand]) -> Option<NaiveDate> {
    let mut stands = stands.iter();
    let waits = stands.find(|stand| stand.set_out.is_none() && stand.picks.is_empty())?;
    let raised = planned.map_or(waits.bed.is_none(), |planned| planned.set_out.is_some());
    let crop = job.table.get(&waits.crop)?;
    let sown = waits.sown.filter(|_| raised)?;
    sown.checked_add_days(Days::new(crop.tray_days() as u64))
}

fn behind(planned: &Occurrence, stands: &[Stand]) -> i64 {
    let days = |stand: &Stand| match (stand.set_out, planned.set_out) {
        (Some(told), Some(planned)) => Some((told - planned).num_days()),
        _ => stand.sown.map(|sown| (sown - planned.sow).num_days()),
    };
    stands.iter().find_map(days).unwrap_or(0)
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
    let cause = |stand: &Stand| {
        stand
            .losses
            .last()
            .map_or(String::new(), |loss| loss.1.clone())
    };
    let mut died = stands.iter().filter(|stand| stand.died);
    let lost = died.find_map(|stand| Some((stand.ended?, cause(stand))));
    match (standing, lost) {
        (false, Some((on, cause))) => State::Lost { on, cause },
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

/// What is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WorkKind {
    SowTray,
    SowBed,
    SetOut,
    /// Pick, or look whether it is ready.
    Pick,
    Clear,
}

/// One thing to do.
#[derive(Clone, Debug, PartialEq)]
pub struct Work {
    /// The day it is due; before the day of the review where it is late.
    pub due: NaiveDate,
    /// Days by which it is late, 0 where it is not.
    pub late_days: i64,
    pub kind: WorkKind,
    pub bed: String,
    pub crop: String,
    pub area_m2: f64,
    /// Expected picking, kg.
    pub kg: Option<f64>,
    /// Day on which the planting was sown, or is to be.
    pub sow: Option<NaiveDate>,
}

/// A sowing later than this is no longer the one that was planned, days (own choice).
const SOW_UNTIL_LATE_DAYS: i64 = 28;

/// Work due until so many days after `at`, and what is late.
pub fn work(job: &Job, plantings: &[Followed], at: NaiveDate) -> Vec<Work> {
    let until = at.checked_add_days(Days::new(AHEAD_DAYS - 1)).unwrap_or(at);
    let mut list: Vec<Work> = Vec::new();
    for mut work in plantings.iter().flat_map(|one| of_planting(one, at)) {
        work.due = job.project.household.gardening.work_day(work.due);
        if work.due <= until {
            list.push(work);
        }
    }
    join(&mut list);
    for work in &mut list {
        work.late_days = (at - work.due).num_days().max(0);
    }
    list.sort_by(|a, b| (a.due, &a.bed, a.kind, &a.crop).cmp(&(b.due, &b.bed, b.kind, &b.crop)));
    list
}

/// What one planting bears on one day of work is one picking.
fn join(list: &mut Vec<Work>) {
    list.sort_by(|a, b| (&a.bed, &a.crop, a.kind, a.due).cmp(&(&b.bed, &b.crop, b.kind, b.due)));
    list.dedup_by(|later, first| {
        let same = later.kind == WorkKind::Pick
            && (&later.bed, &later.crop, later.kind, later.due, later.sow)
                == (&first.bed, &first.crop, first.kind, first.due, first.sow);
        if same {
            let both = [first.kg, later.kg].into_iter().flatten();
            first.kg = both.reduce(|a, b| a + b);
        }
        same
    });
}

fn of_planting(one: &Followed, at: NaiveDate) -> Vec<Work> {
    let area_m2 = one.planned.as_ref().map_or_else(
        || one.stands.iter().filter_map(|stand| stand.area_m2).sum(),
        |planned| planned.area_m2,
    );
    let planned_sow = one.planned.as_ref().map(|planned| planned.sow);
    let item = |kind: WorkKind, due: NaiveDate, kg: Option<f64>| Work {
        due,
        late_days: 0,
        kind,
        bed: one.bed.clone(),
        crop: one.crop.clone(),
        area_m2,
        kg,
        sow: planned_sow.or_else(|| one.stands.first()?.sown),
    };
    let sowing = |planned: &Occurrence| match planned.set_out {
        Some(_) => item(WorkKind::SowTray, planned.sow, None),
        None => item(WorkKind::SowBed, planned.sow, None),
    };
    let moved = |day: NaiveDate| day + chrono::Duration::days(one.behind_days);
    let mut list = Vec::new();
    match (&one.state, &one.planned) {
        (State::ToCome, Some(planned)) => list.push(sowing(planned)),
        (State::NotSown { late_days }, Some(planned)) if *late_days <= SOW_UNTIL_LATE_DAYS => {
            list.push(sowing(planned));
        }
        (State::Growing { .. } | State::Ready { .. } | State::Picking, planned) => {
            list.extend(one.set_out_due.map(|due| item(WorkKind::SetOut, due, None)));
            let ready = match one.state {
                State::Growing { ready } => ready,
                State::Ready { since } => Some(since),
                _ => None,
            };
            match planned {
                Some(planned) => {
                    let last = one
                        .stands
                        .iter()
                        .flat_map(|stand| &stand.picks)
                        .map(|pick| pick.0);
                    let picks = picks(planned, ready, moved, (last.max(), at));
                    list.extend(picks.map(|(day, kg)| item(WorkKind::Pick, day, Some(kg))));
                    list.push(item(WorkKind::Clear, moved(planned.clear), None));
                }
                None => list.extend(ready.map(|day| item(WorkKind::Pick, day, None))),
            }
        }
        _ => {}
    }
    list
}

/// Pickings from a day on: the plan's, as much later as the planting is; the first not before it is ready, none that was done on
/// the last day of picking.
fn picks(
    planned: &Occurrence,
    ready: Option<NaiveDate>,
    moved: impl Fn(NaiveDate) -> NaiveDate,
    (last, at): (Option<NaiveDate>, NaiveDate),
) -> impl Iterator<Item = (NaiveDate, f64)> {
    const WEEK_DAYS: i64 = 7;
    planned.picks.iter().filter_map(move |(day, kg)| {
        let day = moved(*day).max(ready.unwrap_or(NaiveDate::MIN));
        // What was due in weeks gone by was picked or missed; this week's is still to be had.
        let done = last.is_some_and(|last| day <= last);
        ((at - day).num_days() < WEEK_DAYS && !done).then_some((day, *kg))
    })
}
