//! A plan as people read it: plantings with dates, weeks with food.

use chrono::NaiveDate;

use super::eat::FoodAllocation;
use super::model::Model;
use super::{Instance, Plan, Target};

/// One planting with its dates.
#[derive(Clone, Debug, PartialEq)]
pub struct Planting {
    /// Index into [`Instance::candidates`].
    pub candidate: usize,
    /// Name of the bed class, with the bed's number where there are several.
    pub bed: String,
    /// Crop as the crop table names it.
    pub crop: String,
    /// Area, m2.
    pub area_m2: f64,
    /// First day of the week of sowing.
    pub sow: NaiveDate,
    /// First day of the week in which it goes to the bed, when it was sown in trays.
    pub transplant: Option<NaiveDate>,
    /// First day of the first week of picking.
    pub first_harvest: Option<NaiveDate>,
    /// First day of the last week of picking.
    pub last_harvest: Option<NaiveDate>,
    /// First day on which the bed is free again.
    pub clear: NaiveDate,
    /// Whether a row cover is put on.
    pub cover: bool,
    /// Chance that it comes through.
    pub survival: f64,
    /// Expected harvest, kg.
    pub harvest_kg: f64,
}

/// A food counts as on the table from this much a week, kg (own choice: a side dish for one).
pub const ON_TABLE_KG: f64 = 0.05;

/// Plantings of a plan by bed, in the order they are planted.
///
/// # Errors
/// None: indices that the instance does not have are left out (see [`super::verify::check_rules`]).
pub fn plantings(instance: &Instance, plan: &Plan) -> Vec<Planting> {
    let mut rows = Vec::new();
    for one in &plan.beds {
        let Some(class) = instance.beds.get(one.class) else {
            continue;
        };
        let bed = if class.count > 1 {
            format!("{} {}", class.name, one.bed + 1)
        } else {
            class.name.clone()
        };
        for &number in &one.plantings {
            let Some(candidate) = instance.candidates.get(number) else {
                continue;
            };
            // Weeks are counted on from sowing, so that dates run forward over the turn of a settled year.
            let sow = candidate.sow_week;
            let on = |week: usize| {
                if week < sow {
                    week + instance.weeks
                } else {
                    week
                }
            };
            let bed_week = on(candidate.bed_week);
            let harvest_week = |week: usize| {
                let mut week = on(week);
                if week < bed_week {
                    week += instance.weeks;
                }
                instance.work_date(week)
            };
            let picked = || {
                candidate
                    .harvest
                    .iter()
                    .filter(|pick| pick.kg > 0.0)
                    .map(|pick| harvest_week(pick.week))
            };
            rows.push(Planting {
                candidate: number,
                bed: bed.clone(),
                crop: candidate.crop.clone(),
                area_m2: class.area_m2,
                sow: instance.work_date(sow),
                transplant: (candidate.tray_weeks > 0).then(|| instance.work_date(bed_week)),
                first_harvest: picked().min(),
                last_harvest: picked().max(),
                clear: instance.work_date(bed_week + candidate.weeks),
                cover: candidate.cover,
                survival: candidate.survival,
                harvest_kg: candidate.harvest.iter().map(|pick| pick.kg).sum(),
            });
        }
    }
    rows
}

/// What of a plan can stand: where two crops are in each other's way the one that comes when the other is there already
/// bears nothing. Of a plan that keeps the rules all of it.
pub fn can_stand(instance: &Instance, plan: &Plan) -> Plan {
    let mut plan = plan.clone();
    for one in &mut plan.beds {
        let mut taken = vec![false; instance.weeks];
        for standing in &instance.standing {
            if (standing.bed_class, standing.bed) == (one.class, one.bed) {
                let free_week = standing.free_week.min(instance.weeks);
                taken[..free_week].fill(true);
            }
        }
        let in_bed = |number: usize| instance.candidates.get(number);
        let ends = |number: usize| in_bed(number).map_or(0, |own| own.bed_week + own.weeks);
        // What stands over the turn of a year that repeats is there before what comes after it.
        let over_the_turn = |number: usize| ends(number) > instance.weeks;
        let mut order = one.plantings.clone();
        order.sort_by_key(|&number| {
            let begins = in_bed(number).map_or(0, |own| own.bed_week);
            (!over_the_turn(number), begins, number)
        });
        one.plantings.clear();
        for number in order {
            let begins = in_bed(number).map_or(0, |own| own.bed_week);
            let weeks: Vec<usize> = (begins..ends(number))
                .filter_map(|week| instance.week_index(week))
                .collect();
            if weeks.iter().all(|&week| !taken[week]) {
                weeks.into_iter().for_each(|week| taken[week] = true);
                one.plantings.push(number);
            }
        }
        one.plantings
            .sort_by_key(|&number| (in_bed(number).map_or(0, |own| own.bed_week), number));
    }
    plan
}

