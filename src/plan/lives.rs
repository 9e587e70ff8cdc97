//! Plans told apart by how they are lived, and changed where they are eaten in several years at once: a search of mean harvests sees
//! neither the gaps nor the gluts that single years have.

use std::collections::BTreeSet;

use rayon::prelude::*;

use super::choose::{FIRST_SEED, TIE, TIMES_MOST, as_good, kinds_of};
use super::improve::{Floors, Found, Search, value_of};
use super::model::Model;
use super::solve::{is_stopped, plan_of, time, work};
use super::{DEFAULT_WORK_LIMIT, Instance, SolveOptions};

/// Times that the best plans are changed, each time in other lives: what gains by the luck of a few lives does not last.
pub(super) const ROUNDS: usize = 3;
/// Plans of most worth that are changed in the first round and in later ones; in the first beside them the best of each number of
/// kinds.
const FROM_BEST: [usize; 2] = [3, 2];
/// Answers a bed for each of the best, and for the others.
const ANSWERS_BED: u64 = 15;
const ROW_ANSWERS_BED: u64 = 6;
/// Answers a bed to find the most that a plan of the chosen kinds is worth in the search's own measure, and looks for it.
const SEARCHED_ANSWERS_BED: u64 = 30;
const SEARCHED_LOOKS: u64 = 2;
/// What a section in which a family comes back a year too early weighs, as a share of what a section bears in a year: yields fall
/// by about so much where a family follows itself (own choice, no source).
const REST: f64 = 0.15;

/// A plan with what is known of it.
#[derive(Clone)]
pub(super) struct Judged {
    pub found: Found,
    /// Its kinds of crop.
    pub kinds: BTreeSet<usize>,
    /// Sections in which a family comes back too early each year, and what they weigh.
    pub early: usize,
    pub early_weighs: f64,
    /// What it is worth as it is lived, or by the search's own measure where nobody tells, less what these weigh.
    pub worth: f64,
}

impl Judged {
    pub fn new(options: &SolveOptions, search: &Search, found: Found, weight: f64) -> Self {
        let model = search.model();
        let early = search.early(&found);
        let early_weighs = weight * early as f64;
        let worth = match options.judge {
            Some(judge) => judge.worth(&plan_of(model, &found.beds)),
            None => found.value,
        };
        Judged {
            kinds: kinds_of(model, &found),
            early,
            early_weighs,
            worth: worth - early_weighs,
            found,
        }
    }
}

/// Plans changed so that families rest where that is worth it, and what they then are worth.
pub(super) fn judged(
    options: &SolveOptions,
    search: &Search,
    plans: Vec<Found>,
    weight: f64,
) -> Vec<Judged> {
    let rest = |found: Found| search.another(FIRST_SEED).rested(&found, weight);
    let rested: Vec<Found> = plans.into_par_iter().map(rest).collect();
    let rested = rested.into_iter();
    rested
        .map(|found| Judged::new(options, search, found, weight))
        .collect()
}

/// What a section in which a family comes back a year too early weighs, where a plan's food is worth so much.
pub(super) fn rest_weight(instance: &Instance, food_worth: f64) -> f64 {
    REST * food_worth / instance.bed_count().max(1) as f64
}

/// The plan of no more kinds that is worth most, or the first.
pub(super) fn best_of(plans: &[Judged], kinds_most: usize) -> usize {
    let mut best = 0;
    for (at, plan) in plans.iter().enumerate() {
        if plan.kinds.len() <= kinds_most && plan.worth > plans[best].worth {
            best = at;
        }
    }
    best
}

