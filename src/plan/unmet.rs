//! What a plan cannot give at all, in words; wishes that are short in some weeks are its gaps.

use super::{Closing, Instance, Plan};
use crate::phrase::Phrase;

/// What a plan cannot give, in words; empty where it has all that was asked for.
pub(super) fn unmet(instance: &Instance, plan: &Plan) -> Vec<Phrase> {
    let mut words = Vec::new();
    if instance.candidates.is_empty() {
        words.push("no crop comes through in any bed and week, so the beds stay empty".into());
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
                    "bed {} of `{class}` stays taken by {}",
                    standing.bed + 1,
                    standing.crop
                )
                .into(),
            );
        }
    }
    words
}
