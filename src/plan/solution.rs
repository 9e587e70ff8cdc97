//! A plan, what is proven about it, and when a search for it stops.

use std::collections::BTreeSet;
use std::sync::atomic::AtomicBool;

use super::{Instance, Simplicity};

/// What one bed carries, in the order it is planted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BedPlan {
    /// Index into [`Instance::beds`].
    pub class: usize,
    /// Bed within its class, from 0.
    pub bed: usize,
    /// Indices into [`Instance::candidates`], by first week in the bed.
    pub plantings: Vec<usize>,
}

/// A plan: every bed once, classes and beds in order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    /// What each bed carries.
    pub beds: Vec<BedPlan>,
}

impl Plan {
    /// Whether nothing is planted.
    pub fn is_empty(&self) -> bool {
        self.beds.iter().all(|one| one.plantings.is_empty())
    }

    /// Every bed without plantings.
    pub fn empty(instance: &Instance) -> Self {
        let beds = instance.beds.iter().enumerate();
        let beds = beds.flat_map(|(class, kind)| (0..kind.count).map(move |bed| (class, bed)));
        let empty = |(class, bed)| BedPlan {
            class,
            bed,
            plantings: Vec::new(),
        };
        Self {
            beds: beds.map(empty).collect(),
        }
    }
}

/// Prices of everything shared: what one more unit would be worth to the plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Prices {
    /// Per food and week of harvest, currency/kg, at least 0.
    pub food: Vec<Vec<f64>>,
    /// Per food and week, 0 to 1: how far a planting's revenue is held to what it could earn alone.
    pub alone: Vec<Vec<f64>>,
    /// The same per stretch of weeks of harvest, 0 to 1: food by food, its months of 4 weeks, its seasons of 13,
    /// then the horizon; lengths above the horizon left out.
    pub stretches: Vec<f64>,
    /// Per stretch of weeks of eating, 0 to 1: how far what a group's wishes pay is held to what each planting could
    /// save of them alone: group by group, its weeks, then stretches as above.
    pub granted: Vec<f64>,
    /// Per food, 0 to 1: how far its own worth is held to what each of its plantings adds after the one before it; 0 where beds
    /// choose for themselves.
    pub pairs: Vec<f64>,
    /// Per week, currency/h, at least 0; empty without a limit on hours.
    pub labour: Vec<f64>,
    /// Per week, currency/m2, at least 0; empty without a limit on the shelf.
    pub shelf: Vec<f64>,
    /// Per week, currency/sowing, at least 0; empty without a limit on sowings.
    pub sowings: Vec<f64>,
    /// Per wanted crop, currency/planting, 0 to its penalty.
    pub wanted: Vec<f64>,
    /// Per family limit, currency/planting, at least 0.
    pub families: Vec<f64>,
}

/// Why no plan can be worth more than the bound; a checker can follow it without solving anything.
#[derive(Clone, Debug, PartialEq)]
pub enum Proof {
    /// At these prices, demand and beds together earn no more than the bound.
    Beds(Prices),
    /// At these prices, with beds let at these rents, each food earns no more for itself, a kind's effort counted once for each
    /// food grown, and no more foods grown than kinds allowed.
    Foods {
        /// Prices.
        prices: Prices,
        /// Rent of a bed, by class and week, currency, at least 0.
        rents: Vec<Vec<f64>>,
        /// Week from which on each food's plantings are in order of their first picking; any week proves a bound.
        cuts: Vec<usize>,
    },
    /// Plans in which a food fills few beds and those in which it fills more, each with a proof of its own.
    Split {
        /// The food.
        food: usize,
        /// Beds at most in the first part, sowings of a year one after the other in a bed counted one by one; more in the second.
        beds: usize,
        /// Proof of the first part.
        fewer: Box<Proof>,
        /// Proof of the second part.
        more: Box<Proof>,
    },
}

/// How far a solver has come.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress {
    /// Value of the best plan so far.
    pub value: f64,
    /// No plan is worth more.
    pub bound: f64,
    /// Counted work done.
    pub work: u64,
    /// Counted work after which the solver stops at the latest.
    pub work_limit: u64,
}

/// When to stop, and whom to tell.
#[derive(Clone, Copy)]
pub struct SolveOptions<'a> {
    /// Stop at this [`gap`] between value and bound; from 1 on the bound of the chosen kinds is not looked for.
    pub gap: f64,
    /// Stop after this much counted work; the same on every machine.
    pub work_limit: u64,
    /// Seed of a look of its own where kinds are chosen: what it finds is taken where it is more than as good ([`super::AS_GOOD`]).
    pub seed: u64,
    /// A former plan: kept where it is as good as the best found, mended where it no longer works.
    pub former: Option<&'a Plan>,
    /// Least share of a former plan's bed-weeks that stay where they can, 0 to 1: what gains most is changed up to there. At 0 the
    /// former plan is left where the best found is worth more than is as good.
    pub keep_least: f64,
    /// Plantings settled beforehand: they stay.
    pub fixed: Option<&'a Plan>,
    /// Whether the best found is taken, however good the former plan is.
    pub anew: bool,
    /// Whether plans of fewer kinds are looked for, down to [`super::KINDS_LEAST`]; they are too where kinds are limited.
    pub frontier: bool,
    /// How plans are lived through the weather years: the one is taken that is worth most so.
    pub judge: Option<&'a dyn Judge>,
    /// Stop after so many seconds: the one option that need not repeat to the byte.
    pub seconds: Option<f64>,
    /// Raised from outside (Ctrl-C) to end with the best plan so far.
    pub stop: Option<&'a AtomicBool>,
    /// Told now and then how far it is.
    pub progress: Option<&'a (dyn Fn(Progress) + Sync)>,
}

