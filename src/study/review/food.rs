//! Plan against fact in kilograms and in money.

use std::collections::BTreeMap;

use super::follow::{Followed, State};
use super::month_of;
use crate::calendar::{WEEKS_PER_YEAR, day_of_date, week_of_day};
use crate::file::Project;
use crate::journal::{Entry, Event, Journal, picked};
use crate::study::problem::keeps_weeks;
use crate::study::{Job, PlanStudy, StudyError};
use crate::value::{
    self, Course, FoodFlow, Harvest, Running, WeatherYear, YearInput, allocate_food_over,
};
use chrono::{Datelike, NaiveDate};

/// Plan against fact of one month, bed and crop.
#[derive(Clone, Debug, PartialEq)]
pub struct KgRow {
    /// First day of the month.
    pub month: NaiveDate,
    /// Bed; empty where the journal names none.
    pub bed: String,
    /// Crop id.
    pub crop: String,
    /// Planned for the days that have passed, kg.
    pub planned_kg: f64,
    /// Picked, kg.
    pub picked_kg: f64,
}

/// One month in money, in the project's currency.
#[derive(Clone, Debug, PartialEq)]
pub struct MoneyMonth {
    /// First day of the month.
    pub month: NaiveDate,
    /// What the plan's food would have cost by then, mean of the weather years.
    pub planned: f64,
    /// What the picked food would have cost, as far as the household eats it.
    pub saved: f64,
    /// Paid for the garden, as the journal has it.
    pub paid: f64,
    /// Paid in shops for food, as the journal has it.
    pub shop: f64,
    /// The household's produce budget for the days that have passed.
    pub budget: f64,
}

/// Days of a picking week.
const WEEK_DAYS: i64 = 7;

/// Plan against fact, by month, bed and crop; a week under way counts by the days that have passed.
pub fn kg_rows<'e>(
    plantings: &[Followed],
    entries: impl Iterator<Item = &'e Entry>,
    (from, at): (NaiveDate, NaiveDate),
) -> Vec<KgRow> {
    let mut sums: BTreeMap<(NaiveDate, String, String), (f64, f64)> = BTreeMap::new();
    for one in plantings
        .iter()
        .filter(|one| one.state != State::BeforeTheJournal)
    {
        for (day, kg) in one.planned.iter().flat_map(|planned| &planned.picks) {
            if *day < from || *day > at {
                continue;
            }
            let passed = ((at - *day).num_days() + 1).min(WEEK_DAYS);
            let row = sums
                .entry((month_of(*day), one.bed.clone(), one.crop.clone()))
                .or_default();
            row.0 += kg * passed as f64 / WEEK_DAYS as f64;
        }
    }
    // A variety is booked under the crop that the plan has for it.
    let planned_as = |entry: &Entry| {
        let of_row = |one: &&Followed| {
            one.stands
                .iter()
                .any(|stand| stand.lines.contains(&entry.line))
        };
        plantings
            .iter()
            .find(of_row)
            .map(|one| (one.bed.clone(), one.crop.clone()))
    };
    for entry in entries {
        let own = || {
            (
                entry.bed.clone().unwrap_or_default(),
                entry.crop.clone().unwrap_or_default(),
            )
        };
        let (bed, crop) = planned_as(entry).unwrap_or_else(own);
        sums.entry((month_of(entry.date), bed, crop)).or_default().1 += entry.kg();
    }
    sums.into_iter()
        .map(|((month, bed, crop), (planned_kg, picked_kg))| KgRow {
            month,
            bed,
            crop,
            planned_kg,
            picked_kg,
        })
        .collect()
}

