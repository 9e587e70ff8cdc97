//! Longest paths over every (week, last family), without the solver's shortcuts.

use super::rules::moves_on;
use crate::plan::{Closing, Instance};

const NEVER: f64 = f64::NEG_INFINITY;

/// Distinct beginnings of a class's beds: (first free week, family before, number of beds).
pub(super) fn starts(
    instance: &Instance,
    class: usize,
    count: usize,
) -> Vec<(usize, Option<usize>, usize)> {
    let standing = instance
        .standing
        .iter()
        .filter(|standing| standing.bed_class == class);
    let mut starts: Vec<_> = standing.map(|s| (s.free_week, Some(s.family), 1)).collect();
    starts.push((0, None, count - starts.len()));
    starts
}

/// The most one bed can earn.
pub(super) fn best_bed(
    instance: &Instance,
    class: usize,
    free: usize,
    family: Option<usize>,
    profits: &[f64],
) -> f64 {
    let mut by_start = vec![Vec::new(); instance.weeks];
    for (number, candidate) in instance.candidates.iter().enumerate() {
        if candidate.bed_class == class {
            by_start[candidate.bed_week].push(number);
        }
    }
    match instance.closing {
        Closing::Open => {
            let end = reach(
                instance,
                &by_start,
                profits,
                (free.min(instance.weeks), family),
                None,
            );
            end.last()
                .into_iter()
                .flatten()
                .copied()
                .fold(0.0, f64::max)
        }
        Closing::EachBed => closed(instance, &by_start, profits),
    }
}

fn closed(instance: &Instance, by_start: &[Vec<usize>], profits: &[f64]) -> f64 {
    let weeks = instance.weeks;
    let mut best = 0.0f64;
    for &number in by_start.iter().flatten() {
        if moves_on(instance, number) {
            best = best.max(profits[number]);
        }
    }
    for first in 0..instance.families.len() {
        let values = reach(instance, by_start, profits, (0, None), Some(first));
        for (last, &value) in values[weeks].iter().enumerate() {
            if last == instance.families.len()
                || last != first
                || instance.families[first].may_follow_itself
            {
                best = best.max(value);
            }
        }
    }
    // Plantings over the turn of the year, by their end and family.
    let mut over = std::collections::BTreeMap::new();
    for &number in by_start.iter().flatten() {
        let candidate = &instance.candidates[number];
        let end = candidate.bed_week + candidate.weeks;
        if end > weeks {
            over.entry((end - weeks, candidate.family))
                .or_insert_with(Vec::new)
                .push(number);
        }
    }
    for ((end, family), numbers) in over {
        let values = reach(instance, by_start, profits, (end, Some(family)), None);
        for number in numbers {
            let start = instance.candidates[number].bed_week;
            let Some(values) = values.get(start).filter(|_| start >= end) else {
                continue;
            };
            for (last, &value) in values.iter().enumerate() {
                if last != family || instance.families[family].may_follow_itself {
                    best = best.max(value + profits[number]);
                }
            }
        }
    }
    best
}

/// Best value per week and last family (one past the last: none yet), from a start to the end of the year.
fn reach(
    instance: &Instance,
    by_start: &[Vec<usize>],
    profits: &[f64],
    (from, family): (usize, Option<usize>),
    first: Option<usize>,
) -> Vec<Vec<f64>> {
    let none = instance.families.len();
    let mut values = vec![vec![NEVER; none + 1]; instance.weeks + 1];
    values[from][family.unwrap_or(none)] = 0.0;
    for week in from..instance.weeks {
        let here = values[week].clone();
        for (next, &value) in values[week + 1].iter_mut().zip(&here) {
            *next = next.max(value);
        }
        for &number in &by_start[week] {
            let candidate = &instance.candidates[number];
            let mut end = candidate.bed_week + candidate.weeks;
            if end > instance.weeks {
                if instance.closing == Closing::EachBed {
                    continue;
                }
                end = instance.weeks;
            }
            let mine = candidate.family;
            let again = instance.families[mine].may_follow_itself;
            let mut before = NEVER;
            for (last, &value) in here.iter().enumerate() {
                let opening = last == none && first.is_some_and(|first| first != mine);
                if (again || last != mine) && !opening {
                    before = before.max(value);
                }
            }
            let cell = &mut values[end][mine];
            *cell = cell.max(before + profits[number]);
        }
    }
    values
}
