//! Weeks in which a wish is not met: why, and what would close them, by computation.

use chrono::NaiveDate;
use rayon::prelude::*;

use super::{Candidate, Closing, Instance, Plan, Target, schedule};

/// Shortfall below which a wish counts as met, kg a week (own choice: a side dish for one).
const SHORT_KG: f64 = schedule::ON_TABLE_KG;

/// Why a wish is not met.
#[derive(Clone, Debug, PartialEq)]
pub enum Cause {
    /// No sowing that comes through gives this food in these weeks, nor any that keeps until then.
    NothingGrows,
    /// Nothing that is sown since the plan began is ready yet; what stood before may bear, too little.
    TooEarly,
    /// On the mean harvest of all years the wish is met; in poor ones it is not.
    PoorYears,
    /// Something would grow, but the beds are better used or full.
    Space,
    /// Something would grow and have room, but work, shelf or sowings are used up.
    Limit,
}

/// What would close a gap: more bed for one planting.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// Index into [`Instance::candidates`].
    pub candidate: usize,
    /// More bed of it, m2.
    pub area_m2: f64,
    /// Part of the shortfall that this closes, 0 to 1.
    pub closes: f64,
}

/// A run of weeks in which a wish is not met.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap {
    /// Index into [`Instance::wishes`].
    pub wish: usize,
    /// Name of the food or group.
    pub food: String,
    /// First week, from 0.
    pub from_week: usize,
    /// Last week.
    pub to_week: usize,
    /// First day.
    pub from: NaiveDate,
    /// Last day.
    pub to: NaiveDate,
    /// Short over the whole run, kg.
    pub missing_kg: f64,
    /// Why.
    pub cause: Cause,
    /// What would close it, where bed would.
    pub remedy: Option<Remedy>,
}

/// A plan as it was lived through: what was picked in some weather years, and the mean of what was eaten in all.
pub struct Lived<'a> {
    /// Eaten per food and week, mean of all weather years, kg.
    pub eaten_kg: &'a [Vec<f64>],
    /// Picked per food and week in some weather years, kg: on these a remedy is tried.
    pub harvests: &'a [Vec<Vec<f64>>],
    /// How the household eats what is picked (per food and week), week by week.
    pub eat: &'a Eat<'a>,
}

/// From what is picked to what is eaten, per food and week, kg.
pub type Eat<'a> = dyn Fn(&[Vec<f64>]) -> Vec<Vec<f64>> + Sync + 'a;

/// Weeks of a wish that are looked into: its place, first and last week.
pub type Looked = (usize, (usize, usize));

/// The gaps of a plan, by wish and week, in the mean of the weather years; those alone that share a week with some `asked`
/// after, where these are named.
pub fn gaps(instance: &Instance, plan: &Plan, lived: &Lived, asked: Option<&[Looked]>) -> Vec<Gap> {
    let mut holes = Vec::new();
    if instance.wishes.is_empty() {
        return Vec::new();
    }
    let expected = (lived.eat)(&schedule::harvest(instance, plan));
    let is_asked = |wish: usize, from: usize, to: usize| {
        let shares = |&(of, (first, last)): &Looked| of == wish && from <= last && first <= to;
        asked.is_none_or(|asked| asked.iter().any(shares))
    };
    for wish in 0..instance.wishes.len() {
        let one = &instance.wishes[wish];
        let short = |week: usize| {
            one.kg_week[week] - schedule::on_table(instance, one.target, week, lived.eaten_kg)
        };
        let reached = reached(instance, one.target);
        let kind = |week: usize| (short(week) > SHORT_KG).then(|| reached[week]);
        for (from, to) in runs(instance.weeks, kind) {
            if !is_asked(wish, from, to) {
                continue;
            }
            let missing_kg = (from..=to).map(|week| short(week).max(0.0)).sum();
            holes.push(Hole {
                wish,
                weeks: (from, to),
                missing_kg,
                reached: reached[from],
                too_early: instance.closing == Closing::Open && !reached[..=to].contains(&true),
            });
        }
    }
    let gap = |hole| gap(instance, plan, lived, &expected, hole);
    holes.par_iter().map(gap).collect()
}