/// Plans that are gone on to from the best of these, in the first round from the best of each number of kinds too, where they are eaten
/// in several lives at once.
pub(super) fn changed_in_lives(
    options: &SolveOptions,
    search: &Search,
    plans: &[Judged],
    round: usize,
) -> Vec<Found> {
    let Some(judge) = options.judge else {
        return Vec::new();
    };
    let kinds_most = search.model().instance.limits.kinds.unwrap_or(usize::MAX);
    let mut order: Vec<&Judged> = plans.iter().collect();
    order.sort_by(|a, b| b.worth.total_cmp(&a.worth));
    let mut left = FROM_BEST[round.min(1)];
    let mut seen = BTreeSet::new();
    let mut from: Vec<(&Judged, usize, u64)> = Vec::new();
    for plan in order {
        let own = plan.kinds.len();
        let is_best_of_kinds = seen.insert(own);
        if left > 0 && own <= kinds_most {
            left -= 1;
            from.push((plan, kinds_most, ANSWERS_BED));
        } else if is_best_of_kinds && round == 0 {
            from.push((plan, own, ROW_ANSWERS_BED));
        }
    }
    // What was come to twice is gone on from once.
    from.dedup_by(|a, b| a.0.found.beds == b.0.found.beds);
    let model = search.model();
    let kinds: BTreeSet<usize> = from
        .iter()
        .flat_map(|(plan, _, _)| plan.kinds.clone())
        .collect();
    let lives = judge.in_lives(&names(model, &kinds), round);
    let in_lives = Model::for_search(&lives);
    let times = (work(options) / DEFAULT_WORK_LIMIT).clamp(1, TIMES_MOST);
    let seeds = FIRST_SEED..FIRST_SEED + times;
    let looks = from.into_iter();
    let looks = looks.flat_map(|from| seeds.clone().map(move |seed| (from, seed)));
    let looks: Vec<_> = looks.collect();
    let change = |((plan, kinds_most, of_bed), seed): ((&Judged, usize, u64), u64)| {
        let mut own = search.beside(&in_lives, seed);
        own.go_on_from(&plan.found, kinds_most);
        own.kick_for((of_bed * lives.bed_count() as u64).min(options.work_limit));
        let beds = own.found().beds;
        let value = value_of(model, &beds);
        Found { beds, value }
    };
    let looks = looks.into_par_iter();
    let wanted = looks.filter(|(_, seed)| *seed == FIRST_SEED || !is_stopped(options));
    wanted.map(change).collect()
}

fn names<'m>(model: &Model<'m>, kinds: &BTreeSet<usize>) -> BTreeSet<&'m str> {
    kinds.iter().map(|&kind| model.crops[kind]).collect()
}

/// The same plan with sorts of a crop in a fixed order, where it is as good: one that comes earlier by name in place of another of the
/// same food, sown on the same days, so that luck does not choose between sorts.
pub(super) fn in_fixed_order(options: &SolveOptions, search: &mut Search, best: Judged) -> Judged {
    let model = search.model();
    let food_worth = search.food_worth(&best.found);
    let weight = rest_weight(model.instance, food_worth);
    let least = best.worth - as_good(model.instance, food_worth);
    let kinds_most = model.instance.limits.kinds.unwrap_or(usize::MAX);
    let mut taken = best;
    if options.judge.is_none() {
        return taken;
    }
    let wanted = &model.instance.wanted;
    let is_wanted = |kind: &usize| wanted.iter().any(|one| one.crop == model.crops[*kind]);
    let kinds = taken.kinds.clone().into_iter();
    for kind in kinds.filter(|kind| !is_wanted(kind)) {
        for other in (0..kind).filter(|other| !taken.kinds.contains(other)) {
            let Some(beds) = with_sort(model, &taken.found.beds, kind, other) else {
                continue;
            };
            let found = Found { value: 0.0, beds };
            let mut own = search.another(FIRST_SEED);
            own.go_on_from(&found, kinds_most);
            // What rules or limits forbid is no exchange of sorts.
            if own.found().beds != found.beds {
                continue;
            }
            let tried = Judged::new(options, search, own.found(), weight);
            if tried.worth >= least {
                taken = tried;
                break;
            }
        }
    }
    taken
}

