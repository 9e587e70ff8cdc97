//! Foods, families, outlay and wishes of the planning problem.

use super::calendar_week;
use crate::calendar::WEEKS_PER_YEAR;
use crate::crops::{Crop, Way};
use crate::file::{Rotation, Wish as FileWish};
use crate::phrase::Phrase;
use crate::plan::candidate::Outlay;
use crate::plan::{Family, Food, Instance, Step, Target, Wish};
use crate::study::{Job, StudyError};
use crate::value::{self, Market};

/// Gap between the wished and the given kilogram, as a share of the food's price: a wish weighs as much again as the
/// food costs (own choice). Tried on three examples with 1, 0.5 and 0.25, and `wish_beyond` 0.25 and 0.1: what is replaced moves
/// without order within 189 to 220, 167 to 181 and 189 to 207 USD (without any wish 214 for 207), as the shopping list of so few
/// kinds limits it, while in the unheated house the share of the wishes met falls from 0.62 to 0.44.
const WISH_WEIGHT: f64 = 1.0;
/// Least weight of a wished kilogram where no price is known, in the household's currency (own choice, no source).
const WISH_LEAST: f64 = 1.0;
/// Plants that stand on a square metre of shelf: trays of 72 cells on 0.28 m x 0.54 m (common practice, no source).
const CELLS_PER_SHELF_M2: f64 = 476.0;
/// Place of a crop's food in the instance, which gets it where it is new.
pub fn food_place(
    instance: &mut Instance,
    market: &Market,
    crop: &Crop,
    cellar_c: Option<f64>,
) -> usize {
    let line = market.line_of(crop);
    let id = line.map_or(crop.id.as_str(), |line| line.food.as_str());
    if let Some(place) = instance.foods.iter().position(|food| food.id == id) {
        return place;
    }
    let keeps_weeks = super::cellar::keeps_weeks(crop, cellar_c);
    let food = Food {
        id: id.to_owned(),
        group: line.and_then(|line| {
            market
                .groups
                .iter()
                .position(|group| group.group == line.group)
        }),
        price_kg: (0..instance.weeks)
            .map(|week| {
                line.map_or(0.0, |line| {
                    value::price_of_week(&line.price_per_kg, calendar_week(instance, week))
                })
            })
            .collect(),
        appetite: line.map_or_else(Vec::new, appetite),
        keeps_weeks: keeps_weeks.min(WEEKS_PER_YEAR - 1),
    };
    instance.foods.push(food);
    instance.foods.len() - 1
}

fn appetite(line: &value::FoodLine) -> Vec<Step> {
    let steps = line.appetite_steps();
    if steps.is_empty() && line.appetite_kg_week > 0.0 {
        return vec![Step {
            kg_week: line.appetite_kg_week,
            worth: 1.0,
        }];
    }
    steps
        .into_iter()
        .map(|(kg_week, worth)| Step { kg_week, worth })
        .collect()
}

/// Place of a crop's rotation group in the instance, which gets it where it is new.
pub fn family_place(job: &Job, instance: &mut Instance, crop: &Crop) -> usize {
    let name = &crop.rotation_group;
    let known = instance
        .families
        .iter()
        .position(|family| family.name == *name);
    if let Some(place) = known {
        return place;
    }
    instance.families.push(Family {
        name: name.clone(),
        may_follow_itself: job.project.household.gardening.rotation == Rotation::None,
        gap_years: crop.rotation_gap_years.round().max(0.0) as usize,
    });
    instance.families.len() - 1
}

/// Seed, trays and work of one m2 sown, in the household's money as the account has it.
///
/// # Errors
/// [`StudyError::Value`] where no rate to the household's currency is known.
pub fn outlay(
    job: &Job,
    household: &value::Household,
    crop: &Crop,
    way: Way,
) -> Result<Outlay, StudyError> {
    let costs = &job.project.costs;
    let published = |item: &str| value::input(item).map_or(0.0, |row| row.value);
    let plants_m2 = match way {
        Way::Tray => crop.spacing.plants_per_m2,
        Way::Direct => 0.0,
    };
    let priced = |own: Option<f64>, item: &str| match own {
        Some(own) => Ok(own),
        None => value::published_cost(household, item),
    };
    let seed_m2 = priced(costs.seed_m2, "seed_m2")?;
    let mix_l = priced(costs.tray_mix_l, "tray_mix_l")?;
    Ok(Outlay {
        cost_m2: seed_m2 + plants_m2 * published("tray_mix_l_plant") * mix_l,
        sow_h_m2: published("work_sow_h_m2") + plants_m2 * published("work_tray_h_plant"),
        pick_h_kg: value::pick_hours_per_kg(),
        shelf_m2_m2: plants_m2 / CELLS_PER_SHELF_M2,
    })
}

/// Adds a wish, or says why it cannot be met at all.
pub fn add_wish(
    instance: &mut Instance,
    market: &Market,
    wish: &FileWish,
    beyond: f64,
    notes: &mut Vec<Phrase>,
) {
    let group = value::food::find_group(&wish.food)
        .and_then(|group| market.groups.iter().position(|line| line.group == group.id));
    let food = market
        .food(&wish.food)
        .and_then(|line| instance.foods.iter().position(|food| food.id == line.food));
    let target = match (group, food) {
        (Some(group), _) => Target::Group(group),
        (None, Some(food)) => Target::Food(food),
        (None, None) => {
            notes.push(format!(
                "the target `{}` cannot be met at all: no crop for it comes through here often enough",
                wish.text
            ).into());
            return;
        }
    };
    let belongs = |(place, food): &(usize, &Food)| match target {
        Target::Group(group) => food.group == Some(group),
        Target::Food(wanted) => *place == wanted,
    };
    let prices: Vec<f64> = instance
        .foods
        .iter()
        .enumerate()
        .filter(belongs)
        .flat_map(|(_, food)| food.price_kg.iter().copied())
        .collect();
    let mean_price = prices.iter().sum::<f64>() / prices.len().max(1) as f64;
    let kg_week = (0..instance.weeks)
        .map(|week| wish.to_market().kg_in_week(calendar_week(instance, week)))
        .collect();
    instance.wishes.push(Wish {
        target,
        kg_week,
        penalty_kg: (WISH_WEIGHT * mean_price).max(WISH_LEAST),
        beyond,
    });
}
