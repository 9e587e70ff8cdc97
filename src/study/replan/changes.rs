//! What is otherwise than agreed, and why.

use super::agreed::{SAME_WEEK_DAYS, Wanted};
use crate::calendar::short_date;
use crate::journal::Stand;
use crate::study::{Job, PlanStudy, Planting, StandingCrop};
use chrono::NaiveDate;

/// How a planting changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChangeKind {
    /// Agreed to, and no longer in the plan.
    Dropped,
    /// New.
    Added,
    /// The same crop in the same bed, on another day: days later, negative for earlier.
    Moved(i64),
    /// The same sowing in another bed.
    OtherBed,
}

/// One change.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// What kind.
    pub kind: ChangeKind,
    /// Bed in which it now is, or was to be.
    pub bed: String,
    /// Crop id.
    pub crop: String,
    /// Day of sowing, the new one where there is one.
    pub sow: NaiveDate,
    /// Area, m2, where known.
    pub area_m2: Option<f64>,
    /// Why.
    pub why: String,
}

/// Sowings of a crop in a bed farther apart than this are two, days (own choice).
const MOVED_WITHIN_DAYS: i64 = 42;

/// How many agreed plantings stay, and what changes.
pub fn changes(
    job: &Job,
    plan: &PlanStudy,
    wanted: &[Wanted],
    told: &[Stand],
) -> (usize, Vec<Change>) {
    let mut left: Vec<&Wanted> = wanted.iter().collect();
    let to_sow = |planting: &&Planting| plan.candidate(planting).is_to_sow();
    let mut new: Vec<&Planting> = plan.plantings.iter().filter(to_sow).collect();
    let bed = |planting: &Planting| job.project.beds[planting.bed].name.as_str();
    let crop = |planting: &Planting| plan.candidate(planting).crop.as_str();
    let same_way = |wanted: &Wanted, planting: &Planting| {
        crop(planting) == wanted.crop && planting.transplant.is_some() == wanted.tray
    };
    let apart = |wanted: &Wanted, planting: &Planting| (planting.sow - wanted.sow).num_days();
    let kept = pair(&mut left, &mut new, |wanted, planting| {
        let days = apart(wanted, planting).abs();
        (same_way(wanted, planting) && bed(planting) == wanted.bed && days <= SAME_WEEK_DAYS)
            .then_some(days)
    });
    let moved = pair(&mut left, &mut new, |wanted, planting| {
        let days = apart(wanted, planting).abs();
        (crop(planting) == wanted.crop && bed(planting) == wanted.bed && days <= MOVED_WITHIN_DAYS)
            .then_some(days)
    });
    let elsewhere = pair(&mut left, &mut new, |wanted, planting| {
        let days = apart(wanted, planting).abs();
        (same_way(wanted, planting) && days <= SAME_WEEK_DAYS).then_some(days)
    });
    let reasons = Reasons { job, plan, told };
    let mut changes: Vec<Change> = Vec::new();
    let of_new = |kind: ChangeKind, planting: &Planting, why: String| Change {
        kind,
        bed: bed(planting).to_owned(),
        crop: crop(planting).to_owned(),
        sow: planting.sow,
        area_m2: Some(planting.area_m2),
        why,
    };
    for (wanted, planting) in moved {
        let why = reasons.of_move(wanted);
        changes.push(of_new(
            ChangeKind::Moved(apart(wanted, planting)),
            planting,
            why,
        ));
    }
    for (wanted, planting) in elsewhere {
        let why = match reasons.in_the_way(wanted) {
            Some(why) => format!("{}: {why}", wanted.bed),
            None => format!("was to be in {}", wanted.bed),
        };
        changes.push(of_new(ChangeKind::OtherBed, planting, why));
    }
    for wanted in &left {
        changes.push(Change {
            kind: ChangeKind::Dropped,
            bed: wanted.bed.clone(),
            crop: wanted.crop.clone(),
            sow: wanted.sow,
            area_m2: wanted.area_m2,
            why: reasons.of_drop(wanted),
        });
    }
    for planting in &new {
        changes.push(of_new(
            ChangeKind::Added,
            planting,
            reasons.of_addition(bed(planting), planting, &left),
        ));
    }
    changes.sort_by(|a, b| (&a.bed, a.sow, &a.crop).cmp(&(&b.bed, b.sow, &b.crop)));
    (kept.len(), changes)
}

