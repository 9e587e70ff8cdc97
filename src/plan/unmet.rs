//! What a plan cannot give at all, in words.

use super::gaps::{SHORT_KG, target_name};
use super::{Closing, Instance, Plan, schedule};

/// What a plan cannot give, in words; empty when every wish is met.
pub(super) fn unmet(instance: &Instance, plan: &Plan, eaten: &[Vec<f64>]) -> Vec<String> {
    let mut words = Vec::new();
    if instance.candidates.is_empty() {
        words.push("no crop comes through in any bed and week, so the beds stay empty".to_string());
    }
    for one in &instance.wishes {
        let short =
            |week: usize| one.kg_week[week] - schedule::on_table(instance, one.target, week, eaten);
        let weeks: Vec<usize> = (0..instance.weeks)
            .filter(|&week| short(week) > SHORT_KG)
            .collect();
        let missing: f64 = weeks.iter().map(|&week| short(week)).sum();
        if !weeks.is_empty() {
            let name = target_name(instance, one.target);
            let count = weeks.len();
            words.push(format!(
                "{name}: with mean harvests {missing:.1} kg short of the wish, in {count} weeks; this plan comes nearest"
            ));
        }
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
            words.push(format!(
                "`{crop}` wanted {asked} times, planned {there} times: {why}"
            ));
        }
    }
    for standing in instance
        .standing
        .iter()
        .filter(|_| instance.closing == Closing::Open)
    {
        if standing.free_week >= instance.weeks {
            let class = &instance.beds[standing.bed_class].name;
            words.push(format!(
                "bed {} of `{class}` stays taken by {}",
                standing.bed + 1,
                standing.crop
            ));
        }
    }
    words
}