/// Weeks in which some sowing gives food of a wish, fresh or kept.
fn reached(instance: &Instance, target: Target) -> Vec<bool> {
    let foods = foods_of(instance, target);
    let mut reached = vec![false; instance.weeks];
    let to_sow = instance.candidates.iter().filter(|one| one.is_to_sow());
    let sown = to_sow.flat_map(|candidate| &candidate.harvest);
    for pick in sown.filter(|pick| pick.kg > 0.0) {
        if foods.contains(&pick.food) {
            let weeks = pick.week..=pick.week + instance.foods[pick.food].keeps_weeks;
            for week in weeks.filter_map(|week| instance.week_index(week)) {
                reached[week] = true;
            }
        }
    }
    reached
}

fn foods_of(instance: &Instance, target: Target) -> Vec<usize> {
    match target {
        Target::Food(food) => vec![food],
        Target::Group(group) => (0..instance.foods.len())
            .filter(|&food| instance.foods[food].group == Some(group))
            .collect(),
    }
}

/// Runs of weeks of one kind; those of a kind that a week or two part are one.
fn runs(weeks: usize, kind: impl Fn(usize) -> Option<bool>) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize, bool)> = Vec::new();
    for (week, kind) in (0..weeks).filter_map(|week| Some((week, kind(week)?))) {
        match runs.last_mut() {
            Some((_, last, of)) if week - *last <= PARTED_WEEKS && *of == kind => *last = week,
            _ => runs.push((week, week, kind)),
        }
    }
    runs.into_iter().map(|(from, to, _)| (from, to)).collect()
}

/// Weeks from one gap to the next up to which they are shown as one (own choice).
const PARTED_WEEKS: usize = 3;

/// A wish short in a run of weeks.
struct Hole {
    wish: usize,
    weeks: (usize, usize),
    missing_kg: f64,
    /// Some sowing gives its food then.
    reached: bool,
    /// Before anything sown since the start is ready.
    too_early: bool,
}

fn gap(instance: &Instance, plan: &Plan, lived: &Lived, expected: &[Vec<f64>], hole: &Hole) -> Gap {
    let one = &instance.wishes[hole.wish];
    let (from_week, to_week) = hole.weeks;
    let remedy = remedy(instance, lived, hole);
    let met_if_as_expected = (from_week..=to_week).all(|week| {
        one.kg_week[week] - schedule::on_table(instance, one.target, week, expected) <= SHORT_KG
    });
    let cause = if met_if_as_expected {
        Cause::PoorYears
    } else if hole.too_early {
        Cause::TooEarly
    } else if !hole.reached {
        Cause::NothingGrows
    } else if limit_bites(instance, plan, remedy.as_ref()) {
        Cause::Limit
    } else {
        Cause::Space
    };
    Gap {
        wish: hole.wish,
        food: target_name(instance, one.target),
        from_week,
        to_week,
        from: instance.date_of_week(from_week),
        to: instance
            .date_of_week(to_week + 1)
            .pred_opt()
            .unwrap_or(NaiveDate::MAX),
        missing_kg: hole.missing_kg,
        cause,
        remedy,
    }
}

pub(super) fn target_name(instance: &Instance, target: Target) -> String {
    match target {
        Target::Food(food) => instance.foods[food].id.clone(),
        Target::Group(group) => instance.groups[group].name.clone(),
    }
}

/// Sowings tried as a remedy, those that bear most in the gap for each week in the bed.
const TRIED: usize = 12;

