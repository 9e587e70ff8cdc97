//! The small interface between an instance and whatever solves it.

use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;

use super::branch_and_bound::BranchAndBound;
use rayon::prelude::*;

use super::improve::{Floors, Found, Search, value_of};
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
    /// Seed of a look of its own where kinds are chosen: what it finds is taken where it is more than as good ([`AS_GOOD`]).
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
/// Plans whose values differ by no more than this share of what their food is worth count as equally good, or by what one more
/// kind of crop takes of the household's time where that is more: neither a harvest nor that time is known better, and what is
/// left after both can be near nothing (own choice).
pub const AS_GOOD: f64 = 0.01;
/// What a plan that asks for less may lose, as a share of what its food is worth: well below [`AS_GOOD`], so that the plan
/// handed over is still as good when a price or a year is another (own choice).
const TIE: f64 = 0.002;
/// Seed of all looks but the person's own.
const FIRST_SEED: u64 = 1;
/// Looks that drop kinds one by one; plans that are searched on from, and draws of their own for each.
const LOOKS: u64 = 4;
const GONE_ON_FROM: usize = 3;
const SEEDS_EACH: u64 = 2;
/// Fewest kinds of crop that plans are looked for with (own choice).
pub const KINDS_LEAST: usize = 4;
/// What a kind of crop weighs more in a look, as shares of what the food is worth: about what one kind more brings.
const DEAR_KINDS: [f64; 4] = [0.0, 0.005, 0.01, 0.0];
/// Answers a bed: for a plan of a look's own to begin with, to settle a plan with one kind less, to look for a better one of as
/// many kinds, for one of the kinds allowed, and for one by the person's seed; the work limit bounds each.
const OWN_ANSWERS_BED: u64 = 15;
const DROP_ANSWERS_BED: u64 = 6;
const ROW_ANSWERS_BED: u64 = 10;
const CHOSEN_ANSWERS_BED: u64 = 60;
const SEEDED_ANSWERS_BED: u64 = 20;
/// The same for each weight under which a plan is looked for that asks for less.
const SIMPLEST_ANSWERS_BED: u64 = 10;
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
        let mut search = Search::new(&model, FIRST_SEED);
        if let Some(fixed) = options.fixed {
            let beds = search.beds_of(fixed);
            search.fix(&beds);
        }
        let former = options.former.map(|plan| search.beds_of(plan));
        let simpler = options.frontier || instance.limits.kinds.is_some();
        if let Some(former) = former.as_ref().filter(|_| !simpler) {
            search.begin_with(former);
        }
        let stopped = first_plan(options, instance, &mut tree, &mut search);

        let mut best = search.found();
        let mut rows = Vec::new();
        if simpler {
            (best, rows) = chosen(options, instance, &mut search);
        }
        let mut kept = None;
        if let Some(former) = &former {
            let food_worth = search.food_worth(&best);
            let floors = Floors {
                value: best.value - as_good(instance, food_worth),
                before_time: best.value + time(instance, &model, &best)
                    - as_good(instance, food_worth),
                fill: TIE * food_worth,
            };
            let steady = search.steady(former, &best, floors);
            let gain = (best.value - steady.mended.value).max(0.0);
            if !options.anew {
                best = steady.taken;
            }
            let share = search.shared_weeks(former, &best.beds);
            kept = Some(FormerPlan {
                value: steady.mended.value,
                gain,
                kept: share,
                whole: share == 1.0,
                taken: steady.kept && !options.anew,
            });
        }

        let mut solution = finish(&model, &mut tree, &best, stopped);
        if simpler {
            let bound = bound_within(instance, &model, &best, options);
            solution.bound_of_kinds = Some(bound.max(solution.value));
            solution.frontier = frontier(&model, rows, &best);
        }

        solution.former = kept;
        Ok(solution)
    }
}