/// Takes out pairs that fit, nearest first.
fn pair<'w, 'p>(
    left: &mut Vec<&'w Wanted>,
    new: &mut Vec<&'p Planting>,
    distance: impl Fn(&Wanted, &Planting) -> Option<i64>,
) -> Vec<(&'w Wanted, &'p Planting)> {
    let mut pairs = Vec::new();
    loop {
        let near = left.iter().enumerate().flat_map(|(a, wanted)| {
            let distance = &distance;
            new.iter()
                .enumerate()
                .filter_map(move |(b, planting)| Some((distance(wanted, planting)?, a, b)))
        });
        let Some((_, a, b)) = near.min() else {
            return pairs;
        };
        pairs.push((left.remove(a), new.remove(b)));
    }
}

struct Reasons<'a> {
    job: &'a Job,
    plan: &'a PlanStudy,
    told: &'a [Stand],
}

impl Reasons<'_> {
    /// What stands in a sowing's way by the journal, and until when: what leaves it too few sections of its bed.
    fn taken(&self, wanted: &Wanted) -> Option<(String, NaiveDate)> {
        let problem = &self.plan.problem;
        let beds = &self.job.project.beds;
        let bed = beds.iter().position(|bed| bed.name == wanted.bed)?;
        let place = &problem.places[bed];
        let patch_m2 = problem.instance.beds[place.class].area_m2;
        let asked = wanted.area_m2.map_or(place.count, |area_m2| {
            ((area_m2 / patch_m2).round() as usize).clamp(1, place.count)
        });
        let standing = problem.standing.iter().filter(|one| one.bed == bed);
        let still: Vec<(&StandingCrop, NaiveDate)> = standing
            .map(|one| (one, problem.instance.date_of_week(one.free_week)))
            .filter(|(_, free)| *free > wanted.in_bed)
            .collect();
        let taken: usize = still.iter().map(|(one, _)| one.patches.len()).sum();
        let last = still.into_iter().max_by_key(|(_, free)| *free)?;
        (asked + taken > place.count).then(|| (last.0.crop.name.to_lowercase(), last.1))
    }

    /// Does a sowing come through at all, in any bed of that kind?
    fn comes_through(&self, wanted: &Wanted) -> bool {
        let instance = &self.plan.problem.instance;
        instance.candidates.iter().any(|candidate| {
            let sow = instance.date_of_week(candidate.sow_week);
            candidate.is_to_sow()
                && candidate.crop == wanted.crop
                && (candidate.tray_weeks > 0) == wanted.tray
                && (wanted.sow - sow).num_days().abs() <= SAME_WEEK_DAYS
        })
    }

    /// Why an agreed sowing is not made as it was agreed, where something stands in its way.
    fn in_the_way(&self, wanted: &Wanted) -> Option<String> {
        match self.taken(wanted) {
            Some((crop, free)) => Some(format!("{crop} there until {}", short_date(free))),
            None if !self.comes_through(wanted) => Some("comes through too seldom".to_owned()),
            None => None,
        }
    }

    fn of_move(&self, wanted: &Wanted) -> String {
        let why = self.in_the_way(wanted);
        why.unwrap_or_else(|| "the bed is worth more so".to_owned())
    }

    fn of_drop(&self, wanted: &Wanted) -> String {
        let why = self.in_the_way(wanted);
        why.unwrap_or_else(|| "another is worth more".to_owned())
    }

    fn of_addition(&self, bed: &str, planting: &Planting, dropped: &[&Wanted]) -> String {
        let died = self
            .told
            .iter()
            .filter(|stand| stand.died && stand.bed.as_deref() == Some(bed));
        if let Some(stand) = died.max_by_key(|stand| stand.ended) {
            return format!("{} was lost there", self.named(&stand.crop));
        }
        let near = dropped.iter().find(|wanted| {
            wanted.bed == bed && (wanted.sow - planting.sow).num_days().abs() <= MOVED_WITHIN_DAYS
        });
        match near {
            Some(wanted) => format!("instead of {}", self.named(&wanted.crop)),
            None => "the bed is free then".to_owned(),
        }
    }

    /// A crop's name within a sentence.
    fn named(&self, crop: &str) -> String {
        let known = self.job.table.get(crop);
        known.map_or_else(|| crop.to_owned(), |known| known.name.to_lowercase())
    }
}
