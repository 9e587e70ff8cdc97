//! The small interface between an instance and whatever solves it.

use std::collections::BTreeSet;
use std::sync::atomic::Ordering;
use std::time::Instant;

use super::bound::Bound;
use super::choose::{FIRST_SEED, chosen, frontier};
use super::improve::{Found, Search, value_of};
use super::lives::{
    Judged, ROUNDS, beside_former, best_of, best_within, changed_in_lives, in_fixed_order, judged,
    most_within, rest_weight,
};
use super::model::Model;
use super::prices::{Foods, Lowering};
use super::solution::EQUAL;
use super::{
    BedPlan, DEFAULT_WORK_LIMIT, FormerPlan, Instance, Plan, Progress, Proof, Solution,
    SolveOptions, gap, schedule,
};

/// Bed answers of the plan's search in a round: so many a bed, about what a new plan needs, within these limits.
const ROUND_ANSWERS_BED: u64 = 3;
const ROUND_ANSWERS: (u64, u64) = (30, 400);
/// Steps of the bound for each answer: they take about as long. The two meet at fixed counts of work, so the same
/// input gives the same plan on any number of threads.
const STEPS_PER_ANSWER: u64 = 2;
/// Candidates looked at food by food for each unit of work: each step looks at all of them.
const FOOD_LOOKS: u64 = 200;
/// The same in parts of the plans, where a look goes through the beds that a food may fill: so many, or the more beds the fewer looks.
const PART_LOOKS: u64 = 150;
const PART_BEDS: u64 = 16;

/// Finds a plan and proves how good it is.
pub fn solve(instance: &Instance, options: &SolveOptions) -> Solution {
    solve_beside(instance, options, |_| ()).0
}

/// The same by prices and one-bed longest paths; `beside` is given the plan, and works while the bound of the plan's kinds is
/// lowered.
pub fn solve_beside<T: Send>(
    instance: &Instance,
    options: &SolveOptions,
    beside: impl FnOnce(&Plan) -> T + Send,
) -> (Solution, T) {
    let model = Model::new(instance);
    let mut beds = Bound::new(&model);
    let mut search = Search::new(&model, FIRST_SEED);
    let held = instance.with_begun(options.fixed);
    if !held.is_empty() {
        let beds = search.beds_of(&held);
        search.fix(&beds);
    }
    let former = options.former.map(|plan| search.beds_of(plan));
    let simpler = options.frontier || instance.limits.kinds.is_some();
    if let Some(former) = former.as_ref().filter(|_| !simpler) {
        search.begin_with(former);
    }
    let stopped = first_plan(options, instance, &mut beds, &mut search);

    let value = search.best_value();
    let bare = schedule::bare_beds(instance);
    let ((bound, proof), plans) = rayon::join(
        || food_by_food(&model, &beds, options, value),
        || looked_at(options, instance, &mut search, simpler),
    );
    let most = instance.limits.kinds.unwrap_or(usize::MAX);
    let best = plans[best_of(&plans, most)].clone();
    let mut best = in_fixed_order(options, &mut search, best);
    let mut kept = None;
    if let Some(former) = &former {
        let now = beside_former(options, &mut search, former, &best);
        let held = if now.kept { &now.taken } else { &now.mended };
        let gain = (best.worth - held.worth).max(0.0);
        if !options.anew {
            best = now.taken;
        }
        let share = search.shared_weeks(former, &best.found.beds);
        kept = Some(FormerPlan {
            value: now.mended.found.value,
            gain,
            kept: share,
            whole: share == 1.0,
            taken: now.kept && !options.anew,
        });
    }
    let mut solution = finish(&model, &beds, &best.found, (bound, proof));
    solution.stopped = stopped;
    let alike = best_within(&plans, &best);
    let (within, made) = rayon::join(
        || {
            (simpler && options.gap < 1.0).then(|| {
                let searched = most_within(options, &search, alike, &best.kinds);
                let within = bound_within(instance, &model, &best.kinds, searched, options);
                (searched, within)
            })
        },
        || beside(&solution.plan),
    );
    let searched = within
        .as_ref()
        .map_or(alike.value, |(searched, _)| *searched);
    solution.searched = searched;
    solution.bound = solution.bound.max(searched);
    solution.gap = gap(searched, solution.bound, bare);
    if let Some((_, (mut bound, mut proof))) = within {
        // What bounds all plans bounds those of some kinds.
        if solution.bound < bound {
            (bound, proof) = (solution.bound, solution.proof.clone());
        }
        let bound = bound.max(searched);
        solution.bound_of_kinds = Some(bound);
        solution.gap_of_kinds = Some(gap(searched, bound, bare));
        solution.proof_of_kinds = Some(proof);
        solution.frontier = frontier(&search, plans, &best);
    }

    solution.former = kept;
    (solution, made)
}

/// The plans that the search comes to, at least one.
fn looked_at(
    options: &SolveOptions,
    instance: &Instance,
    search: &mut Search,
    simpler: bool,
) -> Vec<Judged> {
    let first = search.found();
    let weight = rest_weight(instance, search.food_worth(&first));
    let mut plans = if simpler {
        chosen(options, instance, search)
    } else {
        vec![Judged::new(options, search, first, weight)]
    };
    for round in 0..ROUNDS {
        let changed = changed_in_lives(options, search, &plans, round);
        plans.extend(judged(options, search, changed, weight));
    }
    plans
}