/// The plan of no more kinds than are allowed, and plans of fewer and more of them.
///
/// Looks with draws of their own begin with the best plan of all or with one of their own, most of them search on with kinds
/// made dear, and drop kinds one by one; of what they come to the best are searched on from, and the best row of each number of kinds. The person's seed has
/// one look of its own; what it finds is taken where it is more than as good, so that another seed gives much the same plan.
fn chosen(options: &SolveOptions, instance: &Instance, search: &mut Search) -> (Found, Vec<Found>) {
    let most = instance.limits.kinds.unwrap_or(usize::MAX);
    let least = if options.frontier {
        KINDS_LEAST.min(most)
    } else {
        instance.limits.kinds.unwrap_or(KINDS_LEAST)
    };
    let answers = |of_bed: u64| (of_bed * instance.bed_count() as u64).min(options.work_limit);
    let first = search.found();
    let looks: Vec<Vec<Found>> = (0..LOOKS)
        .into_par_iter()
        .map(|look| {
            let mut search = search.another(FIRST_SEED + look);
            if look % 2 == 0 {
                search.go_on_from(&first, usize::MAX);
            } else {
                search.run(answers(OWN_ANSWERS_BED));
            }
            let dear = DEAR_KINDS[look as usize % DEAR_KINDS.len()];
            if dear > 0.0 {
                search.with_dear_kinds(dear, answers(OWN_ANSWERS_BED));
            }
            search.simpler(least, answers(DROP_ANSWERS_BED))
        })
        .collect();
    let mut rows: Vec<Found> = looks.into_iter().flatten().collect();
    let kinds = |found: &Found| search.kinds_of(found);
    rows.sort_by(|a, b| b.value.total_cmp(&a.value));
    let fits = rows.iter().filter(|row| kinds(row) <= most);
    let mut from: Vec<Found> = fits.take(GONE_ON_FROM).cloned().collect();
    if from.is_empty() {
        from.extend(rows.last().cloned());
    }
    rows.sort_by_key(|row| kinds(row));
    rows.dedup_by_key(|row| kinds(row));
    // Every second number of kinds is enough to choose from.
    let (fewest, all) = (rows.first().map(kinds), rows.last().map(kinds));
    rows.retain(|row| {
        let own = Some(kinds(row));
        own == fewest || own == all || kinds(row) % 2 == most % 2
    });
    let looks = |from: &Found, kinds: usize, seed: u64, of_bed: u64| Look {
        from: from.clone(),
        kinds,
        seed,
        answers: answers(of_bed),
    };
    let seeded = looks(
        &from[0],
        most,
        FIRST_SEED + LOOKS + options.seed,
        SEEDED_ANSWERS_BED,
    );
    let on = from.iter().flat_map(|found| {
        let seeds = FIRST_SEED..FIRST_SEED + SEEDS_EACH;
        seeds.map(move |seed| looks(found, most, seed, CHOSEN_ANSWERS_BED))
    });
    let each = rows
        .iter()
        .map(|row| looks(row, kinds(row), FIRST_SEED, ROW_ANSWERS_BED));
    let all: Vec<Look> = [seeded].into_iter().chain(on).chain(each).collect();
    let mut found: Vec<Found> = all
        .par_iter()
        .map(|look| {
            let mut search = search.another(look.seed);
            search.go_on_from(&look.from, look.kinds);
            search.kick_for(look.answers);
            search.found()
        })
        .collect();
    let seeded = found.remove(0);
    let fits = found.iter().filter(|found| kinds(found) <= most);
    let best = fits.max_by(|a, b| a.value.total_cmp(&b.value));
    let best = best.unwrap_or(&from[0]).clone();
    let floor = best.value - TIE * search.food_worth(&best);
    // Of plans as good as equal the one that asks for least.
    let fits = found.iter().filter(|found| search.kinds_of(found) <= most);
    let simplest = fits
        .filter(|found| found.value >= floor)
        .min_by_key(|found| instance.simplicity(&plan_of(search.model(), &found.beds)));
    let simplest = simplest.unwrap_or(&best).clone();
    search.go_on_from(&simplest, most);
    search.simplest(floor, answers(SIMPLEST_ANSWERS_BED));
    let mut best = search.found();
    let floors = Floors {
        value: seeded.value - as_good(instance, search.food_worth(&best)),
        before_time: f64::INFINITY,
        fill: f64::INFINITY,
    };
    if search.kinds_of(&seeded) <= most && best.value < floors.value {
        best = search.steady(&best.beds.clone(), &seeded, floors).taken;
    }
    (best, found)
}

/// What two plans may differ by in value and still count as equally good.
fn as_good(instance: &Instance, food_worth: f64) -> f64 {
    (AS_GOOD * food_worth).max(instance.effort.kind + instance.effort.planting)
}

/// What the household's time weighs for a plan.
fn time(instance: &Instance, model: &Model, found: &Found) -> f64 {
    let plan = plan_of(model, &found.beds);
    instance.effort.of(instance.simplicity(&plan))
}

/// One search from a plan on.
struct Look {
    from: Found,
    /// Most kinds of crop.
    kinds: usize,
    seed: u64,
    answers: u64,
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

fn kinds_of(model: &Model, found: &Found) -> std::collections::BTreeSet<usize> {
    let planted = found.beds.iter().flatten();
    planted
        .map(|&planting| model.plantings[planting].crop)
        .collect()
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
    let kinds = |found: &Found| kinds_of(model, found).len();
    rows.retain(|found| kinds(found) != kinds(best));
    rows.push(best.clone());
    rows.sort_by(|a, b| kinds(a).cmp(&kinds(b)).then(b.value.total_cmp(&a.value)));
    rows.dedup_by_key(|found| kinds(found));
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
