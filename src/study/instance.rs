//! The planning problem of a project: its beds in whole-row patches, its demand, its wishes, what could be sown.

use super::{Job, StudyError};
use crate::calendar::{WEEKS_PER_YEAR, date_of_day, first_day_of_week, month_of_day};
use crate::crops::{Crop, Way};
use crate::file::{BedCover, Wish as FileWish};
use crate::plan::candidate::{Demands, Outcome, Outlay, candidates, outcomes};
use crate::plan::{BedClass, Closing, Family, Food, Group, Instance, Limits, Step, Target, Wish};
use crate::profile::BedClimate;
use crate::value::{self, Market, OwnAppetite};

/// Patch that is planted on its own, about this large, m2: a few whole rows across a bed (own choice, no source).
const PATCH_M2: f64 = 1.1;
/// Gap between the wished and the given kilogram, as a share of the food's price: a wish weighs as much again as the
/// food costs (own choice, no source).
const WISH_WEIGHT: f64 = 1.0;
/// Least weight of a wished kilogram where no price is known, in the household's currency (own choice, no source).
const WISH_LEAST: f64 = 1.0;
/// Plants that stand on a square metre of shelf: trays of 72 cells on 0.28 m x 0.54 m (common practice, no source).
const CELLS_PER_SHELF_M2: f64 = 476.0;
/// Shelf that one seed tray takes, m2 (0.28 m x 0.54 m; common practice, no source).
const TRAY_M2: f64 = 0.151;
/// Days in a week.
const DAYS_PER_WEEK: f64 = 7.0;

/// One bed of the file as equal patches of a bed class.
#[derive(Clone, Debug, PartialEq)]
pub struct Patches {
    /// Bed class in the instance.
    pub class: usize,
    /// First patch of the bed within the class.
    pub first: usize,
    /// Number of patches.
    pub count: usize,
}

/// The planning problem with what it was made from.
#[derive(Clone, Debug)]
pub struct Problem {
    /// The instance.
    pub instance: Instance,
    /// For each candidate of the instance, its outcome in `outcomes`.
    pub outcome_of: Vec<usize>,
    /// What became of every crop, week and way of sowing.
    pub outcomes: Vec<Outcome>,
    /// Crops, in the order that `outcomes` counts.
    pub crops: Vec<Crop>,
    /// For each bed of the file, its patches.
    pub patches: Vec<Patches>,
    /// The demand, wishes taken as appetite.
    pub market: Market,
    /// The household behind the demand.
    pub household: value::Household,
    /// Assumptions made on the way, one sentence each.
    pub notes: Vec<String>,
}

/// Assembles the settled year's planning problem.
///
/// # Errors
/// [`StudyError`] for a wish that names nothing on file, or a household that cannot be priced.
pub fn problem(job: &Job, climates: &[BedClimate]) -> Result<Problem, StudyError> {
    let (household, mut notes) = household_with_wishes(job)?;
    let market = value::market(&household)?;
    let crops = wanted_crops(job, &market);
    let refs: Vec<&Crop> = crops.iter().collect();
    let outcomes = undominated(
        &market,
        &crops,
        outcomes(&refs, climates, &Demands::default()),
    );
    let (beds, patches) = bed_classes(job, climates.len());
    let mut instance = Instance {
        start: date_of_day(job.project.planning.year, 0),
        weeks: WEEKS_PER_YEAR,
        closing: Closing::EachBed,
        beds,
        families: Vec::new(),
        foods: Vec::new(),
        groups: market
            .groups
            .iter()
            .map(|group| Group {
                name: group.name.clone(),
                appetite_kg_week: group.appetite_kg_week,
            })
            .collect(),
        candidates: Vec::new(),
        wishes: Vec::new(),
        wanted: Vec::new(),
        standing: Vec::new(),
        limits: Limits {
            sowings_week: job
                .project
                .household
                .sowings_per_week
                .map(|limit| limit.floor().max(0.0) as usize),
            labour_h_week: None,
            shelf_m2: job.project.household.trays.map(|trays| trays * TRAY_M2),
        },
    };
    let mut outcome_of = Vec::new();
    for (at, outcome) in outcomes.iter().enumerate() {
        let crop = &crops[outcome.crop];
        let food = food_place(&mut instance, &market, crop);
        let family = family_place(job, &mut instance, crop);
        let outlay = outlay(job, crop, outcome.way);
        let cover = outcome.climate > 0;
        let found = candidates(&instance, outcome, crop, (food, family), &outlay, cover);
        outcome_of.extend(std::iter::repeat_n(at, found.len()));
        instance.candidates.extend(found);
    }
    for wish in &job.project.household.wishes {
        add_wish(&mut instance, &market, wish, &mut notes);
    }
    Ok(Problem {
        instance,
        outcome_of,
        outcomes,
        crops,
        patches,
        market,
        household,
        notes,
    })
}