/// What the household's time weighs for a plan.
pub(super) fn time(model: &Model, found: &Found) -> f64 {
    let plan = plan_of(model, &found.beds);
    model.instance.effort.of(model.instance.simplicity(&plan))
}

/// Bound and plan side by side until they meet, or the work is done; whether it was ended from outside.
fn first_plan(
    options: &SolveOptions,
    instance: &Instance,
    beds: &mut Bound,
    search: &mut Search,
) -> bool {
    let clock = options.seconds.map(|seconds| (Instant::now(), seconds));
    let bare = schedule::bare_beds(instance);
    let (least, most) = ROUND_ANSWERS;
    let answers = (ROUND_ANSWERS_BED * instance.bed_count() as u64).clamp(least, most);
    loop {
        let guide = beds.guide().to_vec();
        search.learn(&guide, beds.columns());
        let value = search.best_value();
        let left = options.work_limit.saturating_sub(beds.steps);
        let (open, ()) = rayon::join(
            || beds.run((answers * STEPS_PER_ANSWER).min(left), value),
            || search.run(answers),
        );
        let (value, bound) = (search.best_value(), beds.value().max(search.best_value()));
        if let Some(tell) = options.progress {
            tell(Progress {
                value,
                bound,
                work: beds.steps,
                work_limit: options.work_limit,
            });
        }
        if !open
            || gap(value, bound, bare) <= options.gap.max(EQUAL)
            || beds.steps >= options.work_limit
        {
            return false;
        }
        let late = clock.is_some_and(|(start, seconds)| start.elapsed().as_secs_f64() >= seconds);
        if late || is_stopped(options) {
            return true;
        }
    }
}

/// What no plan of just these kinds can be worth more than, and why: the bound of what is left when all others are left out.
fn bound_within(
    instance: &Instance,
    model: &Model,
    kinds: &BTreeSet<usize>,
    value: f64,
    options: &SolveOptions,
) -> (f64, Proof) {
    let within = instance.of_kinds(&kinds.iter().map(|&kind| model.crops[kind]).collect());
    let model = Model::new(&within);
    let mut beds = Bound::new(&model);
    let mut left = work(options);
    while left > 0 && beds.run(left.min(DEFAULT_WORK_LIMIT), value) {
        left = work(options).min(left).saturating_sub(DEFAULT_WORK_LIMIT);
    }
    food_by_food(&model, &beds, options, value)
}

/// Work for bounds, as much as for the plan; no more than usual where time limits it, or once it is ended from outside.
pub(super) fn work(options: &SolveOptions) -> u64 {
    if options.seconds.is_some() || is_stopped(options) {
        options.work_limit.min(DEFAULT_WORK_LIMIT)
    } else {
        options.work_limit
    }
}

pub(super) fn is_stopped(options: &SolveOptions) -> bool {
    options
        .stop
        .is_some_and(|stop| stop.load(Ordering::Relaxed))
}

/// The lower of the bound bed by bed and that food by food, with its proof; that bed by bed where it is near enough, or any distance
/// will do.
fn food_by_food(model: &Model, beds: &Bound, options: &SolveOptions, value: f64) -> (f64, Proof) {
    let bare = schedule::bare_beds(model.instance);
    let near = gap(value, beds.value().max(value), bare) <= options.gap.max(EQUAL);
    if !near
        && options.gap < 1.0
        && let Some(mut foods) = Foods::new(model)
    {
        let work = work(options);
        let looks = |each: u64| each.saturating_mul(work) / model.plantings.len().max(1) as u64;
        let lowering = Lowering {
            steps: looks(FOOD_LOOKS).min(work),
            steps_in_parts: looks(PART_LOOKS) * PART_BEDS
                / model.instance.bed_count().max(PART_BEDS as usize) as u64,
            target: value,
            // What was ended before is not kept waiting, but has its bound.
            stop: options.stop.filter(|_| !is_stopped(options)),
        };
        let (bound, proof) = foods.lower(beds.best(), &lowering);
        if bound < beds.value() {
            return (bound, proof);
        }
    }
    (beds.value(), beds.proof())
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

fn finish(model: &Model, beds: &Bound, best: &Found, (bound, proof): (f64, Proof)) -> Solution {
    let value = value_of(model, &best.beds);
    let plan = plan_of(model, &best.beds);
    let eaten = schedule::eating(model.instance, &schedule::harvest(model.instance, &plan));
    let bound = bound.max(value);
    let gap = gap(value, bound, schedule::bare_beds(model.instance));
    Solution {
        plan,
        value,
        searched: value,
        bound,
        gap,
        eaten,
        proof,
        prices: beds.prices(),
        optimal: gap == 0.0,
        stopped: false,
        work: beds.steps,
        frontier: Vec::new(),
        bound_of_kinds: None,
        gap_of_kinds: None,
        proof_of_kinds: None,
        former: None,
    }
}
