//! The small interface between an instance and whatever solves it.

use crate::phrase::Phrase;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;

use super::branch_and_bound::BranchAndBound;
use super::improve::{Found, Search, value_of};
use super::model::Model;
use super::{Instance, InstanceError, Simplicity, schedule};

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
    /// Per split on the way to this leaf, from the root, currency/planting, at least 0.
    pub splits: Vec<f64>,
}

/// Why no plan can be worth more than the bound; a checker can follow it without solving anything.
#[derive(Clone, Debug, PartialEq)]
pub enum Proof {
    /// At these prices, demand and beds together earn no more than the bound.
    Leaf(Prices),
    /// At these prices, with beds let at these rents (by class and week), each table of foods earns no more for itself, a
    /// kind's effort counted once for each table used, and no more tables than kinds allowed.
    Rents {
        /// Prices.
        prices: Prices,
        /// Rent of a bed, by class and week, currency, at least 0.
        rents: Vec<Vec<f64>>,
    },
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
    /// A former plan: kept where it is as good as the best found, mended where it no longer works.
    pub former: Option<&'a Plan>,
    /// Plantings settled beforehand: they stay.
    pub fixed: Option<&'a Plan>,
    /// Whether the best found is taken, however good the former plan is.
    pub anew: bool,
    /// Whether plans of fewer kinds are looked for, down to [`KINDS_LEAST`]; they are too where kinds are limited.
    pub frontier: bool,
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
            former: None,
            fixed: None,
            anew: false,
            frontier: false,
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
    /// Plans of fewer and fewer kinds of crop, from the best of all down; the chosen one among them. Empty where none were
    /// looked for.
    pub frontier: Vec<Simpler>,
    /// No plan of just the chosen kinds is worth more, where that was looked for.
    pub bound_of_kinds: Option<f64>,
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

/// The solver: prices and one-bed longest paths.
struct BuiltIn;

/// Bed answers of the plan's search in a round: so many a bed, about what a new plan needs, within these limits.
const ROUND_ANSWERS_BED: u64 = 3;
const ROUND_ANSWERS: (u64, u64) = (30, 400);
/// Steps of the bound for each answer: they take about as long. The two meet at fixed counts of work, so the same
/// input gives the same plan on any number of threads.
const STEPS_PER_ANSWER: u64 = 2;
/// Relative distance at which bound and value are equal.
const EQUAL: f64 = 1e-9;
/// Plans whose values differ by no more than this share count as equally good: a harvest is not known better (own choice;
/// former plans looked at anew were within 0.65 % of fresh ones).
pub const AS_GOOD: f64 = 0.01;
/// Fewest kinds of crop that plans are looked for with (own choice).
pub const KINDS_LEAST: usize = 4;
/// Answers a bed to settle a plan with one kind less, and one of the kinds chosen; shares of the work limit that bound them.
const DROP_ANSWERS_BED: u64 = 10;
const CHOSEN_ANSWERS_BED: u64 = 40;
/// Steps that lower the bound of the chosen kinds.
const KIND_STEPS_SHARE: f64 = 0.6;

impl BuiltIn {
    fn solve(
        &self,
        instance: &Instance,
        options: &SolveOptions,
    ) -> Result<Solution, InstanceError> {
        instance.validate()?;
        let model = Model::new(instance);
        let mut tree = BranchAndBound::new(&model);
        let mut search = Search::new(&model, options.seed);
        if let Some(fixed) = options.fixed {
            let beds = search.beds_of(fixed);
            search.fix(&beds);
        }
        let former = options.former.map(|plan| search.beds_of(plan));
        if let Some(former) = &former {
            search.begin_with(former);
        }
        let stopped = first_plan(options, instance, &mut tree, &mut search);
        let simpler = options.frontier || instance.limits.kinds.is_some();
        let mut rows = if simpler {
            choose_kinds(options, instance, &mut search)
        } else {
            vec![search.found()]
        };
        let most = instance.limits.kinds.unwrap_or(usize::MAX);
        let kinds = |found: &Found| kinds_of(&model, found);
        let fits = rows.iter().filter(|found| kinds(found).len() <= most);
        let best = fits.max_by(|a, b| a.value.total_cmp(&b.value));
        let mut best = best
            .or(rows.last())
            .cloned()
            .unwrap_or_else(|| search.found());
        let mut bound_of_kinds = None;
        if simpler {
            let answers = CHOSEN_ANSWERS_BED * instance.bed_count() as u64;
            let answers = answers.min(options.work_limit);
            search.go_on_from(&best, most);
            search.kick_for(answers);
            search.simplest(
                search.best_value() - AS_GOOD * search.best_value().abs(),
                answers / 4,
            );
            best = search.found();
            rows.retain(|found| kinds(found).len() != kinds(&best).len());
            rows.push(best.clone());
            rows.sort_by_key(|found| std::cmp::Reverse(kinds(found).len()));
        }
        let mut kept = None;
        if let Some(former) = &former {
            let floor = best.value - AS_GOOD * best.value.abs();
            let most_found = best.value;
            let steady = search.steady(former, floor);
            kept = Some(FormerPlan {
                value: steady.found.value,
                gain: (most_found - steady.found.value).max(0.0),
                kept: 0.0,
                whole: steady.whole,
                taken: steady.kept && !options.anew,
            });
            if steady.kept && !options.anew {
                best = steady.found;
            }
            if let Some(kept) = &mut kept {
                kept.kept = shared_weeks(&model, former, &best.beds);
                kept.whole &= kept.kept == 1.0;
            }
        }
        if simpler {
            bound_of_kinds = Some(bound_within(instance, &model, &best, options));
        }
        let mut solution = finish(&model, &mut tree, &best, stopped);
        solution.bound_of_kinds = bound_of_kinds.map(|bound| bound.max(solution.value));
        solution.former = kept;
        if simpler {
            solution.frontier = frontier(&model, rows, &best);
        }
        Ok(solution)
    }
}

/// Bound and plan side by side until they meet, or the work is done; whether it was ended from outside.
fn first_plan(
    options: &SolveOptions,
    instance: &Instance,
    tree: &mut BranchAndBound,
    search: &mut Search,
) -> bool {
    let clock = options.seconds.map(|seconds| (Instant::now(), seconds));
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
        if !open || gap(value, bound) <= options.gap.max(EQUAL) || tree.steps >= options.work_limit
        {
            return false;
        }
        let late = clock.is_some_and(|(start, seconds)| start.elapsed().as_secs_f64() >= seconds);
        if late
            || options
                .stop
                .is_some_and(|stop| stop.load(Ordering::Relaxed))
        {
            return true;
        }
    }
}

