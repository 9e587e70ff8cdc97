//! The choice among plans of fewer and more kinds of crop: looks with draws of their own, kinds dropped one by one.

use std::collections::BTreeSet;

use rayon::prelude::*;

use super::improve::{Floors, Found, Search};
use super::lives::{Judged, best_of, judged, rest_weight};
use super::model::Model;
use super::solve::{is_stopped, plan_of, work};
use super::{DEFAULT_WORK_LIMIT, Instance, Simpler, SolveOptions};

/// Plans whose values differ by no more than this share of what their food is worth count as equally good, or by what one more
/// kind of crop takes of the household's time where that is more: neither a harvest nor that time is known better, and what is
/// left after both can be near nothing (own choice).
pub const AS_GOOD: f64 = 0.01;
/// What a plan that asks for less may lose, as a share of what its food is worth: well below [`AS_GOOD`], so that the plan
/// handed over is still as good when a price or a year is another (own choice).
pub(super) const TIE: f64 = 0.002;
/// Seed of all looks but the person's own.
pub(super) const FIRST_SEED: u64 = 1;
/// Looks that drop kinds one by one; plans that are searched on from, and draws of their own for each.
const LOOKS: u64 = 4;
const GONE_ON_FROM: usize = 3;
const SEEDS_EACH: u64 = 1;
/// Fewest kinds of crop that plans are looked for with (own choice).
pub const KINDS_LEAST: usize = 4;
/// Times as many looks at most where more work is allowed than usual.
pub(super) const TIMES_MOST: u64 = 40;
/// What a kind of crop weighs more in a look, as shares of what the food is worth: about what one kind more brings.
const DEAR_KINDS: [f64; 4] = [0.0, 0.005, 0.01, 0.0];
/// Answers a bed: for a plan of a look's own to begin with, to settle a plan with one kind less, to look for a better one of as
/// many kinds, for one of the kinds allowed, and for one by the person's seed; the work limit bounds each.
const OWN_ANSWERS_BED: u64 = 10;
const DROP_ANSWERS_BED: u64 = 3;
const ROW_ANSWERS_BED: u64 = 5;
const CHOSEN_ANSWERS_BED: u64 = 15;
const SEEDED_ANSWERS_BED: u64 = 10;
/// The same for each weight under which a plan is looked for that asks for less.
const SIMPLEST_ANSWERS_BED: u64 = 5;

/// The plan of no more kinds than are allowed, and plans of fewer and more of them.
///
/// Looks with draws of their own begin with the best plan of all or with one of their own, most of them search on with kinds
/// made dear, and drop kinds one by one; of what they come to the best are searched on from, and the best row of each number of kinds. The person's seed has
/// one look of its own; what it finds is taken where it is more than as good, so that another seed gives much the same plan.
pub(super) fn chosen(
    options: &SolveOptions,
    instance: &Instance,
    search: &mut Search,
) -> Vec<Judged> {
    let most = instance.limits.kinds.unwrap_or(usize::MAX);
    let least = if options.frontier {
        KINDS_LEAST.min(most)
    } else {
        instance.limits.kinds.unwrap_or(KINDS_LEAST)
    };
    let answers = |of_bed: u64| (of_bed * instance.bed_count() as u64).min(options.work_limit);
    let times = (work(options) / DEFAULT_WORK_LIMIT).clamp(1, TIMES_MOST);
    let look = |from: &Found, kinds: usize, seed: u64, of_bed: u64| Look {
        from: from.clone(),
        kinds,
        seed,
        answers: answers(of_bed),
        beyond_usual: false,
    };
    let first = search.found();
    let looks: Vec<Vec<Found>> = (0..LOOKS * times)
        .into_par_iter()
        .filter(|look| *look < LOOKS || !is_stopped(options))
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
    let model = search.model();
    let kinds = |found: &Found| kinds_of(model, found).len();
    rows.sort_by(|a, b| b.value.total_cmp(&a.value));
    let by_value = rows.clone();
    // Looks in earnest from the best plans of no more kinds.
    let in_earnest = |most: usize| -> Vec<Look> {
        let mut from: Vec<&Found> = by_value.iter().filter(|row| kinds(row) <= most).collect();
        from.truncate(GONE_ON_FROM);
        if from.is_empty() {
            from.extend(by_value.last());
        }
        let on = from.into_iter().flat_map(|found| {
            let seeds = FIRST_SEED..FIRST_SEED + SEEDS_EACH * times;
            seeds.map(move |seed| (found, seed))
        });
        on.map(|(from, seed)| Look {
            beyond_usual: seed >= FIRST_SEED + SEEDS_EACH,
            ..look(from, most, seed, CHOSEN_ANSWERS_BED)
        })
        .collect()
    };
    rows.sort_by_key(|row| kinds(row));
    rows.dedup_by_key(|row| kinds(row));
    // Of more kinds than are allowed the next but one and the most are enough to choose from.
    let all = rows.last().map(kinds);
    rows.retain(|row| {
        let own = kinds(row);
        own <= most || Some(own) == all || own == most + 2
    });
    let mut all = in_earnest(most);
    let first = all[0].from.clone();
    let own_seed = FIRST_SEED + LOOKS * times + options.seed;
    all.insert(0, look(&first, most, own_seed, SEEDED_ANSWERS_BED));
    let each = rows.iter();
    all.extend(each.map(|row| look(row, kinds(row), FIRST_SEED, ROW_ANSWERS_BED)));
    let mut found = look_on(options, search, all);
    let seeded = found.remove(0);
    let fits = found.iter().filter(|found| kinds(found) <= most);
    let best = fits.max_by(|a, b| a.value.total_cmp(&b.value));
    let best = best.unwrap_or(&first).clone();
    let floor = best.value - TIE * search.food_worth(&best);
    // Of plans as good as equal the one that asks for least.
    let fits = found.iter().filter(|found| kinds(found) <= most);
    let simplest = fits
        .filter(|found| found.value >= floor)
        .min_by_key(|found| instance.simplicity(&plan_of(search.model(), &found.beds)));
    let simplest = simplest.unwrap_or(&best).clone();
    search.go_on_from(&simplest, most);
    search.simplest(floor, answers(SIMPLEST_ANSWERS_BED));
    let mut best = search.found();
    let floors = Floors {
        value: seeded.value - as_good(instance, search.food_worth(&best)),
        fill: f64::INFINITY,
        keep: 0.0,
    };
    if kinds(&seeded) <= most && best.value < floors.value {
        let is_good = |found: &Found| found.value >= floors.value;
        best = search
            .steady(&best.beds.clone(), &seeded, floors, is_good)
            .taken;
    }
    let food_worth = search.food_worth(&best);
    let weight = rest_weight(instance, food_worth);
    let all: Vec<Found> = [best].into_iter().chain(found).collect();
    let mut plans = judged(options, search, all, weight);
    if most == usize::MAX {
        // As many kinds as pay can be fewer than the search would take: so many are looked on in earnest, too.
        let paying = plans[best_of(&plans, most)].kinds.len();
        let on = look_on(options, search, in_earnest(paying));
        plans.extend(judged(options, search, on, weight));
    }
    plans
}

