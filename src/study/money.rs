//! The year's account: what the plan saves, what it costs, what the building pays back; and what it would take to cover a share of
//! the household's spending.

use super::climate::mean_of;
use super::{ClimateStudy, Job, PlanStudy, StudyError, YearInside};
use crate::calendar::{DAYS_PER_YEAR, WEEKS_PER_YEAR, day_of_date};
use crate::house::{Behind, Surface};
use crate::phrase::{amount, phrase};
use crate::plan::{Closing, schedule};
use crate::value::water::{CropInBed, crop_water_l};
use crate::value::{
    self, Answer, Endless, FixedCosts, FoodFlow, Harvest, Household, Investment, Market,
    NotCounted, Payback, Running, ShortFood, Sowing, Tariff, Today, WeatherYear, Whole, YearInput,
    YearValue, allocate_food,
};
use chrono::{Datelike, NaiveDate};
use rayon::prelude::*;

/// The account of a plan's year.
#[derive(Clone, Debug)]
pub struct ValueStudy {
    /// Months, year, ceiling, flags.
    pub year: YearValue,
    /// Of a plan whose year repeats, the first year for who begins it with empty beds.
    pub first: Option<FirstYear>,
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

/// The first year of a plan whose year repeats, begun with empty beds: nothing is picked of what was sown before it.
#[derive(Clone, Debug)]
pub struct FirstYear {
    /// Its account; the building's ground is as warm as in later years.
    pub year: YearValue,
    /// First picking of all in the middle year; none where nothing is picked.
    pub picked_from: Option<NaiveDate>,
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
    let account = |tables: &[Vec<FoodFlow>], standing: &[CropInBed]| {
        let of_house = climate.grown().iter().map(|year| running(year, standing));
        let of_house: Vec<Running> = of_house.collect();
        // Each weather year is lived with more than one luck at the table.
        let years = tables.iter().zip(of_house.iter().cycle());
        let years = years.map(|(table, running)| WeatherYear {
            foods: table.clone(),
            running: running.clone(),
        });
        let years: Vec<WeatherYear> = years.collect();
        let mut not_counted = fixed.not_counted.clone();
        let running = Running::mean(years.iter().map(|year| &year.running));
        not_counted.extend(tariff.open(&running));
        not_counted.extend(unpaid_heat(job, climate.tried()));
        let year = value::year(&YearInput {
            market: &plan.problem.market,
            years: &years,
            tariff: &tariff,
            fixed: &fixed.costs,
            work_h: value::work_hours(&sowings, beds_m2),
            pick_h_per_kg: value::pick_hours_per_kg(),
            not_counted: &not_counted,
        });
        (year, running)
    };
    let standing = standing(plan);
    let (mut year, running) = account(&plan.tables, &standing);
    let repeats = plan.problem.instance.closing == Closing::EachBed;
    let first = repeats.then(|| FirstYear {
        year: account(&first_tables(plan), &begun(plan, standing)).0,
        picked_from: plan
            .plantings
            .iter()
            .filter_map(|planting| Some(planting.picked?.0))
            .min(),
    });
    if plan.problem.instance.weeks > WEEKS_PER_YEAR {
        let beyond = "food and costs after the first 52 weeks of the plan are not in this account";
        year.flags.push(beyond.into());
    }
    let over_life = |cost: f64| value::payback(&Investment::of_building(&year, &own, cost));
    let without_building = over_life(0.0);
    let with_building = building.map(over_life);
    let water_l = running.water_l.iter().sum();
    Ok(ValueStudy {
        year,
        first,
        fixed,
        tariff,
        without_building,
        with_building,
        water_l,
    })
}

/// What food alone is worth, a table of it for each weather year: nothing that it costs.
pub(super) fn worth_of_food(
    market: &Market,
    tables: Vec<Vec<FoodFlow>>,
    tariff: &Tariff,
) -> Result<YearValue, StudyError> {
    let years = tables.into_iter().map(|foods| WeatherYear {
        foods,
        running: Running::default(),
    });
    Ok(value::year(&YearInput {
        market,
        years: &years.collect::<Vec<_>>(),
        tariff,
        fixed: &[],
        work_h: [0.0; 12],
        pick_h_per_kg: 0.0,
        not_counted: &[],
    }))
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

/// Food at the table in the first year from empty beds, in every year lived.
fn first_tables(plan: &PlanStudy) -> Vec<Vec<FoodFlow>> {
    let standing = schedule::can_stand(&plan.problem.instance, &plan.found.plan);
    let lives = (0..plan.problem.lives()).into_par_iter();
    lives
        .map(|life| plan.problem.first_table(&standing, life))
        .collect()
}

/// What of it stands in the first year from empty beds.
fn begun(plan: &PlanStudy, standing: Vec<CropInBed>) -> Vec<CropInBed> {
    let end = plan.problem.instance.date_of_week(WEEKS_PER_YEAR);
    let all = plan.first_year().zip(standing);
    let begun = all.filter(|(one, _)| one.transplant.unwrap_or(one.sow) < end);
    begun
        .map(|(_, one)| CropInBed {
            days: one.days.min(DAYS_PER_YEAR - one.first_day),
            ..one
        })
        .collect()
}

fn running(year: &YearInside, standing: &[CropInBed]) -> Running {
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
    let of_wall = |wall: &Surface| {
        let what = format!("heat from the room behind the {}", wall.name);
        NotCounted::new(what, "that room is heated anyway")
    };
    let mut unpaid: Vec<NotCounted> = warm.map(of_wall).collect();
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
pub(super) fn standing(plan: &PlanStudy) -> Vec<CropInBed> {
    plan.first_year()
        .map(|planting| {
            let crop = &plan.problem.crops[plan.outcome(planting).crop];
            let from = planting.transplant.unwrap_or(planting.sow);
            let days = (planting.clear - from).num_days().max(0) as usize;
            let line = plan.problem.market.line_of(crop);
            CropInBed {
                food: line.map_or(&crop.id, |line| &line.food).clone(),
                water: crop.water,
                first_day: day_of_date(from),
                days: days.min(DAYS_PER_YEAR),
                area_m2: planting.area_m2,
            }
        })
        .collect()
}

/// The household of a project, and what it buys at which prices.
///
/// # Errors
/// [`StudyError::Value`] for a figure out of range or a food that is not on file.
pub fn demand(job: &Job) -> Result<(Household, Market), StudyError> {
    let household = job.household();
    let market = value::market(&household)?;
    Ok((household, market))
}

/// A weekly harvest that no household eats up, kg.
const PLENTY_KG: f64 = 1e5;
/// Fewer weeks without a food are not worth a word; own choice.
const WEEKS_SAID: f64 = 0.5;

/// Says what it would take: beds, prices, appetite, eaters.
///
/// # Errors
/// [`StudyError::Value`] for a share out of range, or a household whose spending is not known or that nobody belongs to.
pub fn what_it_takes(
    job: &Job,
    plan: &PlanStudy,
    value: &ValueStudy,
    share: f64,
    whole: Whole,
) -> Result<Answer, StudyError> {
    let eaters = job.project.shopping.eaters.len();
    let today = Today {
        market: &plan.problem.market,
        year: &value.year,
        endless: endless(job, plan, value)?,
        bed_area_m2: job.project.beds.iter().map(|bed| bed.area_m2).sum(),
        eaters: eaters as f64,
    };
    Ok(value::what_it_takes(&today, share, whole)?)
}

/// The year of the same building with beds without end: plenty of every food in every week in which any sowing bears it.
fn endless(job: &Job, plan: &PlanStudy, value: &ValueStudy) -> Result<Endless, StudyError> {
    let market = &plan.problem.market;
    let mut tables = Vec::new();
    let mut weeks_with = vec![0.0; market.foods.len()];
    for year in 0..plan.problem.weather_years() {
        let harvests = plenty(plan, year);
        let foods = allocate_food(market, &harvests);
        for (line, weeks) in market.foods.iter().zip(&mut weeks_with) {
            let flow = foods.iter().find(|flow| flow.food == line.food);
            *weeks += flow.map_or(0.0, |flow| {
                flow.eaten_kg.iter().filter(|kg| **kg > 0.0).count() as f64
            });
        }
        tables.push(foods);
    }
    let years = tables.len().max(1) as f64;
    let account = worth_of_food(market, tables, &value.tariff)?;
    let weeks_with: Vec<f64> = weeks_with.iter().map(|weeks| weeks / years).collect();
    Ok(Endless {
        value: account.middle(),
        short: short_foods(job, market, &weeks_with),
    })
}

/// Foods with a crop on file that are bought and not had all year, costliest gap first.
fn short_foods(job: &Job, market: &Market, weeks_with: &[f64]) -> Vec<ShortFood> {
    let grown = job.table.iter().filter_map(|crop| market.line_of(crop));
    let grown: Vec<&String> = grown.map(|line| &line.food).collect();
    let lines = market.foods.iter().zip(weeks_with);
    let lines = lines.filter(|(line, _)| grown.contains(&&line.food));
    let short = lines.map(|(line, weeks)| {
        let weeks = WEEKS_PER_YEAR as f64 - weeks;
        let price = line.price_per_kg.iter().sum::<f64>() / 12.0;
        ShortFood {
            name: line.name.clone(),
            weeks,
            money: weeks * line.bought_kg_week * price,
        }
    });
    let is_said = |food: &ShortFood| food.money > 0.0 && food.weeks >= WEEKS_SAID;
    let mut short: Vec<ShortFood> = short.filter(is_said).collect();
    short.sort_by(|a, b| b.money.total_cmp(&a.money));
    short
}

fn plenty(plan: &PlanStudy, year: usize) -> Vec<Harvest> {
    let instance = &plan.problem.instance;
    let all = (0..instance.candidates.len()).map(|candidate| (candidate, PLENTY_KG));
    let borne = plan.problem.bearing(all, year);
    let course = plan.problem.course();
    let harvest = |(food, weeks): (&crate::plan::Food, Vec<f64>)| {
        let mut kg = vec![0.0; WEEKS_PER_YEAR];
        for (week, borne) in weeks.into_iter().enumerate().take(WEEKS_PER_YEAR) {
            kg[course.calendar_week(week)] = if borne > 0.0 { PLENTY_KG } else { 0.0 };
        }
        Harvest {
            food: food.id.clone(),
            kg,
            keeps_weeks: food.keeps_weeks,
        }
    };
    instance.foods.iter().zip(borne).map(harvest).collect()
}
