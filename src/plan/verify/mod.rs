//! Checks a plan and its bound, knowing nothing of how they were found.
//!
//! Everything is counted again from the instance alone: beds and rotation week by week, food by eating the oldest
//! first, money from what is eaten, and the bound from the printed prices by longest paths over every family.

mod bound;
mod demand;
mod fault;
mod foods;
mod longest;
mod money;
mod rules;
mod stretches;

use super::{Instance, Plan, Proof};
use bound::bound_of;
pub use fault::Fault;
use money::{eating, value_of};
use rules::{beds, limits, sizes};

/// Relative slack on money and kilograms.
const SLACK: f64 = 1e-6;

/// What is claimed of a plan.
#[derive(Clone, Copy, Debug)]
pub struct Claim<'a> {
    /// Value of the plan.
    pub value: f64,
    /// No plan is worth more.
    pub bound: f64,
    /// Why.
    pub proof: &'a Proof,
    /// No plan of just its kinds of crop is worth more, and why, where that is claimed.
    pub of_kinds: Option<(f64, &'a Proof)>,
    /// Kilograms eaten, per food and week.
    pub eaten: &'a [Vec<f64>],
}

/// Outcome of a check.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// What is wrong, in order of beds and weeks; empty when all holds.
    pub faults: Vec<Fault>,
    /// Value recomputed from what is eaten.
    pub value: f64,
    /// Bound recomputed from the prices.
    pub bound: f64,
}

/// Checks plan, value and bound.
pub fn check(instance: &Instance, plan: &Plan, claim: &Claim) -> Verdict {
    let mut faults = Vec::new();
    beds(instance, plan, &mut faults);
    let fits = faults
        .iter()
        .all(|fault| !matches!(fault, Fault::Misplaced { .. } | Fault::Beds { .. }));
    let mut value = f64::NAN;
    if fits {
        limits(instance, plan, &mut faults);
        sizes(instance, plan, &mut faults);
        if eating(instance, plan, claim.eaten, &mut faults) {
            value = value_of(instance, plan, claim.eaten);
            if differs(value, claim.value) {
                faults.push(Fault::Value {
                    found: value,
                    claimed: claim.value,
                });
            }
        }
    }
    let of_kinds = claim.of_kinds.filter(|_| fits).map(|(claimed, proof)| {
        let kinds = rules::plantings(instance, plan).map(|one| one.crop.as_str());
        (claimed, proof, instance.of_kinds(&kinds.collect()))
    });
    let (of_all, of_kinds) = rayon::join(
        || bound_of(instance, claim.proof),
        || of_kinds.map(|(claimed, proof, within)| (claimed, bound_of(&within, proof))),
    );
    let mut believed = |claimed: f64, proven: Result<f64, &'static str>| {
        match proven {
            Ok(proven) => {
                // A part that cannot beat the plan in hand proves no more than that.
                let found = proven.max(claim.value);
                if found > claimed + SLACK * claimed.abs().max(1.0) {
                    faults.push(Fault::Bound { found, claimed });
                }
                found
            }
            Err(why) => {
                faults.push(Fault::Proof(why));
                f64::NAN
            }
        }
    };
    let bound = believed(claim.bound, of_all);
    if let Some((claimed, proven)) = of_kinds {
        believed(claimed, proven);
    }
    if claim.value > claim.bound + SLACK * claim.bound.abs().max(1.0) {
        faults.push(Fault::Proof("the value is above the bound"));
    }
    Verdict {
        faults,
        value,
        bound,
    }
}

/// Checks beds, rotation and shared limits alone: what a plan changed by hand must still keep.
pub fn check_rules(instance: &Instance, plan: &Plan) -> Vec<Fault> {
    let mut faults = Vec::new();
    beds(instance, plan, &mut faults);
    if faults
        .iter()
        .all(|fault| !matches!(fault, Fault::Misplaced { .. } | Fault::Beds { .. }))
    {
        limits(instance, plan, &mut faults);
    }
    faults
}

fn differs(found: f64, claimed: f64) -> bool {
    let distance = (found - claimed).abs();
    !(distance <= SLACK * found.abs().max(claimed.abs()).max(1.0))
}
