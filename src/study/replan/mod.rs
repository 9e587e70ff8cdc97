//! The rest of the year planned anew: what stands is given, what died is gone, and the plan that was agreed to is kept
//! where nothing better than a change is to be had.

pub(super) mod agreed;
mod changes;
mod standing;

pub use changes::{Change, ChangeKind};
pub(super) use standing::stands_in;

use super::{ClimateStudy, Job, PlanStudy, StudyError};
use crate::file::Standing;
use crate::journal::{Journal, stands};
use crate::plan::{PlanFile, SolveOptions};
use chrono::NaiveDate;

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

/// Plans anew from `job.project.planning.from` on, with the journal's plantings in the beds.
///
/// `agreed` is the former plan: it is kept while no other gains 1 % of the food's worth, and mended where it no longer works.
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
    notes.extend(learnt);
    job.former = agreed.cloned().or(job.former);
    let former = job.former.clone();
    let plan = super::plan(&job, climate, options)?;
    let (plan, kept, changes) = match &former {
        None => (plan, 0, Vec::new()),
        Some(file) => {
            let mut wanted = agreed::wanted(file, from, job.project.planning.months);
            // What is left of a week at the end is no week of the plan.
            wanted.retain(|one| plan.problem.instance.week_of_date(one.sow).is_some());
            let (kept, changes) = changes::changes(&job, &plan, &wanted, &told);
            (plan, kept, changes)
        }
    };
    notes.extend(in_trays(&told, from));
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

/// Young plants that have no bed yet: they are not in the new plan's beds, and their bed must not be forgotten.
fn in_trays(told: &[crate::journal::Stand], from: NaiveDate) -> Vec<String> {
    told.iter()
        .filter(|stand| stand.bed.is_none() && stand.set_out.is_none() && stand.stands_on(from))
        .filter_map(|stand| {
            let sown = stand.sown?;
            Some(format!(
                "`{}` sown in a tray on {sown} has no bed yet: a plan from {from} on sows anew; set the plants out where the same crop is due",
                stand.crop
            ))
        })
        .collect()
}
