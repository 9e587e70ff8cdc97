//! A plan changed by hand: what can be sown where and when, and what a change does, held against what the plan was worth when it was
//! saved.

use super::frontier::Lives;
use super::plan_file::{broken_rules, plan_from_file};
use super::planning::median_of;
use super::swaps::{Swap, gains};
use super::{ClimateStudy, Job, PlanStudy, StudyError};
use crate::plan::assess::Saved;
use crate::plan::candidate::Demands;
use crate::plan::{Plan, PlanFile, Simplicity, SolveOptions, solve, verify};
use crate::solar;
use chrono::NaiveDate;

/// A day on which a sowing breaks no rule, and the patches (from 1) that are then free for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opening {
    pub sow: NaiveDate,
    /// Patches of the bed, at most as many as were asked for.
    pub patches: Vec<usize>,
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
        let is = |one: &(String, String, bool)| one.0 == candidate.crop && one.2 == tray;
        let here = candidate.bed_class == place.class && candidate.is_to_sow();
        if here && !found.iter().any(is) {
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
    let mut file = file.clone();
    if let Some(at) = instead {
        file.plantings.remove(at);
    }
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
            let bed = (place.class, place.first + patch - 1);
            let mut beds = plan.beds.iter();
            let Some(at) = beds.position(|one| (one.class, one.bed) == bed) else {
                continue;
            };
            let before = plan.beds[at].plantings.clone();
            let plantings = &mut plan.beds[at].plantings;
            plantings.push(number);
            plantings.sort_by_key(|&one| (instance.candidates[one].bed_week, one));
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

/// What a plan changed by hand comes to.
#[derive(Clone, Debug)]
pub struct PlanCheck {
    /// The plan as it now stands.
    pub plan: PlanStudy,
    /// What it was worth when it was saved; none where the file does not say.
    pub before: Option<Saved>,
    /// What it is worth now.
    pub after: Saved,
    /// Rules that it breaks, in words.
    pub broken: Vec<String>,
    /// Sowings that come through less often than the planner asks for, in words.
    pub doubtful: Vec<String>,
    /// The best plan found with no more kinds of crop, where that was looked for.
    pub best_alike: Option<BestAlike>,
    /// The three single changes that gain most, each tried; none where they were not looked for.
    pub gains: Vec<Swap>,
}

/// The best plan found that is as simple as one by hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BestAlike {
    /// How much there is to do in it.
    pub simplicity: Simplicity,
    /// Value of its middle weather year, the household's time not counted.
    pub median: f64,
}

fn best_alike(plan: &PlanStudy, options: &SolveOptions) -> Result<BestAlike, StudyError> {
    let mut instance = plan.problem.searched().clone();
    instance.limits.kinds = Some(plan.found.simplicity.kinds.max(1));
    let lives = Lives::new(&plan.problem, None);
    let options = SolveOptions {
        frontier: false,
        judge: Some(&lives),
        ..*options
    };
    let best = solve(&instance, &options);
    Ok(BestAlike {
        simplicity: instance.simplicity(&best.plan),
        median: median_of(&plan.problem, &best.plan)?,
    })
}

/// Values a plan from a file and looks for broken rules and doubtful sowings.
pub fn check_plan(
    job: &Job,
    climate: &ClimateStudy,
    file: &PlanFile,
    options: &SolveOptions,
) -> Result<PlanCheck, StudyError> {
    let plan = plan_from_file(job, climate, file)?;
    let (best, gains) = (best_alike(&plan, options)?, gains(&plan)?);
    Ok(PlanCheck {
        best_alike: Some(best),
        gains,
        ..checked(job, plan, file)
    })
}

/// A plan held against what a file says it was worth: the file that it is from, or that of another.
pub fn checked(job: &Job, plan: PlanStudy, file: &PlanFile) -> PlanCheck {
    let problem = &plan.problem;
    let after = plan.saved();
    let broken = broken_rules(problem, &plan.found.plan);
    let asked_for = Demands::default().survival_min;
    let plantings = plan.plantings.iter();
    let doubtful = plantings.filter(|one| one.survival < asked_for);
    let doubtful = doubtful.map(|planting| {
        let name = problem.crop_name(planting.candidate);
        let bed = &job.project.beds[planting.bed].name;
        let (sow, share) = (planting.sow, 100.0 * planting.survival);
        format!("{name} sown {sow} in {bed} comes through in {share:.0} % of the weather years")
    });
    let doubtful = doubtful.collect();
    PlanCheck {
        before: file.saved.clone(),
        after,
        broken,
        doubtful,
        best_alike: None,
        gains: Vec::new(),
        plan,
    }
}
