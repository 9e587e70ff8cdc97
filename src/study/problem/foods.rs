//! Foods, families, outlay and wishes of the planning problem, which crops are worth a look for them, and
//! how long food keeps where the household keeps it.

use super::{Asked, Problem, calendar_week};
use crate::calendar::{DAYS_PER_WEEK, DAYS_PER_YEAR, MONTH_START_DAY, WEEKS_PER_YEAR};
use crate::crops::{Crop, Storage, Way};
use crate::file::{Cellar, Rotation};
use crate::phrase::{Phrase, amount, phrase};
use crate::plan::candidate::Outlay;
use crate::plan::{Family, Food, Instance, Step, Target, Wish};
use crate::site::UndisturbedGround;
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
pub fn food_place(problem: &mut Problem, crop: &Crop) -> usize {
    let instance = &mut problem.instance;
    let line = problem.market.line_of(crop);
    let id = line.map_or(&crop.id, |line| &line.food);
    if let Some(place) = instance.foods.iter().position(|food| food.id == *id) {
        return place;
    }
    let groups = &problem.market.groups;
    let group = |line: &value::FoodLine| groups.iter().position(|one| one.group == line.group);
    let price_kg = |week| {
        let week = calendar_week(instance, week);
        line.map_or(0.0, |line| value::price_of_week(&line.price_per_kg, week))
    };
    let keeps_weeks = keeps_weeks(crop, problem.cellar_c);
    let food = Food {
        id: id.clone(),
        group: line.and_then(group),
        price_kg: (0..instance.weeks).map(price_kg).collect(),
        appetite: line.map_or_else(Vec::new, appetite),
        keeps_weeks: keeps_weeks.min(WEEKS_PER_YEAR - 1),
    };
    instance.foods.push(food);
    instance.foods.len() - 1
}

/// The same of a crop whose food the household knows.
pub fn known_food_place(problem: &mut Problem, crop: &Crop) -> Option<usize> {
    problem.market.line_of(crop)?;
    Some(food_place(problem, crop))
}

fn appetite(line: &value::FoodLine) -> Vec<Step> {
    let step = |(kg_week, worth)| Step { kg_week, worth };
    let steps = line.appetite_steps();
    if steps.is_empty() && line.appetite_kg_week > 0.0 {
        return vec![step((line.appetite_kg_week, 1.0))];
    }
    steps.into_iter().map(step).collect()
}