/// A plan with one kind in place of another of the same food and family, sown and set out in the same weeks and cleared no later; none
/// where a planting has no such other.
fn with_sort(
    model: &Model,
    beds: &[Vec<usize>],
    kind: usize,
    other: usize,
) -> Option<Vec<Vec<usize>>> {
    let candidates = &model.instance.candidates;
    let food = |one: usize| candidates[one].harvest.first().map(|pick| pick.food);
    let exchanged = |&one: &usize| {
        if model.plantings[one].crop != kind {
            return Some(one);
        }
        let own = &candidates[one];
        let is_like = |&number: &usize| {
            let like = &candidates[number];
            model.plantings[number].crop == other
                && like.is_to_sow()
                && food(number) == food(one)
                && (like.family, like.bed_class) == (own.family, own.bed_class)
                && (like.sow_week, like.bed_week) == (own.sow_week, own.bed_week)
                && like.weeks <= own.weeks
        };
        let like = (0..candidates.len()).filter(is_like);
        like.max_by_key(|&number| candidates[number].weeks)
    };
    let of_bed = |bed: &Vec<usize>| bed.iter().map(exchanged).collect();
    beds.iter().map(of_bed).collect()
}

/// Of a plan and of those of no other kinds the one of most value by the search's own measure.
pub(super) fn best_within<'p>(plans: &'p [Judged], of: &'p Judged) -> &'p Found {
    let within = plans.iter().filter(|plan| plan.kinds.is_subset(&of.kinds));
    let of_more = |best: &'p Found, plan: &'p Judged| {
        if plan.found.value > best.value {
            &plan.found
        } else {
            best
        }
    };
    within.fold(&of.found, of_more)
}

/// The most that a plan of these kinds is found to be worth by the search's own measure, looked for from the best one known.
pub(super) fn most_within(
    options: &SolveOptions,
    search: &Search,
    from: &Found,
    kinds: &BTreeSet<usize>,
) -> f64 {
    let look = |seed: u64| {
        let mut own = search.another(seed);
        own.allow(kinds);
        own.go_on_from(from, kinds.len());
        let answers = SEARCHED_ANSWERS_BED * search.model().instance.bed_count() as u64;
        own.kick_for(answers.min(options.work_limit));
        own.found().value
    };
    let looks = (FIRST_SEED..FIRST_SEED + SEARCHED_LOOKS).into_par_iter();
    looks.map(look).reduce(|| from.value, f64::max)
}

/// What becomes of a former plan beside the best one.
pub(super) struct BesideFormer {
    /// The former plan, its gaps filled where that gains.
    pub mended: Judged,
    /// The plan to take: the former one where it is as good, else the best with as much of it as leaves the plan as good.
    pub taken: Judged,
    /// Whether the former one is taken.
    pub kept: bool,
}

/// A former plan held against the best one, as both are lived; changed where it is eaten in several lives at once.
pub(super) fn beside_former(
    options: &SolveOptions,
    search: &mut Search,
    former: &[Vec<usize>],
    best: &Judged,
) -> BesideFormer {
    let model = search.model();
    let food_worth = search.food_worth(&best.found);
    let as_good = as_good(model.instance, food_worth);
    let weight = rest_weight(model.instance, food_worth);
    let judged = |found: &Found| {
        let found = Found {
            value: value_of(model, &found.beds),
            ..found.clone()
        };
        Judged::new(options, search, found, weight)
    };
    let mut kinds = best.kinds.clone();
    let of_former = former.iter().flatten();
    kinds.extend(of_former.map(|&one| model.plantings[one].crop));
    let lives = options
        .judge
        .map(|judge| judge.in_lives(&names(model, &kinds), 0));
    let in_lives = lives.as_ref().map(Model::for_search);
    let measure = in_lives.as_ref().unwrap_or(model);
    let mut own = search.beside(measure, FIRST_SEED);
    let there = Found {
        value: value_of(measure, &best.found.beds),
        beds: best.found.beds.clone(),
    };
    own.go_on_from(&there, model.instance.limits.kinds.unwrap_or(usize::MAX));
    let is_good = |found: &Found| {
        let worth = judged(found).worth;
        let least = best.worth - as_good;
        // The time of a plan agreed to is given already.
        worth >= least || worth + time(model, found) >= least + time(model, &there)
    };
    let floors = Floors {
        value: there.value - as_good,
        fill: TIE * food_worth,
        keep: options.keep_least,
    };
    let steady = own.steady(former, &there, floors, is_good);
    BesideFormer {
        mended: judged(&steady.mended),
        taken: judged(&steady.taken),
        kept: steady.kept,
    }
}
