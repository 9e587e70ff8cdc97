//! A plan changed by hand: what can be sown where and when, and what a change does; nothing is grown anew for it.

use super::checking::{PlanCheck, checked};
use super::plan_file::{changed, plan_from_file};
use super::{ClimateStudy, Job, PlanStudy, StudyError};
use crate::plan::planfile::FilePlanting;
use crate::plan::{Plan, PlanFile, verify};
use crate::solar;
use chrono::NaiveDate;

/// A change by hand. Plantings are counted from 0 in the order of the plan file.
#[derive(Clone, Debug, PartialEq)]
pub enum HandEdit {
    /// Sows in a bed, on some of its patches (from 1).
    Add(FilePlanting),
    /// Another bed, other patches or another day.
    Move {
        /// The planting.
        at: usize,
        /// Its bed from now on.
        bed: String,
        /// Its patches, from 1.
        patches: Vec<usize>,
        /// Its day of sowing.
        sow: NaiveDate,
    },
    /// Two plantings change places.
    Swap {
        /// One.
        at: usize,
        /// The other.
        with: usize,
    },
    /// Ends a planting early.
    End {
        /// The planting.
        at: usize,
        /// Day on which its bed is free from now on.
        clear: NaiveDate,
    },
    /// Takes a planting out.
    Remove {
        /// The planting.
        at: usize,
    },
}

impl HandEdit {
    /// The plan file after the change; as it was where there is no such planting. What it was worth when it was saved
    /// stays in it, so that the change can be held against it.
    pub fn apply(&self, file: &PlanFile) -> PlanFile {
        let mut file = file.clone();
        let plantings = &mut file.plantings;
        match self {
            HandEdit::Add(new) => plantings.push(new.clone()),
            HandEdit::Move {
                at,
                bed,
                patches,
                sow,
            } => {
                if let Some(planting) = plantings.get_mut(*at) {
                    planting.bed.clone_from(bed);
                    planting.patches.clone_from(patches);
                    planting.sow = *sow;
                    // On another day it stands as long as is usual then.
                    planting.clear = None;
                }
            }
            HandEdit::End { at, clear } => {
                if let Some(planting) = plantings.get_mut(*at) {
                    planting.clear = Some(*clear);
                }
            }
            HandEdit::Swap { at, with } => {
                let place = |at: usize| {
                    let one = plantings.get(at)?;
                    Some((one.bed.clone(), one.patches.clone()))
                };
                if let (Some(one), Some(other)) = (place(*at), place(*with)) {
                    (plantings[*at].bed, plantings[*at].patches) = other;
                    (plantings[*with].bed, plantings[*with].patches) = one;
                }
            }
            HandEdit::Remove { at } => {
                if *at < plantings.len() {
                    plantings.remove(*at);
                }
            }
        }
        file
    }
}

/// A day on which a sowing breaks no rule, and the patches (from 1) that are then free for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opening {
    /// Day of sowing.
    pub sow: NaiveDate,
    /// Patches of the bed, at most as many as were asked for.
    pub patches: Vec<usize>,
}

/// What a changed plan comes to, held against what the file says it was worth; sowings that the plan's own search never
/// tried are refused.
///
/// # Errors
/// [`StudyError`] for a planting that is not among those tried, or food that cannot be priced.
pub fn check_by_hand(
    job: &Job,
    plan: &PlanStudy,
    file: &PlanFile,
) -> Result<PlanCheck, StudyError> {
    checked(job, changed(plan, file)?, file)
}

/// The same for a change that the plan's search cannot know, such as an earlier end: what it asks for is grown.
///
/// # Errors
/// As [`super::plan_from_file`].
pub fn check_grown(
    job: &Job,
    climate: &ClimateStudy,
    file: &PlanFile,
) -> Result<PlanCheck, StudyError> {
    checked(job, plan_from_file(job, climate, file)?, file)
}

/// A plan held against what another was worth when it was saved.
///
/// # Errors
/// None as yet.
pub fn held_against(
    job: &Job,
    plan: &PlanStudy,
    other: &PlanFile,
) -> Result<PlanCheck, StudyError> {
    checked(job, plan.clone(), other)
}

