//! What the household would earn by buying at the printed prices.

use crate::plan::{Harvest, Instance, Prices, Target};

/// So many kilograms, each worth so much.
type Part = (f64, f64);

/// Best total of worth less price over all tables and weeks.
pub(super) fn worth_at(instance: &Instance, prices: &Prices) -> f64 {
    let mut worth = 0.0;
    for week in 0..instance.weeks {
        for group in 0..instance.groups.len() {
            let members =
                (0..instance.foods.len()).filter(|&food| instance.foods[food].group == Some(group));
            let offers = members
                .flat_map(|food| offers(instance, prices, food, week))
                .collect();
            let appetite = instance.groups[group].appetite_kg_week;
            let extra = with_wishes(instance, Target::Group(group), week, &[(appetite, 0.0)]);
            worth += best_sum(offers, &extra);
        }
        for food in (0..instance.foods.len()).filter(|&food| instance.foods[food].group.is_none()) {
            let offers = offers(instance, prices, food, week);
            worth += offers
                .iter()
                .map(|(kg, reward)| kg * reward.max(0.0))
                .sum::<f64>();
        }
    }
    worth
}

/// Worth at the prices of a list of harvests: food price, and the share held to what each could earn alone.
pub(super) fn harvest_worth(instance: &Instance, prices: &Prices, harvest: &[Harvest]) -> f64 {
    let mut kg = std::collections::BTreeMap::new();
    for pick in harvest {
        *kg.entry((pick.food, pick.week)).or_insert(0.0) += pick.kg;
    }
    kg.into_iter()
        .map(|((food, week), kg)| {
            let share = prices.alone[food][week];
            let held = if share > 0.0 {
                share * alone(instance, food, week, kg)
            } else {
                0.0
            };
            kg * prices.food[food][week] + held
        })
        .sum()
}

/// Most that one week's harvest could earn from one food's steps if nothing else were picked.
fn alone(instance: &Instance, food: usize, week: usize, kg: f64) -> f64 {
    let keeps = instance.foods[food].keeps_weeks.min(instance.weeks - 1);
    let mut parts: Vec<Part> = Vec::new();
    for later in week..=week + keeps {
        let Some(later) = instance.week_index(later) else {
            break;
        };
        let group = instance.foods[food].group;
        let mut room = group.map_or(f64::INFINITY, |group| {
            instance.groups[group].appetite_kg_week
        });
        for (kg, worth) in steps(instance, food, later) {
            parts.push((kg.min(room), worth));
            room = (room - kg).max(0.0);
        }
    }
    parts.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut left = kg;
    let mut worth = 0.0;
    for (kg, each) in parts {
        worth += kg.min(left) * each;
        left = (left - kg).max(0.0);
    }
    worth
}

fn steps(instance: &Instance, food: usize, week: usize) -> Vec<Part> {
    let one = &instance.foods[food];
    let steps: Vec<Part> = one
        .appetite
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
    let best = |worth: f64| {
        let reward = |&at: &usize| (1.0 - prices.alone[food][at]) * worth - prices.food[food][at];
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