/// Place of a crop's rotation group in the instance, which gets it where it is new.
pub fn family_place(job: &Job, instance: &mut Instance, crop: &Crop) -> usize {
    let name = &crop.rotation_group;
    let mut families = instance.families.iter();
    if let Some(place) = families.position(|family| family.name == *name) {
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
pub fn add_wish(problem: &mut Problem, wish: &value::Wish, beyond: f64) {
    let (instance, market) = (&mut problem.instance, &problem.market);
    let group = value::food::find_group(&wish.of)
        .and_then(|group| market.groups.iter().position(|line| line.group == group.id));
    let food = market
        .food(&wish.of)
        .and_then(|line| instance.foods.iter().position(|food| food.id == line.food));
    let target = match (group, food) {
        (Some(group), _) => Target::Group(group),
        (None, Some(food)) => Target::Food(food),
        (None, None) => {
            problem.note(format!(
                "the target `{}` cannot be met at all: no crop for it comes through here often enough",
                wish.text
            ));
            return;
        }
    };
    let belongs = |(place, food): &(usize, &Food)| match target {
        Target::Group(group) => food.group == Some(group),
        Target::Food(wanted) => *place == wanted,
    };
    let foods = instance.foods.iter().enumerate().filter(belongs);
    let prices: Vec<f64> = foods.flat_map(|(_, food)| food.price_kg.clone()).collect();
    let mean_price = prices.iter().sum::<f64>() / prices.len().max(1) as f64;
    let kg_week = (0..instance.weeks)
        .map(|week| wish.kg_in_week(calendar_week(instance, week)))
        .collect();
    instance.wishes.push(Wish {
        target,
        kg_week,
        penalty_kg: (WISH_WEIGHT * mean_price).max(WISH_LEAST),
        beyond,
    });
}

/// The wishes that are above what the household usually buys, one sentence each.
pub fn wishes_beyond(job: &Job, market: &Market) -> Vec<Phrase> {
    let mut notes = Vec::new();
    for wish in &job.project.shopping.wishes {
        let usual = match value::food::find_group(&wish.of) {
            Some(group) => {
                let line = market.groups.iter().find(|line| line.group == group.id);
                line.map_or(0.0, |line| line.appetite_kg_week)
            }
            None => {
                let line = market.food(&wish.of);
                line.map_or(0.0, |line| line.bought_kg_week)
            }
        };
        if wish.kg_week > usual {
            notes.push(phrase![
                format!("the target `{}` is above the ", wish.text),
                amount(usual, "kg", 2),
                " a week that such a household buys; what is eaten beyond that replaces nothing and stands in a total of its own"
            ]);
        }
    }
    notes
}

/// Crops whose food the household would eat and that bring something: a price, or a wish; and crops asked about.
pub fn wanted_crops(job: &Job, market: &Market, asked: &[Asked]) -> Vec<Crop> {
    let wished = |crop: &Crop, line: &value::FoodLine| {
        let mut wishes = job.project.shopping.wishes.iter();
        wishes.any(|wish| [&crop.id, &line.food, &line.group].contains(&&wish.of))
    };
    let is_wanted = |crop: &&Crop| {
        let eaten = market.line_of(crop).is_some_and(|line| {
            let priced = line.price_per_kg.iter().any(|price| *price > 0.0);
            (line.appetite_kg_week > 0.0 && priced) || wished(crop, line)
        });
        eaten || asked.iter().any(|one| one.crop == crop.id)
    };
    job.table.iter().filter(is_wanted).cloned().collect()
}

/// Rise of the rate at which fresh vegetables age for each 10 K (from memory, USDA Agriculture Handbook 66: two to four
/// times as fast near 0 °C, two to three times further up).
pub const AGEING_PER_10_K: f64 = 2.5;
pub const TEN_K: f64 = 10.0;
/// First month of the cold half of the year in the north, from 0: October; in the south it is April.
const COLD_FROM_NORTH: usize = 9;
const COLD_FROM_SOUTH: usize = 3;
/// Months of the cold half.
const COLD_MONTHS: usize = 6;

/// Temperature of the cellar while food is in it, °C: held, or the warmest day of the soil in the cold half of the year.
pub fn cellar_c(cellar: Cellar, ground: &UndisturbedGround, southern: bool) -> f64 {
    match cellar {
        Cellar::HeldAt(temperature_c) => temperature_c,
        Cellar::SoilAt(depth_m) => {
            let from = match southern {
                true => COLD_FROM_SOUTH,
                false => COLD_FROM_NORTH,
            };
            let first = MONTH_START_DAY[from];
            let last = first + COLD_MONTHS * DAYS_PER_YEAR / MONTH_START_DAY.len();
            let days_c = (first..last).map(|day| ground.temp_c(depth_m, day as f64));
            days_c.fold(f64::NEG_INFINITY, f64::max)
        }
    }
}

/// Days a food keeps: as published at its best temperature, less in a warmer cellar. What is kept colder than its best
/// does not keep longer.
fn keeps_days(storage: &Storage, cellar_c: Option<f64>) -> f64 {
    let above_k = cellar_c.map_or(0.0, |cellar_c| cellar_c - storage.temperature_c);
    storage.days.low / AGEING_PER_10_K.powf(above_k.max(0.0) / TEN_K)
}

/// Whole weeks that what is picked of a crop keeps; 0 where its file says nothing of it.
pub fn keeps_weeks(crop: &Crop, cellar_c: Option<f64>) -> usize {
    let weeks = |storage: Storage| keeps_days(&storage, cellar_c) / DAYS_PER_WEEK as f64;
    crop.storage
        .map_or(0, |storage| weeks(storage).floor().max(0.0) as usize)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::crops::Range;

    const CARROTS: Storage = Storage {
        temperature_c: 0.0,
        days: Range {
            low: 120.0,
            high: 150.0,
        },
    };

    #[test]
    fn ten_kelvin_warmer_ages_by_the_factor() {
        assert_eq!(keeps_days(&CARROTS, None), 120.0);
        assert_eq!(keeps_days(&CARROTS, Some(-2.0)), 120.0);
        assert!((keeps_days(&CARROTS, Some(10.0)) - 120.0 / AGEING_PER_10_K).abs() < 1e-9);
    }

    #[test]
    fn a_pit_is_as_warm_as_the_soil_in_autumn() {
        let ground = UndisturbedGround {
            mean_c: 8.0,
            amplitude_k: 12.0,
            coldest_day: 20.0,
            diffusivity_m2_day: 0.05,
        };
        let shallow = cellar_c(Cellar::SoilAt(1.0), &ground, false);
        let deep = cellar_c(Cellar::SoilAt(9.0), &ground, false);
        assert!(
            shallow > deep && deep > 8.0 && deep < 9.0,
            "{shallow} {deep}"
        );
    }
}