/// Picked per food and week, what already stands included; two crops in one place do not both bear (see [`can_stand`]).
pub fn harvest(instance: &Instance, plan: &Plan) -> Vec<Vec<f64>> {
    let mut kg = vec![vec![0.0; instance.weeks]; instance.foods.len()];
    let standing = can_stand(instance, plan);
    let planted = standing.beds.iter().flat_map(|one| &one.plantings);
    let planted = planted
        .filter_map(|&number| instance.candidates.get(number))
        .flat_map(|c| &c.harvest);
    for pick in planted.chain(instance.given()) {
        kg[pick.food][pick.week] += pick.kg;
    }
    kg
}

/// The best way to eat a harvest (per food and week), kept food within its time, as the search reckons it, which knows what
/// comes: kilograms per food and week. What is shown of a plan is eaten week by week without foresight.
pub fn eating(instance: &Instance, harvest: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let model = Model::for_eating(instance);
    let mut allocation = FoodAllocation::new(&model);
    for (source, &kg) in harvest.iter().flatten().enumerate() {
        allocation.add(source, kg);
    }
    allocation
        .stock
        .served
        .chunks(model.weeks)
        .map(<[f64]>::to_vec)
        .collect()
}

/// What a table of eating is worth at the prices, less the penalties of wishes missed; costs not counted.
pub fn worth(instance: &Instance, eaten: &[Vec<f64>]) -> f64 {
    let mut worth: f64 = (0..instance.weeks)
        .map(|week| food_worth(instance, eaten, week))
        .sum();
    for (wish, week) in instance
        .wishes
        .iter()
        .flat_map(|wish| (0..instance.weeks).map(move |week| (wish, week)))
    {
        worth -= wish.penalty_kg
            * (wish.kg_week[week] - on_table(instance, wish.target, week, eaten)).max(0.0);
    }
    worth
}

/// What the table is worth with nothing planted: what stands already, eaten, less the penalties of wishes missed. That a crop is
/// wanted counts here as nothing.
pub fn bare_beds(instance: &Instance) -> f64 {
    let standing = harvest(instance, &Plan::empty(instance));
    worth(instance, &eating(instance, &standing))
}

/// What one week's eating is worth at the prices.
pub fn food_worth(instance: &Instance, eaten: &[Vec<f64>], week: usize) -> f64 {
    let mut worth = 0.0;
    for (number, (food, weeks)) in instance.foods.iter().zip(eaten).enumerate() {
        let mut left = weeks[week];
        for step in instance.appetite(number, week) {
            let part = left.min(step.kg_week);
            worth += part * step.worth * food.price_kg[week];
            left -= part;
        }
    }
    worth
}

/// What a plan is worth in the search's own measure: worth of what is eaten, less costs, penalties and the household's own
/// time.
pub fn value(instance: &Instance, plan: &Plan, eaten: &[Vec<f64>]) -> f64 {
    worth(instance, eaten) - costs(instance, plan) - instance.effort.of(instance.simplicity(plan))
}

/// Seed, trays and compost of a plan.
pub fn outlay(instance: &Instance, plan: &Plan) -> f64 {
    let planted = plan.beds.iter().flat_map(|one| &one.plantings);
    let known = planted.filter_map(|&number| instance.candidates.get(number));
    known.map(|candidate| candidate.cost).sum()
}

/// Costs of a plan: seed, trays and compost, and the penalties of wanted crops that are missing.
pub fn costs(instance: &Instance, plan: &Plan) -> f64 {
    let planted = plan.beds.iter().flat_map(|one| &one.plantings);
    let planted: Vec<_> = planted
        .filter_map(|&number| instance.candidates.get(number))
        .collect();
    let missed = |wanted: &super::Wanted| {
        let there = planted
            .iter()
            .filter(|candidate| candidate.crop == wanted.crop)
            .count();
        wanted.penalty * wanted.plantings.saturating_sub(there) as f64
    };
    outlay(instance, plan) + instance.wanted.iter().map(missed).sum::<f64>()
}

/// Kilograms of a food or group eaten in a week.
pub fn on_table(instance: &Instance, target: Target, week: usize, eaten: &[Vec<f64>]) -> f64 {
    match target {
        Target::Food(food) => eaten[food][week],
        Target::Group(group) => {
            let members = instance
                .foods
                .iter()
                .zip(eaten)
                .filter(|(food, _)| food.group == Some(group));
            members.map(|(_, weeks)| weeks[week]).sum()
        }
    }
}
