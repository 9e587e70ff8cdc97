//! Checks a plan and its bound, knowing nothing of how they were found.
//!
//! Everything is counted again from the instance alone: beds and rotation week by week, food by eating the oldest
//! first, money from what is eaten, and the bound from the printed prices by longest paths over every family.

mod bound;
mod demand;
mod fault;
mod longest;
mod stretches;

use super::{Closing, Instance, Plan, Proof, Target};
use bound::bound_of;
pub use fault::Fault;

/// Relative slack on money and kilograms.
const SLACK: f64 = 1e-6;
/// Years after which stock carried round a settled year must have come to rest.
const TURNS_MAX: usize = 60;

/// What is claimed of a plan.
#[derive(Clone, Copy, Debug)]
pub struct Claim<'a> {
    /// Value of the plan.
    pub value: f64,
    /// No plan is worth more.
    pub bound: f64,
    /// Why.
    pub proof: &'a Proof,
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
    let (mut value, mut bound) = (f64::NAN, f64::NAN);
    if fits {
        limits(instance, plan, &mut faults);
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
    match bound_of(instance, claim.proof, &mut Vec::new()) {
        Ok(proven) => {
            // A part that cannot beat the plan in hand proves no more than that.
            bound = proven.max(claim.value);
            if bound > claim.bound + SLACK * claim.bound.abs().max(1.0) {
                faults.push(Fault::Bound {
                    found: bound,
                    claimed: claim.bound,
                });
            }
        }
        Err(why) => faults.push(Fault::Proof(why)),
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

fn beds(instance: &Instance, plan: &Plan, faults: &mut Vec<Fault>) {
    for (class, kind) in instance.beds.iter().enumerate() {
        for bed in 0..kind.count {
            if plan
                .beds
                .iter()
                .filter(|one| one.class == class && one.bed == bed)
                .count()
                != 1
            {
                faults.push(Fault::Beds { class, bed });
            }
        }
    }
    for one in &plan.beds {
        if instance
            .beds
            .get(one.class)
            .is_none_or(|class| one.bed >= class.count)
        {
            faults.push(Fault::Beds {
                class: one.class,
                bed: one.bed,
            });
            continue;
        }
        let wrong = |&&planting: &&usize| {
            instance
                .candidates
                .get(planting)
                .is_none_or(|candidate| candidate.bed_class != one.class)
        };
        if let Some(&planting) = one.plantings.iter().find(wrong) {
            faults.push(Fault::Misplaced {
                class: one.class,
                planting,
            });
            continue;
        }
        occupancy(instance, one, faults);
        rotation(instance, one, faults);
    }
}

fn occupancy(instance: &Instance, one: &super::BedPlan, faults: &mut Vec<Fault>) {
    let mut taken = vec![0; instance.weeks];
    let standing = instance
        .standing
        .iter()
        .find(|s| s.bed_class == one.class && s.bed == one.bed);
    for slot in taken
        .iter_mut()
        .take(standing.map_or(0, |standing| standing.free_week))
    {
        *slot += 1;
    }
    for &planting in &one.plantings {
        let candidate = &instance.candidates[planting];
        for week in candidate.bed_week..candidate.bed_week + candidate.weeks {
            if let Some(week) = instance.week_index(week) {
                taken[week] += 1;
            }
        }
    }
    if let Some(week) = taken.iter().position(|&count| count > 1) {
        faults.push(Fault::OverFull {
            class: one.class,
            bed: one.bed,
            week,
        });
    }
}

fn rotation(instance: &Instance, one: &super::BedPlan, faults: &mut Vec<Fault>) {
    let mut order: Vec<(usize, usize)> = one
        .plantings
        .iter()
        .map(|&planting| &instance.candidates[planting])
        .map(|candidate| (candidate.bed_week, candidate.family))
        .collect();
    order.sort_unstable();
    let standing = instance
        .standing
        .iter()
        .find(|s| s.bed_class == one.class && s.bed == one.bed);
    let before = match instance.closing {
        Closing::EachBed => order.last().map(|last| last.1),
        Closing::Open => standing.map(|standing| standing.family),
    };
    let mut last = before;
    for (week, family) in order {
        if last == Some(family) && !instance.families[family].may_follow_itself {
            let family = instance.families[family].name.clone();
            faults.push(Fault::Rotation {
                class: one.class,
                bed: one.bed,
                family,
                week,
            });
        }
        last = Some(family);
    }
}

fn plantings<'a>(
    instance: &'a Instance,
    plan: &'a Plan,
) -> impl Iterator<Item = &'a super::Candidate> {
    plan.beds
        .iter()
        .flat_map(|one| &one.plantings)
        .map(|&planting| &instance.candidates[planting])
}

fn limits(instance: &Instance, plan: &Plan, faults: &mut Vec<Fault>) {
    let mut labour = vec![0.0; instance.weeks];
    let mut shelf = vec![0.0; instance.weeks];
    let mut sowings = vec![std::collections::BTreeSet::new(); instance.weeks];
    for candidate in plantings(instance, plan) {
        for work in &candidate.labour {
            labour[work.week] += work.hours;
        }
        for week in candidate.tray_week_list(instance) {
            shelf[week] += candidate.shelf_m2;
        }
        sowings[candidate.sow_week].insert(candidate.crop.as_str());
    }
    let jobs: Vec<f64> = sowings.iter().map(|jobs| jobs.len() as f64).collect();
    let rules = [
        ("hours of work", labour, instance.limits.labour_h_week),
        ("shelf, m2,", shelf, instance.limits.shelf_m2),
        (
            "different sowings",
            jobs,
            instance.limits.sowings_week.map(|limit| limit as f64),
        ),
    ];
    for (what, used, limit) in rules {
        let Some(limit) = limit else { continue };
        for (week, used) in used.into_iter().enumerate() {
            if used > limit + SLACK {
                faults.push(Fault::Limit {
                    what,
                    week,
                    used,
                    limit,
                });
            }
        }
    }
}

