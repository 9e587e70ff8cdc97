//! The small interface between an instance and whatever solves it.

use std::sync::atomic::AtomicBool;

use super::{Instance, InstanceError};

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

/// Prices of everything shared: what one more unit would be worth to the plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Prices {
    /// Per food and week of harvest, currency/kg, at least 0.
    pub food: Vec<Vec<f64>>,
    /// Per food and week, 0 to 1: how far a planting's revenue is held to what it could earn alone.
    pub alone: Vec<Vec<f64>>,
    /// Per week, currency/h, at least 0; empty without a limit on hours.
    pub labour: Vec<f64>,
    /// Per week, currency/m2, at least 0; empty without a limit on the shelf.
    pub shelf: Vec<f64>,
    /// Per week, currency/sowing, at least 0; empty without a limit on sowings.
    pub sowings: Vec<f64>,
    /// Per wanted crop, currency/planting, 0 to its penalty.
    pub wanted: Vec<f64>,
    /// Per split on the way to this leaf, from the root, currency/planting, at least 0.
    pub splits: Vec<f64>,
}

/// Why no plan can be worth more than the bound; a checker can follow it without solving anything.
#[derive(Clone, Debug, PartialEq)]
pub enum Proof {
    /// At these prices, demand and beds together earn no more than the bound.
    Leaf(Prices),
    /// Either at most, or more than, so many of these plantings are in a plan.
    Split {
        /// Indices into [`Instance::candidates`].
        plantings: Vec<usize>,
        /// The number at most there on the first side; the other side has at least one more.
        at_most: usize,
        /// Proof for the first side.
        fewer: Box<Proof>,
        /// Proof for the other side.
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
    /// Stop at this relative distance between bound and value.
    pub gap: f64,
    /// Stop after this much counted work; the same on every machine.
    pub work_limit: u64,
    /// Seed of the search's random choices.
    pub seed: u64,
    /// Stop after so many seconds: the one option that need not repeat to the byte.
    pub seconds: Option<f64>,
    /// Raised from outside (Ctrl-C) to end with the best plan so far.
    pub stop: Option<&'a AtomicBool>,
    /// Told now and then how far it is.
    pub progress: Option<&'a (dyn Fn(Progress) + Sync)>,
}

/// Work after which a solve stops by default; about ten seconds on two cores.
pub const DEFAULT_WORK_LIMIT: u64 = 100_000;

impl Default for SolveOptions<'_> {
    fn default() -> Self {
        SolveOptions {
            gap: 0.01,
            work_limit: DEFAULT_WORK_LIMIT,
            seed: 1,
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
    /// No plan is worth more.
    pub bound: f64,
    /// (bound - value) / |bound|; 0 only where they agree to 1e-9.
    pub gap: f64,
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
    /// What the plan cannot give, in words; empty when every wish is met.
    pub unmet: Vec<String>,
}

/// Instance in, plan and bound out: the place where another solver can stand in.
pub trait Solver {
    /// Finds a plan and proves how good it is.
    ///
    /// # Errors
    /// The instance is not valid.
    fn solve(&self, instance: &Instance, options: &SolveOptions)
    -> Result<Solution, InstanceError>;
}

/// Solves with the built-in solver.
///
/// # Errors
/// The instance is not valid.
pub fn solve(instance: &Instance, _options: &SolveOptions) -> Result<Solution, InstanceError> {
    instance.validate()?;
    let beds = instance.beds.iter().enumerate().flat_map(|(class, beds)| {
        (0..beds.count).map(move |bed| BedPlan {
            class,
            bed,
            plantings: Vec::new(),
        })
    });
    Ok(Solution {
        plan: Plan {
            beds: beds.collect(),
        },
        value: 0.0,
        bound: f64::INFINITY,
        gap: f64::INFINITY,
        proof: Proof::Leaf(Prices::default()),
        prices: Prices::default(),
        optimal: false,
        stopped: false,
        work: 0,
        unmet: Vec::new(),
    })
}
