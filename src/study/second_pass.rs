//! The plan's own leaves in place of the leaf area that the climate was first reckoned with.
//!
//! Leaves shade the ground, give off vapour and look at the panes. A first pass takes their area from the file, since no plan is
//! known yet. A second one takes it from the plan, simulates the building anew and plans on that climate.

use super::money::standing;
use super::{ClimateStudy, Job, PlanStudy};
use crate::house::House;
use crate::plan::Closing;
use crate::profile::lowest;
use crate::value::water::leaf_area_by_month;

/// What a second pass changed.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct SecondPass {
    /// Leaf area per bed area by month, m2/m2: of the first pass, from the file.
    pub assumed_leaf_area: [f64; 12],
    /// The same of the first plan, which the second pass took.
    pub own_leaf_area: [f64; 12],
    /// Coldest hour of the air in the settled year, °C: first pass, second pass.
    pub air_min_c: [f64; 2],
    /// What the plan replaces less its seed in the median year, in the market's currency: first pass, second pass.
    pub worth: [f64; 2],
}

/// Leaf area of a plan per bed area by month, m2/m2; none for a plan that does not close on itself, whose first months see other
/// leaves than its last.
pub fn own_leaf_area(job: &Job, plan: &PlanStudy) -> Option<[f64; 12]> {
    let beds_m2: f64 = job.project.beds.iter().map(|bed| bed.area_m2).sum();
    let closes = plan.problem.instance.closing == Closing::EachBed;
    closes.then(|| leaf_area_by_month(&standing(plan), beds_m2))
}

/// The building of a job with another leaf area on its beds.
pub fn house_with_leaves(job: &Job, leaf_area: &[f64; 12]) -> House {
    let mut house = job.project.house.clone();
    let canopy = &mut house.canopy;
    canopy.leaf_area_index = leaf_area.map(|area| area * canopy.bed_share);
    house
}

impl SecondPass {
    /// Compares two passes; each with its climate and plan.
    pub(crate) fn between(
        job: &Job,
        first: (&ClimateStudy, &PlanStudy),
        own_leaf_area: [f64; 12],
        second: (&ClimateStudy, &PlanStudy),
    ) -> Self {
        let canopy = &job.project.house.canopy;
        let coldest = |climate: &ClimateStudy| lowest(&climate.run.settled.air_c);
        Self {
            assumed_leaf_area: canopy.leaf_area_index.map(|index| index / canopy.bed_share),
            own_leaf_area,
            air_min_c: [coldest(first.0), coldest(second.0)],
            worth: [first.1.replay.value.p50, second.1.replay.value.p50],
        }
    }
}