/// The planting of which the least further area closes most of the gap, tried by eating what it would give.
fn remedy(instance: &Instance, lived: &Lived, hole: &Hole) -> Option<Remedy> {
    let wish = &instance.wishes[hole.wish];
    let (from_week, to_week) = hole.weeks;
    let foods = foods_of(instance, wish.target);
    let left = |harvest: &[Vec<f64>]| -> f64 {
        let eaten = (lived.eat)(harvest);
        let short = |week: usize| {
            let served = schedule::on_table(instance, wish.target, week, &eaten);
            (wish.kg_week[week] - served).max(0.0)
        };
        (from_week..=to_week).map(short).sum()
    };
    let before: f64 = lived.harvests.iter().map(|harvest| left(harvest)).sum();
    if before <= 0.0 {
        return None;
    }
    let mut offers: Vec<(f64, f64, usize)> = instance
        .candidates
        .iter()
        .enumerate()
        .filter(|(_, candidate)| candidate.is_to_sow())
        .map(|(number, candidate)| {
            let kg = reaching_kg(instance, candidate, &foods, from_week, to_week);
            (kg / candidate.weeks as f64, kg, number)
        })
        .filter(|(_, kg, _)| *kg > 0.0)
        .collect();
    offers.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.2.cmp(&b.2)));
    let mut best: Option<(f64, Remedy)> = None;
    for (_, in_time_kg, number) in offers.into_iter().take(TRIED) {
        let candidate = &instance.candidates[number];
        let area_m2 = instance.beds[candidate.bed_class].area_m2;
        let beds = (hole.missing_kg / in_time_kg).max(0.05);
        let after: f64 = lived
            .harvests
            .iter()
            .map(|harvest| {
                let mut trial = harvest.clone();
                for pick in &candidate.harvest {
                    trial[pick.food][pick.week] += pick.kg * beds;
                }
                left(&trial)
            })
            .sum();
        let closes = (1.0 - after / before).clamp(0.0, 1.0);
        if closes < 0.01 {
            continue;
        }
        // Closing more counts most; between equals the smaller area.
        let score = closes / (1.0 + 0.02 * beds * area_m2);
        if best.as_ref().is_none_or(|best| score > best.0) {
            best = Some((
                score,
                Remedy {
                    candidate: number,
                    area_m2: beds * area_m2,
                    closes,
                },
            ));
        }
    }
    best.map(|best| best.1)
}

/// Kilograms of a planting that are fresh or keep into some week of a gap.
fn reaching_kg(
    instance: &Instance,
    candidate: &Candidate,
    foods: &[usize],
    from: usize,
    to: usize,
) -> f64 {
    let reaches = |pick: &&super::Harvest| {
        let keeps = instance.foods[pick.food].keeps_weeks;
        let weeks = pick.week..=pick.week + keeps;
        foods.contains(&pick.food)
            && weeks
                .filter_map(|week| instance.week_index(week))
                .any(|week| (from..=to).contains(&week))
    };
    candidate
        .harvest
        .iter()
        .filter(reaches)
        .map(|pick| pick.kg)
        .sum()
}

/// Whether a bed stands empty for the remedy's weeks, so that only a shared limit can keep it out.
fn limit_bites(instance: &Instance, plan: &Plan, remedy: Option<&Remedy>) -> bool {
    let Some(candidate) = remedy.map(|remedy| &instance.candidates[remedy.candidate]) else {
        return false;
    };
    plan.beds
        .iter()
        .filter(|one| one.class == candidate.bed_class)
        .any(|one| {
            let mut free = vec![true; instance.weeks];
            let standing = instance
                .standing
                .iter()
                .find(|s| s.bed_class == one.class && s.bed == one.bed);
            for slot in free
                .iter_mut()
                .take(standing.map_or(0, |standing| standing.free_week))
            {
                *slot = false;
            }
            for &number in &one.plantings {
                let other = &instance.candidates[number];
                for week in (other.bed_week..other.bed_week + other.weeks)
                    .filter_map(|w| instance.week_index(w))
                {
                    free[week] = false;
                }
            }
            let mut weeks = candidate.bed_week..candidate.bed_week + candidate.weeks;
            let empty = weeks.all(|week| instance.week_index(week).is_none_or(|week| free[week]));
            empty && rule_broken(instance, plan, remedy, one)
        })
}

/// Whether putting the remedy there would break a shared limit (and not only rotation).
fn rule_broken(
    instance: &Instance,
    plan: &Plan,
    remedy: Option<&Remedy>,
    bed: &super::BedPlan,
) -> bool {
    let Some(remedy) = remedy else { return false };
    let mut changed = plan.clone();
    for one in changed
        .beds
        .iter_mut()
        .filter(|one| one.class == bed.class && one.bed == bed.bed)
    {
        one.plantings.push(remedy.candidate);
    }
    let faults = super::verify::check_rules(instance, &changed);
    faults
        .iter()
        .any(|fault| matches!(fault, super::verify::Fault::Limit { .. }))
}
