//! A plan changed by hand, held against what it was worth when it was saved.

use super::plan_file::{broken_rules, plan_from_file};
use super::planning::median_of;
use super::swaps::{Swap, gains};
use super::{ClimateStudy, Job, PlanStudy, StudyError};
use crate::plan::assess::Saved;
use crate::plan::candidate::Demands;
use crate::plan::{PlanFile, Simplicity, SolveOptions, solve};

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
    /// Its value in the search's own measure.
    pub value: f64,
    /// Value of its middle weather year, the household's time not counted.
    pub median: f64,
}

fn best_alike(plan: &PlanStudy, options: &SolveOptions) -> Result<BestAlike, StudyError> {
    let mut instance = plan.problem.searched().clone();
    instance.limits.kinds = Some(plan.found.simplicity.kinds.max(1));
    let best = solve(
        &instance,
        &SolveOptions {
            frontier: false,
            ..*options
        },
    )?;
    Ok(BestAlike {
        simplicity: instance.simplicity(&best.plan),
        value: best.value,
        median: median_of(&plan.problem, &best.plan)?,
    })
}

/// Values a plan from a file and looks for broken rules and doubtful sowings.
///
/// # Errors
/// [`StudyError`] as [`super::plan_from_file`].
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
        ..checked(job, plan, file)?
    })
}

/// A plan held against what its file says it was worth.
pub(super) fn checked(
    job: &Job,
    plan: PlanStudy,
    file: &PlanFile,
) -> Result<PlanCheck, StudyError> {
    let problem = &plan.problem;
    let after = plan.saved();
    let broken = broken_rules(problem, &plan.found.plan);
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
                "{name} sown {sow} in {bed} comes through in {share:.0} % of the simulated years"
            )
        })
        .collect();
    Ok(PlanCheck {
        before: file.saved.clone(),
        after,
        broken,
        doubtful,
        best_alike: None,
        gains: Vec::new(),
        plan,
    })
}
