//! Beds, rotation and shared limits, counted again week by week.

use super::{Fault, SLACK};
use crate::plan::{BedPlan, Closing, Instance, Plan};

pub(super) fn beds(instance: &Instance, plan: &Plan, faults: &mut Vec<Fault>) {
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
            instance.candidates.get(planting).is_none_or(|candidate| {
                let begun = &candidate.begun;
                let elsewhere = !begun.is_empty() && !begun.contains(&one.bed);
                candidate.bed_class != one.class || elsewhere
            })
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
        once(instance, one, faults);
    }
}

fn occupancy(instance: &Instance, one: &BedPlan, faults: &mut Vec<Fault>) {
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

fn rotation(instance: &Instance, one: &BedPlan, faults: &mut Vec<Fault>) {
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
    if instance.closing == Closing::EachBed
        && let [only] = one.plantings[..]
        && moves_on(instance, only)
    {
        return;
    }
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

/// A planting of a limited family moves on to another bed when the year turns: alone in its bed it does not follow itself.
pub(super) fn moves_on(instance: &Instance, planting: usize) -> bool {
    let candidate = &instance.candidates[planting];
    let mut limits = instance.limits.families.iter();
    limits.any(|limit| limit.counts(candidate))
}

/// In a settled year a bed carries a limited family once.
fn once(instance: &Instance, one: &BedPlan, faults: &mut Vec<Fault>) {
    if instance.closing != Closing::EachBed {
        return;
    }
    for limit in &instance.limits.families {
        let of_family: Vec<usize> = one
            .plantings
            .iter()
            .map(|&planting| &instance.candidates[planting])
            .filter(|c| limit.counts(c))
            .map(|candidate| candidate.bed_week)
            .collect();
        if of_family.len() > 1 {
            faults.push(Fault::Rotation {
                class: one.class,
                bed: one.bed,
                family: instance.families[limit.family].name.clone(),
                week: of_family[1],
            });
        }
    }
}

pub(super) fn plantings<'a>(
    instance: &'a Instance,
    plan: &'a Plan,
) -> impl Iterator<Item = &'a crate::plan::Candidate> {
    plan.beds
        .iter()
        .flat_map(|one| &one.plantings)
        .map(|&planting| &instance.candidates[planting])
}

pub(super) fn limits(instance: &Instance, plan: &Plan, faults: &mut Vec<Fault>) {
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
        if candidate.begun.is_empty() {
            sowings[candidate.sow_week].insert(candidate.crop.as_str());
        }
    }
    let mut kinds: Vec<&str> = plantings(instance, plan)
        .map(|one| one.crop.as_str())
        .collect();
    kinds.sort_unstable();
    kinds.dedup();
    if let Some(limit) = instance.limits.kinds.filter(|limit| kinds.len() > *limit) {
        faults.push(Fault::Kinds {
            used: kinds.len(),
            limit,
        });
    }
    for limit in &instance.limits.families {
        let of_family = |one: &&crate::plan::Candidate| limit.counts(one);
        let used = plantings(instance, plan).filter(of_family).count();
        if used > limit.plantings {
            faults.push(Fault::Family {
                class: limit.bed_classes.first().copied().unwrap_or(0),
                family: instance.families[limit.family].name.clone(),
                used,
                limit: limit.plantings,
            });
        }
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

/// No planting fills more beds than it may.
pub(super) fn sizes(instance: &Instance, plan: &Plan, faults: &mut Vec<Fault>) {
    let mut beds = vec![0usize; instance.candidates.len()];
    for &planting in plan.beds.iter().flat_map(|one| &one.plantings) {
        beds[planting] += 1;
    }
    for (planting, used) in beds.into_iter().enumerate() {
        let limit = instance.candidates[planting].beds_most;
        if used > limit {
            faults.push(Fault::Size {
                planting,
                used,
                limit,
            });
        }
    }
}
