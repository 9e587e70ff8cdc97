//! Weeks in which a wish is not met: why, and what would close them, by computation.

use chrono::NaiveDate;

use super::eat::Larder;
use super::model::Model;
use super::{Candidate, Closing, Instance, Plan, Target, schedule};

/// Shortfall below which a wish counts as met, kg a week (scales for kitchens show 10 g).
const SHORT_KG: f64 = 0.01;

/// Why a wish is not met.
#[derive(Clone, Debug, PartialEq)]
pub enum Cause {
    /// More is wished than the household says it eats.
    Appetite,
    /// No planting that comes through gives this food in these weeks, nor any that keeps until then.
    NothingGrows,
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
    /// Cause in words.
    pub cause_text: String,
    /// What would close it, where bed would.
    pub remedy: Option<Remedy>,
    /// Remedy in words.
    pub remedy_text: String,
}

/// The gaps of a plan, by wish and week.
pub fn gaps(instance: &Instance, plan: &Plan) -> Vec<Gap> {
    let harvest = schedule::harvest(instance, plan);
    let eaten = schedule::eating(instance, &harvest);
    let mut found = Vec::new();
    for (wish, one) in instance.wishes.iter().enumerate() {
        let short = |week: usize| {
            one.kg_week[week] - schedule::on_table(instance, one.target, week, &eaten)
        };
        let mut week = 0;
        while week < instance.weeks {
            if short(week) <= SHORT_KG {
                week += 1;
                continue;
            }
            let from = week;
            let mut missing_kg = 0.0;
            while week < instance.weeks && short(week) > SHORT_KG {
                missing_kg += short(week);
                week += 1;
            }
            found.push(gap(
                instance,
                plan,
                &harvest,
                wish,
                (from, week - 1),
                missing_kg,
            ));
        }
    }
    found
}

fn gap(
    instance: &Instance,
    plan: &Plan,
    harvest: &[Vec<f64>],
    wish: usize,
    (from_week, to_week): (usize, usize),
    missing_kg: f64,
) -> Gap {
    let target = instance.wishes[wish].target;
    let remedy = remedy(instance, harvest, wish, (from_week, to_week), missing_kg);
    let cause = if above_appetite(instance, wish, from_week, to_week) {
        Cause::Appetite
    } else if remedy.is_none() {
        Cause::NothingGrows
    } else if limit_bites(instance, plan, remedy.as_ref()) {
        Cause::Limit
    } else {
        Cause::Space
    };
    let cause_text = match cause {
        Cause::Appetite => "more is wished than the stated appetite".to_string(),
        Cause::NothingGrows => {
            "nothing that comes through is ready or keeps until then".to_string()
        }
        Cause::Space => "the beds are taken by what is worth more".to_string(),
        Cause::Limit => "work, shelf or sowings of the week are used up".to_string(),
    };
    let remedy_text = remedy.as_ref().map_or_else(String::new, |remedy| {
        let candidate = &instance.candidates[remedy.candidate];
        let sow = instance.date_of_week(candidate.sow_week);
        let share = if remedy.closes < 0.995 {
            format!("{:.0} % of it", 100.0 * remedy.closes)
        } else {
            "it".to_string()
        };
        format!(
            "{:.1} m2 more of {} sown by {sow} would close {share}",
            remedy.area_m2, candidate.crop
        )
    });
    Gap {
        wish,
        food: target_name(instance, target),
        from_week,
        to_week,
        from: instance.date_of_week(from_week),
        to: instance
            .date_of_week(to_week + 1)
            .pred_opt()
            .unwrap_or(NaiveDate::MAX),
        missing_kg,
        cause,
        cause_text,
        remedy,
        remedy_text,
    }
}

fn target_name(instance: &Instance, target: Target) -> String {
    match target {
        Target::Food(food) => instance.foods[food].id.clone(),
        Target::Group(group) => instance.groups[group].name.clone(),
    }
}

fn above_appetite(instance: &Instance, wish: usize, from_week: usize, to_week: usize) -> bool {
    let appetite = |food: usize| {
        instance.foods[food]
            .appetite
            .iter()
            .map(|step| step.kg_week)
            .sum::<f64>()
    };
    let most = match instance.wishes[wish].target {
        Target::Food(food) => appetite(food),
        Target::Group(group) => {
            let members =
                (0..instance.foods.len()).filter(|&food| instance.foods[food].group == Some(group));
            members
                .map(appetite)
                .sum::<f64>()
                .min(instance.groups[group].appetite_kg_week)
        }
    };
    (from_week..=to_week).any(|week| instance.wishes[wish].kg_week[week] > most + SHORT_KG)
}

/// The planting of which the least further area closes most of the gap, tried by eating what it would give.
fn remedy(
    instance: &Instance,
    harvest: &[Vec<f64>],
    wish: usize,
    (from_week, to_week): (usize, usize),
    missing_kg: f64,
) -> Option<Remedy> {
    let model = Model::for_eating(instance);
    let mut larder = Larder::new(&model);
    for (source, &kg) in harvest.iter().flatten().enumerate() {
        larder.add(source, kg);
    }
    let target = instance.wishes[wish].target;
    let foods: Vec<usize> = match target {
        Target::Food(food) => vec![food],
        Target::Group(group) => (0..instance.foods.len())
            .filter(|&food| instance.foods[food].group == Some(group))
            .collect(),
    };
    let mut best: Option<(f64, Remedy)> = None;
    for (number, candidate) in instance.candidates.iter().enumerate() {
        let in_time = reaching_kg(instance, candidate, &foods, from_week, to_week);
        if in_time <= 0.0 {
            continue;
        }
        let area_m2 = instance.beds[candidate.bed_class].area_m2;
        let beds = (missing_kg / in_time).max(0.05);
        let mut trial = larder.clone();
        for pick in &candidate.harvest {
            trial.add(pick.food * instance.weeks + pick.week, pick.kg * beds);
        }
        let eaten: Vec<Vec<f64>> = trial
            .stock
            .served
            .chunks(instance.weeks)
            .map(<[f64]>::to_vec)
            .collect();
        let short = |week: usize| {
            let on_table = schedule::on_table(instance, target, week, &eaten);
            (instance.wishes[wish].kg_week[week] - on_table).max(0.0)
        };
        let left: f64 = (from_week..=to_week).map(short).sum();
        let closes = (1.0 - left / missing_kg).clamp(0.0, 1.0);
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

/// What a plan cannot give, in words; empty when every wish is met.
pub fn unmet(instance: &Instance, plan: &Plan, eaten: &[Vec<f64>]) -> Vec<String> {
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
            words.push(format!("{name}: {missing:.1} kg short of the wish over {count} weeks; this plan comes nearest"));
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
