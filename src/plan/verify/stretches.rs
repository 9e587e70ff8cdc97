//! Stretches of weeks in which revenue, and what wishes pay, is held to what each planting could earn alone.

use std::collections::{BTreeMap, BTreeSet};

use super::demand::{Part, dearest, steps, wished};
use crate::plan::{Harvest, Instance, Prices};

/// Lengths of stretches, weeks; those above the horizon are left out.
const MONTH: usize = 4;
const SEASON: usize = 13;

fn lengths(instance: &Instance) -> Vec<usize> {
    let weeks = instance.weeks;
    let all = [MONTH, SEASON, weeks];
    all.into_iter().filter(|&length| length <= weeks).collect()
}

/// Places in a list that holds, for each owner, its stretches of each length.
fn places(weeks: usize, lengths: Vec<usize>, owner: usize, week: usize) -> Vec<usize> {
    let count = |length: &usize| weeks.div_ceil(*length);
    let each: usize = lengths.iter().map(count).sum();
    let mut first = owner * each;
    let mut places = Vec::new();
    for length in &lengths {
        places.push(first + week / length);
        first += count(length);
    }
    places
}

/// Stretches of a food that a week of harvest lies in.
pub(super) fn of_harvest(
    instance: &Instance,
    food: usize,
    week: usize,
) -> impl Iterator<Item = usize> + use<> {
    places(instance.weeks, lengths(instance), food, week).into_iter()
}

/// Stretches of a group that a week of eating lies in, the week itself first.
pub(super) fn of_eating(
    instance: &Instance,
    group: usize,
    week: usize,
) -> impl Iterator<Item = usize> + use<> {
    let mut all = vec![1];
    all.extend(lengths(instance));
    places(instance.weeks, all, group, week).into_iter()
}

/// Number of stretches of harvest and of eating.
pub(super) fn counts(instance: &Instance) -> (usize, usize) {
    let weeks = instance.weeks;
    let each: usize = lengths(instance)
        .iter()
        .map(|&length| weeks.div_ceil(length))
        .sum();
    (
        instance.foods.len() * each,
        instance.groups.len() * (weeks + each),
    )
}

/// Worth at the prices of a list of harvests: food price, and the shares held to what they could earn alone.
pub(super) fn harvest_worth(instance: &Instance, prices: &Prices, harvest: &[Harvest]) -> f64 {
    let mut kg = BTreeMap::new();
    for pick in harvest {
        *kg.entry((pick.food, pick.week)).or_insert(0.0) += pick.kg;
    }
    kg.retain(|_, kg| *kg > 0.0);
    let mut worth = 0.0;
    let mut by_stretch = BTreeMap::<usize, (usize, BTreeSet<usize>, f64, f64)>::new();
    for (&(food, week), &kg) in &kg {
        let alone = earned(instance, food, &reach(instance, food, week), kg);
        worth += kg * prices.food[food][week] + prices.alone[food][week] * alone;
        for at in of_harvest(instance, food, week) {
            let entry = by_stretch
                .entry(at)
                .or_insert((food, BTreeSet::new(), 0.0, 0.0));
            entry.1.extend(reach(instance, food, week));
            entry.2 += kg;
            entry.3 += alone;
        }
    }
    for (at, (food, weeks, kg, alone)) in by_stretch {
        worth += prices.stretches[at] * earned(instance, food, &weeks, kg).min(alone);
    }
    let groups = 0..instance.groups.len();
    worth
        + groups
            .map(|group| saved(instance, prices, group, &kg))
            .sum::<f64>()
}

/// Weeks in which food picked in a week can be eaten.
fn reach(instance: &Instance, food: usize, week: usize) -> BTreeSet<usize> {
    let keeps = instance.foods[food].keeps_weeks.min(instance.weeks - 1);
    (week..=week + keeps)
        .filter_map(|later| instance.week_index(later))
        .collect()
}

/// Most that so many kilograms could earn from one food's steps in these weeks if nothing else were picked.
fn earned(instance: &Instance, food: usize, weeks: &BTreeSet<usize>, kg: f64) -> f64 {
    let mut parts: Vec<Part> = Vec::new();
    for &week in weeks {
        let group = instance.foods[food].group;
        let mut room = group.map_or(f64::INFINITY, |group| {
            instance.group_appetite_kg(group, week)
        });
        for (kg, worth) in steps(instance, food, week) {
            parts.push((kg.min(room), worth));
            room = (room - kg).max(0.0);
        }
    }
    dearest(parts, kg)
}

/// Worth at the prices of what these kilograms, by food and week, could save of a group's wishes.
fn saved(
    instance: &Instance,
    prices: &Prices,
    group: usize,
    harvest: &BTreeMap<(usize, usize), f64>,
) -> f64 {
    let mut by_week = BTreeMap::new();
    let mut by_stretch = BTreeMap::new();
    for (&(food, week), &kg) in harvest {
        if instance.foods[food].group != Some(group) {
            continue;
        }
        let weeks = reach(instance, food, week);
        let eating = |&week: &usize| of_eating(instance, group, week);
        let stretches: BTreeSet<usize> = weeks.iter().flat_map(eating).collect();
        for week in weeks {
            *by_week.entry(week).or_insert(0.0) += kg;
        }
        for at in stretches {
            *by_stretch.entry(at).or_insert(0.0) += kg;
        }
    }
    let mut weekly = BTreeMap::new();
    let mut parts: BTreeMap<usize, Vec<Part>> = BTreeMap::new();
    for (&week, &kg) in &by_week {
        let saved = dearest(wished(instance, group, week), kg);
        for at in of_eating(instance, group, week) {
            *weekly.entry(at).or_insert(0.0) += saved;
            parts
                .entry(at)
                .or_default()
                .extend(wished(instance, group, week));
        }
    }
    let mut worth = 0.0;
    for (at, kg) in by_stretch {
        let pooled = dearest(parts.remove(&at).unwrap_or_default(), kg);
        let weekly: f64 = weekly.get(&at).copied().unwrap_or(0.0);
        worth += prices.granted[at] * pooled.min(weekly);
    }
    worth
}
