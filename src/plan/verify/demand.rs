//! What the household would earn by buying at the printed prices.

use super::stretches;
use crate::plan::{Instance, Prices, Target};

/// So many kilograms, each worth so much.
pub(super) type Part = (f64, f64);

/// Best total of worth less price over all weeks, table by table: groups, then foods by themselves (by place in the list of
/// foods; nothing for those of a group).
pub(super) fn worth_at(instance: &Instance, prices: &Prices) -> (Vec<f64>, Vec<f64>) {
    let mut of_group = vec![0.0; instance.groups.len()];
    let mut of_food = vec![0.0; instance.foods.len()];
    for week in 0..instance.weeks {
        for group in 0..instance.groups.len() {
            let members =
                (0..instance.foods.len()).filter(|&food| instance.foods[food].group == Some(group));
            let offers = members
                .flat_map(|food| offers(instance, prices, food, week))
                .collect();
            let held: f64 = stretches::of_eating(instance, group, week)
                .map(|at| prices.granted[at])
                .sum();
            let free = (1.0 - held).max(0.0);
            let extra = wished(instance, group, week);
            let extra: Vec<Part> = extra.iter().map(|&(kg, more)| (kg, free * more)).collect();
            of_group[group] += best_sum(offers, &extra);
        }
        for food in (0..instance.foods.len()).filter(|&food| instance.foods[food].group.is_none()) {
            let offers = offers(instance, prices, food, week);
            of_food[food] += offers
                .iter()
                .map(|(kg, reward)| kg * reward.max(0.0))
                .sum::<f64>();
        }
    }
    (of_group, of_food)
}

/// A group's appetite in a week as parts, each worth the penalties that it saves.
pub(super) fn wished(instance: &Instance, group: usize, week: usize) -> Vec<Part> {
    let appetite = instance.group_appetite_kg(group, week);
    with_wishes(instance, Target::Group(group), week, &[(appetite, 0.0)])
}

/// Worth of so many kilograms of parts, the dearest first.
pub(super) fn dearest(mut parts: Vec<Part>, kg: f64) -> f64 {
    parts.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut left = kg;
    let mut worth = 0.0;
    for (kg, each) in parts {
        worth += kg.min(left) * each;
        left = (left - kg).max(0.0);
    }
    worth
}

/// Share of the revenue of a week's harvest that is held to what plantings could earn alone.
fn held(instance: &Instance, prices: &Prices, food: usize, week: usize) -> f64 {
    let stretches = stretches::of_harvest(instance, food, week).map(|at| prices.stretches[at]);
    (prices.alone[food][week] + prices.pairs[food] + stretches.sum::<f64>()).min(1.0)
}

pub(super) fn steps(instance: &Instance, food: usize, week: usize) -> Vec<Part> {
    let one = &instance.foods[food];
    let steps: Vec<Part> = instance
        .appetite(food, week)
        .iter()
        .map(|step| (step.kg_week, step.worth * one.price_kg[week]))
        .collect();
    with_wishes(instance, Target::Food(food), week, &steps)
}

/// The steps cut at every wish, each part worth its step and the penalties it saves.
fn with_wishes(instance: &Instance, target: Target, week: usize, steps: &[Part]) -> Vec<Part> {
    let wishes: Vec<Part> = instance
        .wishes
        .iter()
        .filter(|wish| wish.target == target)
        .map(|wish| (wish.kg_week[week], wish.penalty_kg))
        .collect();
    let mut ends: Vec<f64> = wishes.iter().map(|wish| wish.0).collect();
    let mut end = 0.0;
    for step in steps {
        end += step.0;
        ends.push(end);
    }
    let most = end;
    ends.retain(|&kg| kg > 0.0 && kg <= most);
    ends.sort_by(f64::total_cmp);
    let mut parts = Vec::new();
    let mut low = 0.0;
    for end in ends.into_iter().filter(|&end| end > 0.0) {
        if end <= low {
            continue;
        }
        let mut below = 0.0;
        let mut worth = 0.0;
        for step in steps {
            below += step.0;
            if low < below {
                worth = step.1;
                break;
            }
        }
        worth += wishes
            .iter()
            .filter(|wish| wish.0 >= end)
            .map(|wish| wish.1)
            .sum::<f64>();
        parts.push((end - low, worth));
        low = end;
    }
    parts
}

/// A food's steps in a week as (kg, best worth less price over the weeks it could have been picked in).
fn offers(instance: &Instance, prices: &Prices, food: usize, week: usize) -> Vec<Part> {
    let keeps = instance.foods[food].keeps_weeks.min(instance.weeks - 1);
    let picked = (0..instance.weeks).filter(|&picked| {
        (picked..=picked + keeps).any(|later| instance.week_index(later) == Some(week))
    });
    let picked: Vec<usize> = picked.collect();
    let free: Vec<f64> = (0..instance.weeks)
        .map(|at| 1.0 - held(instance, prices, food, at))
        .collect();
    let best = |worth: f64| {
        let reward = |&at: &usize| free[at] * worth - prices.food[food][at];
        picked.iter().map(reward).fold(f64::NEG_INFINITY, f64::max)
    };
    steps(instance, food, week)
        .into_iter()
        .map(|(kg, worth)| (kg, best(worth)))
        .collect()
}

/// Best sum when every kilogram bought also earns the next part of `extra`, and no more than `extra` is bought.
fn best_sum(mut offers: Vec<Part>, extra: &[Part]) -> f64 {
    offers.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut sum = 0.0;
    let mut bought = 0.0;
    for (kg, reward) in offers {
        let (from, to) = (bought, bought + kg);
        let mut low = 0.0;
        for &(size, more) in extra {
            let high = low + size;
            let part = (to.min(high) - from.max(low)).max(0.0);
            sum += part * (reward + more).max(0.0);
            low = high;
        }
        bought = to;
    }
    sum
}