/// Crops that come through in a bed at some time of the year: identifier, name, and whether from a tray; by name.
pub fn crops_for(plan: &PlanStudy, bed: &str) -> Vec<(String, String, bool)> {
    let problem = &plan.problem;
    let Some(place) = problem.places.iter().find(|place| place.name == bed) else {
        return Vec::new();
    };
    let mut found: Vec<(String, String, bool)> = Vec::new();
    for (number, candidate) in problem.instance.candidates.iter().enumerate() {
        let tray = candidate.tray_weeks > 0;
        let known =
            |(crop, _, way): &(String, String, bool)| *crop == candidate.crop && *way == tray;
        let here = candidate.bed_class == place.class && candidate.is_to_sow();
        if here && !found.iter().any(known) {
            let name = &problem.crops[problem.outcome(number).crop].name;
            found.push((candidate.crop.clone(), name.clone(), tray));
        }
    }
    found.sort_by(|a, b| (&a.1, a.2).cmp(&(&b.1, b.2)));
    found
}

/// Days on which a crop can be sown in a bed on `count` patches or on as many of them as are then free, in the order of
/// the plan's year; `instead` is left out of the plan first (counted from 0 in the file's order).
pub fn openings(
    plan: &PlanStudy,
    file: &PlanFile,
    (bed, crop, tray): (&str, &str, bool),
    count: usize,
    instead: Option<usize>,
) -> Vec<Opening> {
    let problem = &plan.problem;
    let instance = &problem.instance;
    let Some(place) = problem.places.iter().find(|place| place.name == bed) else {
        return Vec::new();
    };
    let file = match instead {
        Some(at) => HandEdit::Remove { at }.apply(file),
        None => file.clone(),
    };
    let Ok(base) = file.resolve(instance, &problem.places) else {
        return Vec::new();
    };
    let broken = verify::check_rules(instance, &base).len();
    let mut found = Vec::new();
    for (number, candidate) in instance.candidates.iter().enumerate() {
        let asked = candidate.bed_class == place.class
            && candidate.crop == crop
            && candidate.is_to_sow()
            && (candidate.tray_weeks > 0) == tray;
        if !asked {
            continue;
        }
        let mut plan: Plan = base.clone();
        let mut patches = Vec::new();
        for patch in 1..=place.count {
            if patches.len() == count {
                break;
            }
            let here = |one: &crate::plan::BedPlan| {
                one.class == place.class && one.bed == place.first + patch - 1
            };
            let Some(at) = plan.beds.iter().position(here) else {
                continue;
            };
            let before = plan.beds[at].plantings.clone();
            plan.beds[at].plantings.push(number);
            plan.beds[at]
                .plantings
                .sort_by_key(|&one| (instance.candidates[one].bed_week, one));
            if verify::check_rules(instance, &plan).len() > broken {
                plan.beds[at].plantings = before;
            } else {
                patches.push(patch);
            }
        }
        if !patches.is_empty() {
            let sow = instance.work_date(candidate.sow_week);
            found.push(Opening { sow, patches });
        }
    }
    // Sowings of one day that stand for more or fewer weeks are one day; the roomiest is taken.
    found.sort_by_key(|opening| (opening.sow, std::cmp::Reverse(opening.patches.len())));
    found.dedup_by_key(|opening| opening.sow);
    found
}

/// Elevation of the sun at its highest on the shortest and on the longest day of the planning year, degrees.
pub fn noon_elevations_deg(job: &Job) -> (f64, f64) {
    let sun = &job.sun;
    let noon = |day: usize| {
        let place = &job.site.place;
        let noon_h = (sun.sunrise_h[day] + sun.sunset_h[day]) / 2.0;
        let (latitude, longitude) = (place.latitude_deg, place.longitude_deg);
        let year = job.project.planning.year;
        let at = solar::position(latitude, longitude, place.utc_offset_h, year, day, noon_h);
        at.elevation_deg
    };
    let days = 0..sun.day_length_h.len();
    let by_length = |a: &usize, b: &usize| sun.day_length_h[*a].total_cmp(&sun.day_length_h[*b]);
    let shortest = days.clone().min_by(by_length).unwrap_or(0);
    let longest = days.max_by(by_length).unwrap_or(0);
    (noon(shortest), noon(longest))
}
