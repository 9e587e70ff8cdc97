//! What a plan cannot give at all, in words; wishes that are short in some weeks are its gaps.

use rayon::prelude::*;

use super::{Closing, Instance, Plan, schedule};
use crate::phrase::Phrase;

/// Why nothing is planted: each sowing that comes through is tried by itself.
fn why_empty(instance: &Instance, empty: &Plan) -> &'static str {
    if instance.beds.is_empty() {
        return "there is no bed, so nothing can be planted";
    }
    if instance.candidates.is_empty() {
        return "no crop comes through in any bed and week, so the beds stay empty";
    }
    let value = |plan: &Plan| {
        let eaten = schedule::eating(instance, &schedule::harvest(instance, plan));
        schedule::value(instance, plan, &eaten)
    };
    let nothing = value(empty);
    let pays = |number: usize| {
        let class = instance.candidates[number].bed_class;
        let mut plan = empty.clone();
        for bed in plan
            .beds
            .iter_mut()
            .filter(|one| one.class == class)
            .take(1)
        {
            bed.plantings.push(number);
        }
        value(&plan) > nothing
    };
    if (0..instance.candidates.len()).into_par_iter().any(pays) {
        "no plan was found in which what comes through is worth its seed and your time, so the beds stay empty"
    } else {
        "of all that comes through nothing is worth its seed and your time, so the beds stay empty"
    }
}

/// What a plan cannot give, in words; empty where it has all that was asked for.
pub fn unmet(instance: &Instance, plan: &Plan) -> Vec<Phrase> {
    let mut words = Vec::new();
    if plan.is_empty() {
        words.push(why_empty(instance, plan).into());
    }
    for wanted in &instance.wanted {
        let there = plan.beds.iter().flat_map(|one| &one.plantings);
        let there = there
            .filter(|&&number| instance.candidates[number].crop == wanted.crop)
            .count();
        let offered = instance
            .candidates
            .iter()
            .any(|candidate| candidate.crop == wanted.crop);
        if there < wanted.plantings {
            let why = if offered {
                "beds or limits leave no room"
            } else {
                "it comes through in no bed and week"
            };
            let (crop, asked) = (&wanted.crop, wanted.plantings);
            words.push(
                format!("`{crop}` wanted {asked} times, planned {there} times: {why}").into(),
            );
        }
    }
    for standing in instance
        .standing
        .iter()
        .filter(|_| instance.closing == Closing::Open)
    {
        if standing.free_week >= instance.weeks {
            let class = &instance.beds[standing.bed_class].name;
            words.push(
                format!(
                    "section {} of `{class}` stays taken by {}",
                    standing.bed + 1,
                    standing.crop
                )
                .into(),
            );
        }
    }
    words
}
