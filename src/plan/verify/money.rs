//! Food eaten oldest first, and what it is worth.

use super::rules::plantings;
use super::{Fault, SLACK};
use crate::plan::{Closing, Instance, Plan, Target};

/// Years after which stock carried round a settled year must have come to rest.
const TURNS_MAX: usize = 60;

/// Eats the oldest first and compares with appetite; false where the table of eating has the wrong shape.
pub(super) fn eating(
    instance: &Instance,
    plan: &Plan,
    eaten: &[Vec<f64>],
    faults: &mut Vec<Fault>,
) -> bool {
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
        for (week, missing_kg) in missing(instance, food.keeps_weeks, &harvest, &eaten[number]) {
            faults.push(Fault::Invented {
                food: food.id.clone(),
                week,
                missing_kg,
            });
        }
        for (week, &eaten_kg) in eaten[number].iter().enumerate() {
            let appetite: f64 = instance
                .appetite(number, week)
                .iter()
                .map(|step| step.kg_week)
                .sum();
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
            let appetite_kg = instance.group_appetite_kg(number, week);
            if eaten_kg > appetite_kg + SLACK {
                let food = group.name.clone();
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
    for pick in plantings(instance, plan)
        .flat_map(|candidate| &candidate.harvest)
        .chain(instance.given())
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

pub(super) fn value_of(instance: &Instance, plan: &Plan, eaten: &[Vec<f64>]) -> f64 {
    let mut value = -plantings(instance, plan)
        .map(|candidate| candidate.cost)
        .sum::<f64>()
        - effort(instance, plan);
    for (number, (food, weeks)) in instance.foods.iter().zip(eaten).enumerate() {
        for (week, &kg) in weeks.iter().enumerate() {
            let mut left = kg;
            for step in instance.appetite(number, week) {
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

/// The household's own time: for each planting, each kind and each week of sowing.
fn effort(instance: &Instance, plan: &Plan) -> f64 {
    let mut sown: Vec<(&str, usize, usize)> = plantings(instance, plan)
        .map(|one| (one.crop.as_str(), one.sow_week, one.bed_class))
        .collect();
    sown.sort_unstable();
    let ways: std::collections::BTreeSet<usize> = plan
        .beds
        .iter()
        .flat_map(|one| one.plantings.iter().copied())
        .collect();
    let mut crops: Vec<&str> = sown.iter().map(|one| one.0).collect();
    crops.dedup();
    let to_sow = plantings(instance, plan).filter(|one| one.begun.is_empty());
    let mut weeks: Vec<usize> = to_sow.map(|one| one.sow_week).collect();
    weeks.sort_unstable();
    weeks.dedup();
    instance.effort.planting * ways.len() as f64
        + instance.effort.kind * crops.len() as f64
        + instance.effort.sowing_week * weeks.len() as f64
}