/// The household, with every wish that is above its appetite taken as its appetite.
pub(super) fn household_with_wishes(
    job: &Job,
) -> Result<(value::Household, Vec<String>), StudyError> {
    let mut household = job.household();
    let market = value::market(&household)?;
    let mut notes = Vec::new();
    for wish in &job.project.household.wishes {
        let usual = match value::food::find_group(&wish.food) {
            Some(group) => market
                .groups
                .iter()
                .find(|line| line.group == group.id)
                .map_or(0.0, |line| line.appetite_kg_week),
            None => market
                .food(&wish.food)
                .map_or(0.0, |line| line.appetite_kg_week),
        };
        let given = household.appetites.iter().any(|own| own.of == wish.food);
        if wish.kg_per_week > usual && !given {
            notes.push(format!(
                "the wish `{}` is above the {usual:.2} kg a week that such a household usually buys; it is taken as its appetite",
                wish.text
            ));
            household.appetites.push(OwnAppetite {
                of: wish.food.clone(),
                kg_week: wish.kg_per_week,
                basis: "wish in the project file".to_owned(),
            });
        }
    }
    Ok((household, notes))
}

/// Crops whose food the household would eat and that bring something: a price, or a wish.
fn wanted_crops(job: &Job, market: &Market) -> Vec<Crop> {
    let wished =
        |crop: &Crop, line: &value::FoodLine| {
            job.project.household.wishes.iter().any(|wish| {
                wish.food == crop.id || wish.food == line.food || wish.food == line.group
            })
        };
    job.table
        .iter()
        .filter(|crop| {
            market.food(&crop.id).is_some_and(|line| {
                let priced = line.price_per_kg.iter().any(|price| *price > 0.0);
                line.appetite_kg_week > 0.0 && (priced || wished(crop, line))
            })
        })
        .cloned()
        .collect()
}

/// Leaves out what another sowing of the same food and family does as well or better in the same bed weeks: mostly
/// varieties whose difference does not show in this climate.
fn undominated(market: &Market, crops: &[Crop], outcomes: Vec<Outcome>) -> Vec<Outcome> {
    type Place<'a> = (&'a str, &'a str, usize, Way, usize, usize);
    let mut kept: std::collections::BTreeMap<Place<'_>, Vec<Outcome>> = Default::default();
    for outcome in outcomes {
        let crop = &crops[outcome.crop];
        let food = market
            .food(&crop.id)
            .map_or(crop.id.as_str(), |line| &line.food);
        let place = (
            food,
            crop.rotation_group.as_str(),
            outcome.climate,
            outcome.way,
            outcome.bed_week,
            outcome.weeks,
        );
        let rivals = kept.entry(place).or_default();
        if !rivals.iter().any(|rival| bears_as_much(rival, &outcome)) {
            rivals.retain(|rival| !bears_as_much(&outcome, rival));
            rivals.push(outcome);
        }
    }
    let mut outcomes: Vec<Outcome> = kept.into_values().flatten().collect();
    outcomes.sort_by_key(|outcome| (outcome.crop, outcome.climate, outcome.way, outcome.sow_week));
    outcomes
}

/// Does a sowing bear, in every week, at least what another bears, and come through as often?
fn bears_as_much(this: &Outcome, other: &Outcome) -> bool {
    let mine: std::collections::BTreeMap<usize, f64> = this.mean_kg_m2().into_iter().collect();
    this.survival >= other.survival
        && other
            .mean_kg_m2()
            .iter()
            .all(|(week, kg_m2)| mine.get(week).is_some_and(|own| own >= kg_m2))
}

