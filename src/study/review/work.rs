//! What is to be done in the days ahead, from the plan as it really stands.

use super::AHEAD_DAYS;
use super::follow::{Followed, State};
use super::occur::Occurrence;
use crate::study::Job;
use chrono::{Days, NaiveDate};

/// What is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WorkKind {
    /// Sow in a tray.
    SowTray,
    /// Sow in the bed.
    SowBed,
    /// Set out young plants.
    SetOut,
    /// Pick, or look whether it is ready.
    Pick,
    /// Clear the bed.
    Clear,
}

/// One thing to do.
#[derive(Clone, Debug, PartialEq)]
pub struct Work {
    /// The day it is due; before the day of the review where it is late.
    pub due: NaiveDate,
    /// Days by which it is late, 0 where it is not.
    pub late_days: i64,
    /// What is done.
    pub kind: WorkKind,
    /// Bed.
    pub bed: String,
    /// Crop id.
    pub crop: String,
    /// Bed area, m2.
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
    let mut list: Vec<Work> = plantings
        .iter()
        .flat_map(|one| of_planting(one, at))
        .map(|work| Work {
            due: job.project.household.gardening.work_day(work.due),
            ..work
        })
        .filter(|work| work.due <= until)
        .collect();
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
            first.kg = [first.kg, later.kg]
                .into_iter()
                .flatten()
                .reduce(|a, b| a + b);
        }
        same
    });
}

fn of_planting(one: &Followed, at: NaiveDate) -> Vec<Work> {
    let area_m2 = one.planned.as_ref().map_or_else(
        || one.stands.iter().filter_map(|stand| stand.area_m2).sum(),
        |planned| planned.area_m2,
    );
    let item = |kind: WorkKind, due: NaiveDate, kg: Option<f64>| Work {
        due,
        late_days: 0,
        kind,
        bed: one.bed.clone(),
        crop: one.crop.clone(),
        area_m2,
        kg,
        sow: one
            .planned
            .as_ref()
            .map(|planned| planned.sow)
            .or_else(|| one.stands.first()?.sown),
    };
    let moved = |day: NaiveDate| day + chrono::Duration::days(one.behind_days);
    let mut list = Vec::new();
    match (&one.state, &one.planned) {
        (State::ToCome, Some(planned)) => list.extend(sowing(planned, &item)),
        (State::NotSown { late_days }, Some(planned)) if *late_days <= SOW_UNTIL_LATE_DAYS => {
            list.extend(sowing(planned, &item));
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
                    list.extend(
                        picks(planned, ready, moved, at)
                            .map(|(day, kg)| item(WorkKind::Pick, day, Some(kg))),
                    );
                    list.push(item(WorkKind::Clear, moved(planned.clear), None));
                }
                None => list.extend(ready.map(|day| item(WorkKind::Pick, day, None))),
            }
        }
        _ => {}
    }
    list
}

fn sowing(
    planned: &Occurrence,
    item: &impl Fn(WorkKind, NaiveDate, Option<f64>) -> Work,
) -> Vec<Work> {
    match planned.set_out {
        Some(_) => vec![item(WorkKind::SowTray, planned.sow, None)],
        None => vec![item(WorkKind::SowBed, planned.sow, None)],
    }
}

/// Pickings from a day on: the plan's, as much later as the planting is; the first not before it is ready.
fn picks(
    planned: &Occurrence,
    ready: Option<NaiveDate>,
    moved: impl Fn(NaiveDate) -> NaiveDate,
    at: NaiveDate,
) -> impl Iterator<Item = (NaiveDate, f64)> {
    const WEEK_DAYS: i64 = 7;
    planned.picks.iter().filter_map(move |(day, kg)| {
        let day = moved(*day).max(ready.unwrap_or(NaiveDate::MIN));
        // What was due in weeks gone by was picked or missed; this week's is still to be had.
        ((at - day).num_days() < WEEK_DAYS).then_some((day, *kg))
    })
}
