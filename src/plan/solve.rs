//! The small interface between an instance and whatever solves it.

use crate::phrase::Phrase;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;

use super::improve::{Search, value_of};
use super::model::Model;
use super::tree::Tree;
use super::{Instance, InstanceError, schedule};

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
    /// A plan to begin with, whose plantings fit into their beds; an empty one where none is given.
    pub start: Option<&'a Plan>,
    /// Stop after so many seconds: the one option that need not repeat to the byte.
    pub seconds: Option<f64>,
    /// Raised from outside (Ctrl-C) to end with the best plan so far.
    pub stop: Option<&'a AtomicBool>,
    /// Told now and then how far it is.
    pub progress: Option<&'a (dyn Fn(Progress) + Sync)>,
}

/// Work after which a solve stops by default; less than two seconds on two cores for 32 patches and 5000 candidates.
pub const DEFAULT_WORK_LIMIT: u64 = 1_500;

impl Default for SolveOptions<'_> {
    fn default() -> Self {
        SolveOptions {
            gap: 0.01,
            work_limit: DEFAULT_WORK_LIMIT,
            seed: 1,
            start: None,
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
    /// (bound - value) / |bound|; 0 only where they agree to 1e-9. Near a bound of 0 it says nothing: see the distance
    /// itself there.
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
    /// What the plan cannot give, in words; empty when every wish is met.
    pub unmet: Vec<Phrase>,
}

impl Solution {
    /// What is claimed of the plan, for [`super::verify::check`].
    pub fn claim(&self) -> super::verify::Claim<'_> {
        super::verify::Claim {
            value: self.value,
            bound: self.bound,
            proof: &self.proof,
            eaten: &self.eaten,
        }
    }
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

/// The built-in solver: prices and one-bed longest paths.
#[derive(Clone, Copy, Debug, Default)]
pub struct BuiltIn;

/// Bed answers of the plan's search in a round: so many a bed, about what a new plan needs, within these limits.
const ROUND_ANSWERS_BED: u64 = 3;
const ROUND_ANSWERS: (u64, u64) = (30, 400);
/// Steps of the bound for each answer: they take about as long. The two meet at fixed counts of work, so the same
/// input gives the same plan on any number of threads.
const STEPS_PER_ANSWER: u64 = 2;
/// Relative distance at which bound and value are equal.
const EQUAL: f64 = 1e-9;

impl Solver for BuiltIn {
    fn solve(
        &self,
        instance: &Instance,
        options: &SolveOptions,
    ) -> Result<Solution, InstanceError> {
        instance.validate()?;
        let model = Model::new(instance);
        let mut tree = Tree::new(&model);
        let mut search = Search::new(&model, options.seed);
        if let Some(plan) = options.start {
            search.begin_with(plan);
        }
        let clock = options.seconds.map(|seconds| (Instant::now(), seconds));
        let mut stopped = false;
        let (least, most) = ROUND_ANSWERS;
        let answers = (ROUND_ANSWERS_BED * instance.bed_count() as u64).clamp(least, most);
        loop {
            search.learn(&tree.guide(), tree.columns());
            let value = search.best_value();
            let left = options.work_limit.saturating_sub(tree.steps);
            let (open, ()) = rayon::join(
                || tree.run((answers * STEPS_PER_ANSWER).min(left), value),
                || search.run(answers),
            );
            let (value, bound) = (search.best_value(), tree.bound().max(search.best_value()));
            if let Some(tell) = options.progress {
                tell(Progress {
                    value,
                    bound,
                    work: tree.steps,
                    work_limit: options.work_limit,
                });
            }
            if !open
                || gap(value, bound) <= options.gap.max(EQUAL)
                || tree.steps >= options.work_limit
            {
                break;
            }
            let late =
                clock.is_some_and(|(start, seconds)| start.elapsed().as_secs_f64() >= seconds);
            if late
                || options
                    .stop
                    .is_some_and(|stop| stop.load(Ordering::Relaxed))
            {
                stopped = true;
                break;
            }
        }
        Ok(finish(&model, &tree, &search, stopped))
    }
}

/// (bound - value) / |bound|, 0 where they agree to 1e-9.
fn gap(value: f64, bound: f64) -> f64 {
    let distance = bound - value;
    let size = bound.abs().max(value.abs());
    if distance <= EQUAL * size.max(1.0) {
        0.0
    } else {
        distance / bound.abs().max(EQUAL)
    }
}

fn finish(model: &Model, tree: &Tree, search: &Search, stopped: bool) -> Solution {
    let mut beds = Vec::new();
    let mut all = search.best_beds().iter();
    for kind in &model.kinds {
        for (&bed, plantings) in kind.beds.iter().zip(&mut all) {
            let mut plantings = plantings.clone();
            plantings.sort_by_key(|&number| (model.plantings[number].start, number));
            beds.push(BedPlan {
                class: kind.class,
                bed,
                plantings,
            });
        }
    }
    beds.sort_by_key(|plan| (plan.class, plan.bed));
    let value = value_of(model, search.best_beds());
    let plan = Plan { beds };
    let eaten = schedule::eating(model.instance, &schedule::harvest(model.instance, &plan));
    let bound = tree.bound().max(value);
    let gap = gap(value, bound);
    Solution {
        unmet: super::unmet::unmet(model.instance, &plan),
        plan,
        value,
        bound,
        gap,
        eaten,
        proof: tree.proof(),
        prices: tree.root_prices(),
        optimal: gap == 0.0,
        stopped,
        work: tree.steps,
    }
}

/// Solves with the built-in solver.
///
/// # Errors
/// The instance is not valid.
pub fn solve(instance: &Instance, options: &SolveOptions) -> Result<Solution, InstanceError> {
    BuiltIn.solve(instance, options)
}
