//! The rest of the year planned anew: what stands is given, what died is gone, and the plan that was agreed to is kept
//! where nothing better than a change is to be had.

pub(super) mod agreed;
mod changes;
mod standing;
mod trays;

pub use changes::{Change, ChangeKind};
pub(super) use standing::stands_in;

use super::{ClimateStudy, Job, PlanStudy, StudyError};
use crate::file::Standing;
use crate::journal::{Journal, stands};
use crate::plan::{PlanFile, SolveOptions};

/// A plan made anew from a day on.
#[derive(Clone, Debug)]
pub struct ReplanStudy {
    /// The plan.
    pub plan: PlanStudy,
    /// Plantings agreed to that stay as they were.
    pub kept: usize,
    /// What changes, and why, by bed and day.
    pub changes: Vec<Change>,
    /// What was taken for granted, one sentence each.
    pub notes: Vec<String>,
    /// What stands in the beds on its first day, as the journal tells it: bed, its area in m2, and the crop.
    pub standing: Vec<(String, f64, Standing)>,
}

/// Least share of the bed-weeks agreed to that stay when a year is planned on from its journal, as far as they still can: seed is
/// bought and the list hangs on the wall, so that only the changes that gain most are made (own choice).
pub const KEPT_LEAST: f64 = 0.9;

/// Plans anew from `job.project.planning.from` on, with the journal's plantings in the beds.
///
/// `agreed` is the former plan: it is kept while no other gains 1 % of the food's worth, and mended where it no longer works; where
/// another gains more, the beds that gain most by it are planted anew, as long as [`KEPT_LEAST`] of it stays.
///
/// # Errors
/// [`StudyError`] as [`super::plan`]; [`StudyError::NoStart`] without a day to plan from.
pub fn replan(
    job: &Job,
    climate: &ClimateStudy,
    journal: &Journal,
    agreed: Option<&PlanFile>,
    options: &SolveOptions,
) -> Result<ReplanStudy, StudyError> {
    let from = job.project.planning.from.ok_or(StudyError::NoStart)?;
    let told = stands(&journal.entries, from);
    let mut job = job.clone();
    let learnt = job.learn(journal, from);
    let mut notes = standing::put_in_beds(&mut job, &told, agreed, from);
    job.gone = standing::gone(&job, &told, agreed, from);
    notes.extend(learnt);
    job.former = agreed.cloned().or(job.former);
    let former = job.former.clone();
    let options = SolveOptions {
        keep_least: KEPT_LEAST,
        ..*options
    };
    let plan = super::plan(&job, climate, &options)?;
    let (plan, kept, changes) = match &former {
        None => (plan, 0, Vec::new()),
        Some(file) => {
            let mut wanted = agreed::wanted(file, from, job.project.planning.months);
            // What is left of a week at the end is no week of the plan.
            let within = |day| plan.problem.instance.week_of_date(day).is_some();
            wanted.retain(|one| within(one.sow) && within(one.in_bed));
            let (kept, changes) = changes::changes(&job, &plan, &wanted, &told);
            (plan, kept, changes)
        }
    };
    let beds = job.project.beds.iter();
    let standing = beds.flat_map(|bed| {
        let all = bed.standing.iter();
        all.map(|one| (bed.name.clone(), bed.area_m2, one.clone()))
    });
    Ok(ReplanStudy {
        standing: standing.collect(),
        plan,
        kept,
        changes,
        notes,
    })
}