/// Beds as equal patches; beds of the same patch size and cover share a class.
fn bed_classes(job: &Job, climates: usize) -> (Vec<BedClass>, Vec<Patches>) {
    let mut classes: Vec<BedClass> = Vec::new();
    let mut patches = Vec::new();
    for bed in &job.project.beds {
        let count = ((bed.area_m2 / PATCH_M2).round() as usize).max(1);
        let area_m2 = bed.area_m2 / count as f64;
        let covered = bed.cover != BedCover::None && climates > 1;
        let climate = usize::from(covered);
        let same = |class: &BedClass| class.climate == climate && class.area_m2 == area_m2;
        let class = match classes.iter().position(same) {
            Some(class) => class,
            None => {
                classes.push(BedClass {
                    name: bed.name.clone(),
                    count: 0,
                    area_m2,
                    climate,
                });
                classes.len() - 1
            }
        };
        if classes[class].count > 0 {
            classes[class].name = format!("{} + {}", classes[class].name, bed.name);
        }
        patches.push(Patches {
            class,
            first: classes[class].count,
            count,
        });
        classes[class].count += count;
    }
    (classes, patches)
}

fn food_place(instance: &mut Instance, market: &Market, crop: &Crop) -> usize {
    let line = market.food(&crop.id);
    let id = line.map_or(crop.id.as_str(), |line| line.food.as_str());
    let keeps_weeks = crop.storage.map_or(0, |storage| {
        (storage.days.low / DAYS_PER_WEEK).floor().max(0.0) as usize
    });
    if let Some(place) = instance.foods.iter().position(|food| food.id == id) {
        return place;
    }
    instance.foods.push(Food {
        id: id.to_owned(),
        group: line.and_then(|line| {
            market
                .groups
                .iter()
                .position(|group| group.group == line.group)
        }),
        price_kg: (0..instance.weeks)
            .map(|week| line.map_or(0.0, |line| line.price_of_week(week % WEEKS_PER_YEAR)))
            .collect(),
        appetite: line.map_or_else(Vec::new, |line| {
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
        }),
        keeps_weeks: keeps_weeks.min(WEEKS_PER_YEAR - 1),
    });
    instance.foods.len() - 1
}

fn family_place(job: &Job, instance: &mut Instance, crop: &Crop) -> usize {
    let name = &crop.rotation_group;
    if let Some(place) = instance
        .families
        .iter()
        .position(|family| family.name == *name)
    {
        return place;
    }
    instance.families.push(Family {
        name: name.clone(),
        may_follow_itself: job.project.household.same_family_again,
        gap_years: crop.rotation_gap_years.round().max(0.0) as usize,
    });
    instance.families.len() - 1
}

/// Seed, trays and work of one m2 sown.
fn outlay(job: &Job, crop: &Crop, way: Way) -> Outlay {
    let costs = &job.project.costs;
    let published = |item: &str| value::input(item).map_or(0.0, |row| row.value);
    let plants_m2 = match way {
        Way::Tray => crop.spacing.plants_per_m2,
        Way::Direct => 0.0,
    };
    let seed_m2 = costs.seed_per_m2.unwrap_or_else(|| published("seed_m2"));
    let mix_l = costs
        .tray_mix_per_l
        .unwrap_or_else(|| published("tray_mix_l"));
    Outlay {
        cost_m2: seed_m2 + plants_m2 * published("tray_mix_l_plant") * mix_l,
        sow_h_m2: published("work_sow_h_m2") + plants_m2 * published("work_tray_h_plant"),
        pick_h_kg: value::pick_hours_per_kg(),
        shelf_m2_m2: plants_m2 / CELLS_PER_SHELF_M2,
    }
}

fn add_wish(instance: &mut Instance, market: &Market, wish: &FileWish, notes: &mut Vec<String>) {
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
                "the wish `{}` cannot be met at all: no crop for it comes through here often enough",
                wish.text
            ));
            return;
        }
    };
    let belongs = |food: &&Food| match target {
        Target::Group(group) => food.group == Some(group),
        Target::Food(place) => instance
            .foods
            .get(place)
            .is_some_and(|wanted| wanted.id == food.id),
    };
    let prices: Vec<f64> = instance
        .foods
        .iter()
        .filter(belongs)
        .flat_map(|food| food.price_kg.iter().copied())
        .collect();
    let mean_price = prices.iter().sum::<f64>() / prices.len().max(1) as f64;
    let kg_week = (0..instance.weeks)
        .map(|week| {
            let month = month_of_day(first_day_of_week(week));
            if in_months(month, wish.from_month, wish.to_month) {
                wish.kg_per_week
            } else {
                0.0
            }
        })
        .collect();
    instance.wishes.push(Wish {
        target,
        kg_week,
        penalty_kg: (WISH_WEIGHT * mean_price).max(WISH_LEAST),
    });
}

/// Is a month within a season that may run over the year's end?
fn in_months(month: usize, from: usize, to: usize) -> bool {
    if from <= to {
        (from..=to).contains(&month)
    } else {
        month >= from || month <= to
    }
}