/// What looks find; once ended from outside, those of usual work alone.
fn look_on(options: &SolveOptions, search: &Search, looks: Vec<Look>) -> Vec<Found> {
    let wanted = |look: &Look| !look.beyond_usual || !is_stopped(options);
    let look_on = |look: Look| {
        let mut search = search.another(look.seed);
        search.go_on_from(&look.from, look.kinds);
        search.kick_for(look.answers);
        search.found()
    };
    let looks = looks.into_par_iter().filter(wanted);
    looks.map(look_on).collect()
}

/// What two plans may differ by in value and still count as equally good.
pub(super) fn as_good(instance: &Instance, food_worth: f64) -> f64 {
    (AS_GOOD * food_worth).max(instance.effort.kind + instance.effort.planting)
}

/// One search from a plan on.
struct Look {
    from: Found,
    /// Most kinds of crop.
    kinds: usize,
    seed: u64,
    answers: u64,
    /// Whether usual work does without it.
    beyond_usual: bool,
}

pub(super) fn kinds_of(model: &Model, found: &Found) -> BTreeSet<usize> {
    let planted = found.beds.iter().flatten();
    planted
        .map(|&planting| model.plantings[planting].crop)
        .collect()
}

/// The plans that were come to, one for each number of kinds; the chosen one may be another than was come to.
pub(super) fn frontier(search: &Search, mut rows: Vec<Judged>, best: &Judged) -> Vec<Simpler> {
    let model = search.model();
    if rows.iter().all(|row| row.found.beds != best.found.beds) {
        rows.push(best.clone());
    }
    let is_chosen = |row: &Judged| row.found.beds == best.found.beds;
    rows.sort_by(|a, b| {
        let same = is_chosen(b).cmp(&is_chosen(a));
        let worth = b.worth.total_cmp(&a.worth);
        a.kinds.len().cmp(&b.kinds.len()).then(same).then(worth)
    });
    rows.dedup_by_key(|row| row.kinds.len());
    let simpler = |row: Judged| {
        let plan = plan_of(model, &row.found.beds);
        Simpler {
            simplicity: model.instance.simplicity(&plan),
            early: row.early,
            early_weighs: row.early_weighs,
            chosen: is_chosen(&row),
            plan,
            value: row.found.value,
        }
    };
    let mut simpler: Vec<Simpler> = rows.into_iter().map(simpler).collect();
    simpler.sort_by_key(|row| row.simplicity);
    simpler
}
