//! A plan changed by hand, held against what it was worth when it was saved.

use super::planning::plan_from_file;
use super::{ClimateStudy, Job, PlanStudy, StudyError};
use crate::plan::PlanFile;
use crate::plan::assess::{Saved, assess};
use crate::plan::candidate::Demands;

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
}

/// Values a plan from a file and looks for broken rules and doubtful sowings.
///
/// # Errors
/// [`StudyError`] as [`super::plan_from_file`].
pub fn check_plan(
    job: &Job,
    climate: &ClimateStudy,
    file: &PlanFile,
) -> Result<PlanCheck, StudyError> {
    checked(job, plan_from_file(job, climate, file)?, file)
}

/// A plan held against what its file says it was worth.
pub(super) fn checked(
    job: &Job,
    plan: PlanStudy,
    file: &PlanFile,
) -> Result<PlanCheck, StudyError> {
    let problem = &plan.problem;
    let after = Saved::of(&problem.instance, &plan.found.plan, None);
    let broken = assess(&problem.instance, &plan.found.plan)
        .faults
        .iter()
        .map(|fault| problem.in_words(fault))
        .collect();
    let asked_for = Demands::default().survival_min;
    let doubtful = plan
        .plantings
        .iter()
        .filter(|planting| plan.outcome(planting).survival < asked_for)
        .map(|planting| {
            let outcome = plan.outcome(planting);
            let name = problem.crops[outcome.crop].name.to_lowercase();
            let bed = &job.project.beds[planting.bed].name;
            let (sow, share) = (planting.sow, 100.0 * outcome.survival);
            format!(
                "{name} sown {sow} in bed {bed} comes through in {share:.0} % of the simulated years"
            )
        })
        .collect();
    Ok(PlanCheck {
        before: file.saved.clone(),
        after,
        broken,
        doubtful,
        plan,
    })
}