/// Who knows how plans are lived through the weather years.
pub trait Judge: Sync {
    /// What a plan is worth as it is lived.
    fn worth(&self, plan: &Plan) -> f64;

    /// The instance eaten in several lives at once, in which only candidates of these kinds bear; all keep their places. Sets of other
    /// numbers are of other lives.
    fn in_lives(&self, kinds: &BTreeSet<&str>, set: usize) -> Instance;
}

/// Work after which a solve stops by default; less than two seconds on two cores for 32 patches and 5000 candidates.
pub const DEFAULT_WORK_LIMIT: u64 = 1_500;

impl Default for SolveOptions<'_> {
    fn default() -> Self {
        SolveOptions {
            gap: 0.01,
            work_limit: DEFAULT_WORK_LIMIT,
            seed: 1,
            former: None,
            keep_least: 0.0,
            fixed: None,
            anew: false,
            frontier: false,
            judge: None,
            seconds: None,
            stop: None,
            progress: None,
        }
    }
}

/// A plan with what is proven about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// The best plan found.
    pub plan: Plan,
    /// Its value: worth of what is eaten, less costs and penalties.
    pub value: f64,
    /// The most that a plan of its kinds was found to be worth in that measure: more than `value` where the plan was taken for how it
    /// is lived.
    pub searched: f64,
    /// No plan is worth more.
    pub bound: f64,
    /// What is missing from `searched` to the bound, as [`gap`] counts it; 0 only where they agree to 1e-9.
    pub gap: f64,
    /// Kilograms eaten, per food and week.
    pub eaten: Vec<Vec<f64>>,
    /// Why the bound holds.
    pub proof: Proof,
    /// Prices at the root, for showing what one more kilogram would be worth.
    pub prices: Prices,
    /// Whether bound and value agree to 1e-9.
    pub optimal: bool,
    /// Whether it was ended from outside or by the clock before it was done.
    pub stopped: bool,
    /// Counted work done.
    pub work: u64,
    /// Plans of fewer and fewer kinds of crop, from the best of all down; the chosen one among them. Empty where none were
    /// looked for.
    pub frontier: Vec<Simpler>,
    /// No plan of just the chosen kinds is worth more, where that was looked for; and why.
    pub bound_of_kinds: Option<f64>,
    /// What is missing to that, counted in the same way.
    pub gap_of_kinds: Option<f64>,
    /// Proof of that bound: of the instance with only these kinds.
    pub proof_of_kinds: Option<Proof>,
    /// What became of the former plan, where one was given.
    pub former: Option<FormerPlan>,
}

/// A plan with what it asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct Simpler {
    /// The plan.
    pub plan: Plan,
    /// Its value, as that of a [`Solution`].
    pub value: f64,
    /// How much there is to do.
    pub simplicity: Simplicity,
    /// Sections in which a family comes back a year too early each year.
    pub early: usize,
    /// What these weigh in the choice, currency.
    pub early_weighs: f64,
    /// Whether it is the plan chosen.
    pub chosen: bool,
}

/// What became of a former plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FormerPlan {
    /// Its value now, mended where it no longer works.
    pub value: f64,
    /// What the best plan found is worth more.
    pub gain: f64,
    /// Share of its bed-weeks that stay, 0 to 1.
    pub kept: f64,
    /// Whether it stays as it was.
    pub whole: bool,
    /// Whether the plan is the former one, mended or changed in places.
    pub taken: bool,
}

/// Relative distance at which bound and value are equal.
pub(super) const EQUAL: f64 = 1e-9;

/// What a plan may miss of the best, as a share of what the best may add to `bare` beds, 0 to 1. A share of the value itself would
/// say nothing where targets that nobody could meet have taken most of it away.
pub fn gap(value: f64, bound: f64, bare: f64) -> f64 {
    let distance = bound - value;
    if distance <= EQUAL * bound.abs().max(value.abs()).max(1.0) {
        0.0
    } else {
        distance / (bound - bare).max(distance)
    }
}

impl Solution {
    /// What is claimed of the plan, for [`super::verify::check`].
    pub fn claim(&self) -> super::verify::Claim<'_> {
        super::verify::Claim {
            value: self.value,
            bound: self.bound,
            proof: &self.proof,
            of_kinds: self.bound_of_kinds.zip(self.proof_of_kinds.as_ref()),
            eaten: &self.eaten,
        }
    }
}