/// Money by month up to a day.
///
/// # Errors
/// [`StudyError::Value`] for figures out of range.
pub fn money(
    job: &Job,
    plan: &PlanStudy,
    journal: &Journal,
    (from, at): (NaiveDate, NaiveDate),
) -> Result<Vec<MoneyMonth>, StudyError> {
    let last_week = week_of_day(day_of_date(at));
    let first_week = week_of_day(day_of_date(from));
    let weeks = first_week..=last_week;
    let planned: Vec<Vec<FoodFlow>> = plan
        .tables
        .iter()
        .map(|table| within(table.clone(), &weeks))
        .collect();
    let harvests = harvests(job, plan, journal, (from, at));
    let facts = allocate_food_over(&plan.problem.market, &harvests, &Course::FROM_EMPTY)?;
    let planned = worth(job, plan, planned)?;
    let saved = worth(job, plan, vec![within(facts, &weeks)])?;
    let budget = plan.problem.market.produce_month;
    Ok((from.month0()..=at.month0())
        .filter_map(|month| NaiveDate::from_ymd_opt(at.year(), month + 1, 1))
        .map(|month| {
            let place = month.month0() as usize;
            MoneyMonth {
                month,
                planned: planned[place],
                saved: saved[place],
                paid: paid(journal, month, at, false),
                shop: paid(journal, month, at, true),
                budget: budget[place] * passed_share(month, from, at),
            }
        })
        .collect())
}

/// Share of a month's days that a span covers.
fn passed_share(month: NaiveDate, from: NaiveDate, at: NaiveDate) -> f64 {
    let days = i64::from(crate::calendar::DAYS_IN_MONTH[month.month0() as usize] as u32);
    let last = month + chrono::Duration::days(days - 1);
    let passed = (at.min(last) - from.max(month)).num_days() + 1;
    passed.clamp(0, days) as f64 / days as f64
}

/// Paid in a month, in shops for food that is named or for the garden.
fn paid(journal: &Journal, month: NaiveDate, at: NaiveDate, food: bool) -> f64 {
    let counts = |entry: &&Entry| {
        entry.event == Event::Bought
            && entry.crop.is_some() == food
            && month_of(entry.date) == month
            && entry.date <= at
    };
    journal.entries.iter().filter(counts).map(Entry::paid).sum()
}

/// Flows with nothing eaten outside some weeks.
fn within(mut flows: Vec<FoodFlow>, weeks: &std::ops::RangeInclusive<usize>) -> Vec<FoodFlow> {
    for flow in &mut flows {
        let columns = [
            &mut flow.harvested_kg,
            &mut flow.eaten_kg,
            &mut flow.kept_kg,
            &mut flow.surplus_kg,
        ];
        for column in columns {
            for (week, kg) in column.iter_mut().enumerate() {
                if !weeks.contains(&week) {
                    *kg = 0.0;
                }
            }
        }
    }
    flows
}

/// What was picked, by food and planning week.
fn harvests(
    job: &Job,
    plan: &PlanStudy,
    journal: &Journal,
    (from, at): (NaiveDate, NaiveDate),
) -> Vec<Harvest> {
    let mut foods: BTreeMap<String, Harvest> = BTreeMap::new();
    for ((crop, day), kg) in picked(&journal.entries, at) {
        if day < from {
            continue;
        }
        let known = job.table.get(&crop);
        let line = known.and_then(|crop| plan.problem.market.line_of(crop));
        let food = line.map_or(crop.clone(), |line| line.food.clone());
        let keeps = known.map_or(0, |crop| keeps_weeks(crop, plan.problem.cellar_c));
        let harvest = foods.entry(food.clone()).or_insert_with(|| Harvest {
            food,
            kg: vec![0.0; WEEKS_PER_YEAR],
            keeps_weeks: keeps,
        });
        harvest.kg[week_of_day(day_of_date(day))] += kg;
    }
    foods.into_values().collect()
}

/// What food would have cost, by month.
fn worth(job: &Job, plan: &PlanStudy, tables: Vec<Vec<FoodFlow>>) -> Result<[f64; 12], StudyError> {
    let tariff = tariff(&job.project, plan)?;
    let years: Vec<WeatherYear> = tables
        .into_iter()
        .map(|foods| WeatherYear {
            foods,
            running: Running::default(),
        })
        .collect();
    let year = value::year(&YearInput {
        market: &plan.problem.market,
        years: &years,
        tariff: &tariff,
        fixed: &[],
        work_h: [0.0; 12],
        pick_h_per_kg: 0.0,
        not_counted: &[],
    })?;
    let currency = year.currency;
    Ok(std::array::from_fn(|month| {
        year.months
            .get(month)
            .map_or(0.0, |month| currency.amount(month.value))
    }))
}

fn tariff(project: &Project, plan: &PlanStudy) -> Result<value::Tariff, StudyError> {
    Ok(value::tariff(
        &plan.problem.household,
        &project.own_costs(),
    )?)
}