/// Eats the oldest first and compares with appetite; false where the table of eating has the wrong shape.
fn eating(instance: &Instance, plan: &Plan, eaten: &[Vec<f64>], faults: &mut Vec<Fault>) -> bool {
    let shaped = eaten.len() == instance.foods.len()
        && eaten.iter().all(|weeks| weeks.len() == instance.weeks);
    if !shaped {
        faults.push(Fault::Proof(
            "what is eaten is not listed for every food and week",
        ));
        return false;
    }
    for (number, food) in instance.foods.iter().enumerate() {
        let harvest = harvest_of(instance, plan, number);
        let appetite: f64 = food.appetite.iter().map(|step| step.kg_week).sum();
        for (week, missing_kg) in missing(instance, food.keeps_weeks, &harvest, &eaten[number]) {
            faults.push(Fault::Invented {
                food: food.id.clone(),
                week,
                missing_kg,
            });
        }
        for (week, &eaten_kg) in eaten[number].iter().enumerate() {
            if !(eaten_kg <= appetite + SLACK && eaten_kg >= -SLACK) {
                let food = food.id.clone();
                faults.push(Fault::Appetite {
                    food,
                    week,
                    eaten_kg,
                    appetite_kg: appetite,
                });
            }
        }
    }
    for (number, group) in instance.groups.iter().enumerate() {
        for week in 0..instance.weeks {
            let eaten_kg = group_eaten(instance, number, week, eaten);
            if eaten_kg > group.appetite_kg_week + SLACK {
                let (food, appetite_kg) = (group.name.clone(), group.appetite_kg_week);
                faults.push(Fault::Appetite {
                    food,
                    week,
                    eaten_kg,
                    appetite_kg,
                });
            }
        }
    }
    true
}

fn group_eaten(instance: &Instance, group: usize, week: usize, eaten: &[Vec<f64>]) -> f64 {
    let members = instance
        .foods
        .iter()
        .zip(eaten)
        .filter(|(food, _)| food.group == Some(group));
    members.map(|(_, weeks)| weeks[week]).sum()
}

fn harvest_of(instance: &Instance, plan: &Plan, food: usize) -> Vec<f64> {
    let mut harvest = vec![0.0; instance.weeks];
    let standing = instance
        .standing
        .iter()
        .flat_map(|standing| &standing.harvest);
    for pick in plantings(instance, plan)
        .flat_map(|candidate| &candidate.harvest)
        .chain(standing)
    {
        if pick.food == food {
            harvest[pick.week] += pick.kg;
        }
    }
    harvest
}

/// Weeks in which more is eaten than is there when the oldest goes first. In a settled year stock is carried
/// round until it repeats itself.
fn missing(
    instance: &Instance,
    keeps_weeks: usize,
    harvest: &[f64],
    eaten: &[f64],
) -> Vec<(usize, f64)> {
    let weeks = instance.weeks;
    let keeps = keeps_weeks.min(weeks - 1);
    // Stock by age in weeks.
    let mut stock = vec![0.0; keeps + 1];
    let turns = if instance.closing == Closing::EachBed {
        TURNS_MAX
    } else {
        1
    };
    let mut short = Vec::new();
    for _ in 0..turns {
        let before = stock.clone();
        short.clear();
        for week in 0..weeks {
            stock.rotate_right(1);
            stock[0] = harvest[week];
            let mut wanted = eaten[week];
            for kept in stock.iter_mut().rev() {
                let kg = kept.min(wanted);
                *kept -= kg;
                wanted -= kg;
            }
            if wanted > SLACK {
                short.push((week, wanted));
            }
        }
        if before
            .iter()
            .zip(&stock)
            .all(|(a, b)| (a - b).abs() <= 1e-12)
        {
            break;
        }
    }
    short
}

fn value_of(instance: &Instance, plan: &Plan, eaten: &[Vec<f64>]) -> f64 {
    let mut value = -plantings(instance, plan)
        .map(|candidate| candidate.cost)
        .sum::<f64>();
    for (food, weeks) in instance.foods.iter().zip(eaten) {
        for (week, &kg) in weeks.iter().enumerate() {
            let mut left = kg;
            for step in &food.appetite {
                let part = left.min(step.kg_week);
                value += part * step.worth * food.price_kg[week];
                left -= part;
            }
        }
    }
    for wish in &instance.wishes {
        for (week, &asked) in wish.kg_week.iter().enumerate() {
            let got = match wish.target {
                Target::Food(food) => eaten[food][week],
                Target::Group(group) => group_eaten(instance, group, week, eaten),
            };
            value -= wish.penalty_kg * (asked - got).max(0.0);
        }
    }
    for wanted in &instance.wanted {
        let there = plantings(instance, plan)
            .filter(|candidate| candidate.crop == wanted.crop)
            .count();
        value -= wanted.penalty * wanted.plantings.saturating_sub(there) as f64;
    }
    value
}
