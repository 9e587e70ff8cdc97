//! The year's account: what the plan saves, what it costs, what the building pays back.

use super::climate::mean_of;
use super::{ClimateStudy, Job, PlanStudy, StudyError, YearInside};
use crate::calendar::{DAYS_PER_YEAR, WEEKS_PER_YEAR, day_of_date};
use crate::house::Behind;
use crate::phrase::{amount, phrase};
use crate::value::water::{Standing, crop_water_l};
use crate::value::{
    self, FixedCosts, Flag, Investment, NotCounted, Payback, Running, Sowing, Tariff, WeatherYear,
    YearInput, YearValue,
};
use chrono::Datelike;

/// The account of a plan's year.
#[derive(Clone, Debug)]
pub struct ValueStudy {
    /// Months, year, ceiling, flags.
    pub year: YearValue,
    /// Costs that do not hang on the weather, with where each comes from.
    pub fixed: FixedCosts,
    /// Prices of energy and water.
    pub tariff: Tariff,
    /// What the beds bring over the building's life, its own cost left out.
    pub without_building: Payback,
    /// The same with its cost, where that is in the file.
    pub with_building: Option<Payback>,
    /// Water given to the beds in the usual year, litres.
    pub water_l: f64,
}

/// Sets a plan's food against the household's budget.
///
/// The building's own cost stays out of the yearly account; it stands in the payback.
///
/// # Errors
/// [`StudyError::Value`] for figures out of range.
pub fn value(
    job: &Job,
    climate: &ClimateStudy,
    plan: &PlanStudy,
) -> Result<ValueStudy, StudyError> {
    let mut own = job.project.own_costs();
    let building = own.building.take();
    let household = &plan.problem.household;
    let beds_m2: f64 = job.project.beds.iter().map(|bed| bed.area_m2).sum();
    let sowings = sowings(plan);
    let tariff = value::tariff(household, &own)?;
    let fixed = value::fixed_costs(household, &own, &sowings, beds_m2)?;
    let standing = standing(plan);
    let of_house = climate.grown().iter().map(|year| running(year, &standing));
    let of_house: Vec<Running> = of_house.collect();
    // Each weather year is lived with more than one luck at the table.
    let weather_years: Vec<WeatherYear> = plan
        .tables
        .iter()
        .zip(of_house.iter().cycle())
        .map(|(table, running)| WeatherYear {
            foods: table.clone(),
            running: running.clone(),
        })
        .collect();
    let mut not_counted = fixed.not_counted.clone();
    let running = Running::mean(weather_years.iter().map(|year| &year.running));
    not_counted.extend(tariff.open(&running));
    not_counted.extend(unpaid_heat(job, climate.tried()));
    let mut year = value::year(&YearInput {
        market: &plan.problem.market,
        years: &weather_years,
        tariff: &tariff,
        fixed: &fixed.costs,
        work_h: value::work_hours(&sowings, beds_m2),
        pick_h_per_kg: value::pick_hours_per_kg(),
        not_counted: &not_counted,
    });
    if plan.problem.instance.weeks > WEEKS_PER_YEAR {
        year.flags.push(Flag::FirstYearAlone);
    }
    let over_life = |cost: f64| value::payback(&Investment::of_building(&year, &own, cost));
    let without_building = over_life(0.0);
    let with_building = building.map(over_life);
    let water_l = running.water_l.iter().sum();
    Ok(ValueStudy {
        year,
        fixed,
        tariff,
        without_building,
        with_building,
        water_l,
    })
}

fn sowings(plan: &PlanStudy) -> Vec<Sowing> {
    plan.first_year()
        .map(|planting| {
            let crop = &plan.problem.crops[plan.outcome(planting).crop];
            Sowing {
                month: planting.sow.month0() as usize,
                area_m2: planting.area_m2,
                tray_plants_m2: match planting.transplant {
                    Some(_) => crop.spacing.plants_per_m2,
                    None => 0.0,
                },
            }
        })
        .collect()
}

fn running(year: &YearInside, standing: &[Standing]) -> Running {
    Running {
        water_l: crop_water_l(&year.water, standing),
        ..year.energy()
    }
}

/// Heat of rooms beside that are heated anyway: no cost of the house, but it warms the beds.
fn unpaid_heat(job: &Job, years: &[YearInside]) -> Vec<NotCounted> {
    /// Less heat than this in a year is none, kWh (own choice).
    const SOME_KWH: f64 = 0.5;
    let house = &job.project.house;
    let walls = house.surfaces.iter();
    let warm = walls.filter(|wall| matches!(wall.behind, Behind::Room(_)));
    let mut unpaid: Vec<NotCounted> = warm
        .map(|wall| {
            let what = format!("heat from the room behind the {}", wall.name);
            NotCounted::new(what, "that room is heated anyway")
        })
        .collect();
    let kwh = mean_of(years, |year| year.unpaid_heat_kwh);
    if let Some(beside) = house.beside.as_ref().filter(|_| kwh > SOME_KWH) {
        let heat = format!(" that heat the {}", beside.name);
        unpaid.push(NotCounted::new(
            phrase![amount(kwh, "kWh", 0), heat],
            "it is heated anyway: `room.heat_paid` is false",
        ));
    }
    unpaid
}

/// What stands in the beds over the year.
pub(super) fn standing(plan: &PlanStudy) -> Vec<Standing> {
    plan.first_year()
        .map(|planting| {
            let crop = &plan.problem.crops[plan.outcome(planting).crop];
            let from = planting.transplant.unwrap_or(planting.sow);
            let days = (planting.clear - from).num_days().max(0) as usize;
            Standing {
                food: plan
                    .problem
                    .market
                    .line_of(crop)
                    .map_or(&crop.id, |line| &line.food)
                    .clone(),
                water: crop.water,
                first_day: day_of_date(from),
                days: days.min(DAYS_PER_YEAR),
                area_m2: planting.area_m2,
            }
        })
        .collect()
}