/// Plans of fewer and fewer kinds.
fn choose_kinds(options: &SolveOptions, instance: &Instance, search: &mut Search) -> Vec<Found> {
    let least = if options.frontier {
        KINDS_LEAST.min(instance.limits.kinds.unwrap_or(KINDS_LEAST))
    } else {
        instance.limits.kinds.unwrap_or(KINDS_LEAST)
    };
    let answers = (DROP_ANSWERS_BED * instance.bed_count() as u64).min(options.work_limit);
    search.simpler(least, answers)
}

fn kinds_of(model: &Model, found: &Found) -> std::collections::BTreeSet<usize> {
    let planted = found.beds.iter().flatten();
    planted
        .map(|&planting| model.plantings[planting].crop)
        .collect()
}

/// Share of a plan's bed-weeks that another has too.
fn shared_weeks(model: &Model, of: &[Vec<usize>], with: &[Vec<usize>]) -> f64 {
    let weeks = |planting: &usize| model.plantings[*planting].weeks as f64;
    let all: f64 = of.iter().flatten().map(weeks).sum();
    let mut left: Vec<usize> = with.iter().flatten().copied().collect();
    let mut shared = 0.0;
    for planting in of.iter().flatten() {
        if let Some(at) = left.iter().position(|other| other == planting) {
            left.swap_remove(at);
            shared += weeks(planting);
        }
    }
    if all > 0.0 { shared / all } else { 1.0 }
}

/// What no plan of just these kinds can be worth more than: the bound of what is left when all others are left out.
fn bound_within(instance: &Instance, model: &Model, best: &Found, options: &SolveOptions) -> f64 {
    let kinds = kinds_of(model, best);
    let mut within = instance.clone();
    within.candidates = instance
        .candidates
        .iter()
        .zip(&model.plantings)
        .filter(|(_, planting)| kinds.contains(&planting.crop))
        .map(|(candidate, _)| candidate.clone())
        .collect();
    let effort = instance.effort.kind * kinds.len() as f64;
    let model = Model::new(&within);
    let mut tree = BranchAndBound::new(&model);
    // A search that is ended from outside is not kept waiting by work without an end.
    let steps = KIND_STEPS_SHARE * options.work_limit.min(DEFAULT_WORK_LIMIT) as f64;
    tree.run(steps as u64, best.value + effort);
    tree.bound() - effort
}

/// The plans that were come to, one for each number of kinds; of those that another beats with fewer kinds none.
fn frontier(model: &Model, mut rows: Vec<Found>, best: &Found) -> Vec<Simpler> {
    let at = rows
        .iter()
        .position(|found| kinds_of(model, found).len() == kinds_of(model, best).len());
    match at {
        Some(at) => rows[at] = best.clone(),
        None => rows.push(best.clone()),
    }
    let mut simpler: Vec<Simpler> = rows
        .iter()
        .map(|found| {
            let plan = plan_of(model, &found.beds);
            Simpler {
                simplicity: model.instance.simplicity(&plan),
                plan,
                value: found.value,
                chosen: found.beds == best.beds,
            }
        })
        .collect();
    simpler.sort_by_key(|row| row.simplicity);
    let mut most = f64::NEG_INFINITY;
    simpler.retain(|row| {
        let better = row.value > most;
        most = most.max(row.value);
        better || row.chosen
    });
    simpler
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

pub(super) fn plan_of(model: &Model, all: &[Vec<usize>]) -> Plan {
    let mut beds = Vec::new();
    let mut all = all.iter();
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
    Plan { beds }
}

fn finish(model: &Model, tree: &mut BranchAndBound, best: &Found, stopped: bool) -> Solution {
    let value = value_of(model, &best.beds);
    let plan = plan_of(model, &best.beds);
    let eaten = schedule::eating(model.instance, &schedule::harvest(model.instance, &plan));
    let (rents, at_rents) = tree.at_rents();
    let (proof, bound) = if at_rents < tree.bound() {
        let prices = tree.root_prices();
        (Proof::Rents { prices, rents }, at_rents)
    } else {
        (tree.proof(), tree.bound())
    };
    let bound = bound.max(value);
    let gap = gap(value, bound);
    Solution {
        unmet: super::unmet::unmet(model.instance, &plan),
        plan,
        value,
        bound,
        gap,
        eaten,
        proof,
        prices: tree.root_prices(),
        optimal: gap == 0.0,
        stopped,
        work: tree.steps,
        frontier: Vec::new(),
        bound_of_kinds: None,
        former: None,
    }
}

/// Finds a plan and proves how good it is.
///
/// # Errors
/// The instance is not valid.
pub fn solve(instance: &Instance, options: &SolveOptions) -> Result<Solution, InstanceError> {
    BuiltIn.solve(instance, options)
}
