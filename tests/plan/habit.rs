//! A succession by hand, after the rules that gardeners pass on.

use bedyear::plan::*;

/// Sow every two weeks, whatever was sown longest ago, half of it greens: common practice, no source.
pub fn by_habit(instance: &Instance) -> Plan {
    let beds = instance.beds.iter().enumerate();
    let beds = beds.flat_map(|(class, kind)| (0..kind.count).map(move |bed| (class, bed)));
    let mut plan = Plan {
        beds: beds
            .map(|(class, bed)| BedPlan {
                class,
                bed,
                plantings: Vec::new(),
            })
            .collect(),
    };
    let mut sown: std::collections::BTreeMap<String, usize> = std::collections::BTreeMap::new();
    let is_green = |candidate: &Candidate| {
        let is = |pick: &Harvest| {
            let group = instance.foods[pick.food].group;
            group.is_some_and(|group| {
                instance.groups[group]
                    .name
                    .to_lowercase()
                    .contains("greens")
            })
        };
        candidate.harvest.iter().any(is)
    };
    for (turn, week) in (0..instance.weeks).step_by(2).enumerate() {
        for bed in 0..plan.beds.len() {
            let wants_green = (turn + bed) % 2 == 0;
            let mut options: Vec<usize> = (0..instance.candidates.len())
                .filter(|&number| {
                    let candidate = &instance.candidates[number];
                    candidate.bed_class == plan.beds[bed].class && candidate.bed_week == week
                })
                .collect();
            options.sort_by_key(|&number| {
                let candidate = &instance.candidates[number];
                let times = sown.get(&candidate.crop).copied();
                (is_green(candidate) != wants_green, times, number)
            });
            for option in options {
                let mut with = plan.clone();
                with.beds[bed].plantings.push(option);
                if verify::check_rules(instance, &with).is_empty() {
                    *sown
                        .entry(instance.candidates[option].crop.clone())
                        .or_default() += 1;
                    plan = with;
                    break;
                }
            }
        }
    }
    plan
}
