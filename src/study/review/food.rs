//! Plan against fact in kilograms and in money.

use std::collections::BTreeMap;

use super::follow::{Followed, State};
use super::month_of;
use crate::calendar::{WEEKS_PER_YEAR, date_of_day, day_of_date, first_day_of_week, week_of_day};
use crate::crops::Crop;
use crate::journal::{Entry, Event, Journal, Stand, picked};
use crate::study::money::worth_of_food;
use crate::study::problem::keeps_weeks;
use crate::study::{Job, PlanStudy, StudyError};
use crate::value::{self, Course, FoodFlow, Harvest, allocate_food_over};
use chrono::{Datelike, NaiveDate};

/// Plan against fact of one month, bed and crop.
#[derive(Clone, Debug, PartialEq)]
pub struct KgRow {
    /// First day of the month.
    pub month: NaiveDate,
    /// Bed; empty where the journal names none.
    pub bed: String,
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
    let seen = |one: &&Followed| one.state != State::BeforeTheJournal;
    for one in plantings.iter().filter(seen) {
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
    for entry in entries {
        let of_row = |stand: &Stand| stand.lines.contains(&entry.line);
        let planned = plantings.iter().find(|one| one.stands.iter().any(of_row));
        let (bed, crop) = match planned {
            Some(one) => (Some(&one.bed), Some(&one.crop)),
            None => (entry.bed.as_ref(), entry.crop.as_ref()),
        };
        let text = |name: Option<&String>| name.cloned().unwrap_or_default();
        let (bed, crop) = (text(bed), text(crop));
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

/// What of the planned food could have been on the table: that of plantings that the journal's time has seen.
struct Seen {
    /// Pickings of the plan by food: day, weeks that the food keeps, kg, and whether the journal's time has seen the sowing.
    picks: BTreeMap<String, Vec<(NaiveDate, usize, f64, bool)>>,
    /// Is food that no picking accounts for, such as what the last year put by, the household's own?
    before: bool,
}

impl Seen {
    fn of(job: &Job, plan: &PlanStudy, plantings: &[Followed], before: bool) -> Self {
        let mut picks: BTreeMap<String, Vec<_>> = BTreeMap::new();
        for one in plantings {
            let (Some(planned), Some(crop)) = (&one.planned, job.table.get(&one.crop)) else {
                continue;
            };
            let keeps = keeps_weeks(crop, plan.problem.cellar_c);
            let seen = one.state != State::BeforeTheJournal;
            let picked = planned.picks.iter();
            let picked = picked.map(|(day, kg)| (*day, keeps, *kg, seen));
            picks.entry(food_of(plan, crop)).or_default().extend(picked);
        }
        Seen { picks, before }
    }

    /// The share of a food on the table in the week of a day.
    fn share(&self, food: &str, day: NaiveDate) -> f64 {
        let picks = self.picks.get(food).map_or(&[][..], Vec::as_slice);
        let share = |counts: &dyn Fn(NaiveDate, usize) -> bool| {
            let (mut all, mut seen) = (0.0, 0.0);
            for (picked, keeps, kg, is_seen) in picks {
                if counts(*picked, *keeps) {
                    all += kg;
                    seen += if *is_seen { *kg } else { 0.0 };
                }
            }
            (all > 0.0).then(|| seen / all)
        };
        // Picked in this week, or before and kept; else as the whole year has it.
        let lasts = |picked: NaiveDate, keeps: usize| {
            let weeks = (day - picked).num_days() as f64 / WEEK_DAYS as f64;
            (-1.0..=keeps as f64 + 1.0).contains(&weeks)
        };
        let of_week = share(&lasts).or_else(|| share(&|_, _| true));
        of_week.unwrap_or(if self.before { 1.0 } else { 0.0 })
    }
}

/// The food that a crop is, as flows name it.
fn food_of(plan: &PlanStudy, crop: &Crop) -> String {
    let line = plan.problem.market.line_of(crop);
    line.map_or(crop.id.clone(), |line| line.food.clone())
}

/// Money by month up to a day; `since` is the journal's first day: what was sown before it, and the journal does not speak of, is
/// not planned food.
///
/// # Errors
/// [`StudyError::Value`] for figures out of range.
pub fn money(
    job: &Job,
    plan: &PlanStudy,
    (journal, plantings): (&Journal, &[Followed]),
    (from, at): (NaiveDate, NaiveDate),
    since: NaiveDate,
) -> Result<Vec<MoneyMonth>, StudyError> {
    let week = |day| week_of_day(day_of_date(day));
    let weeks = week(from)..=week(at);
    let seen = Seen::of(job, plan, plantings, since < from);
    let share = |food: &str, week: usize| match weeks.contains(&week) {
        true => seen.share(food, date_of_day(at.year(), first_day_of_week(week))),
        false => 0.0,
    };
    let tables = plan.tables.iter();
    let planned = tables.map(|table| within(table.clone(), share)).collect();
    let harvests = harvests(job, plan, journal, (from, at));
    let facts = allocate_food_over(&plan.problem.market, &harvests, &Course::FROM_EMPTY);
    let planned = worth(job, plan, planned)?;
    let in_time = |_: &str, week: usize| f64::from(u8::from(weeks.contains(&week)));
    let saved = worth(job, plan, vec![within(facts, in_time)])?;
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

/// Flows of which in each week a share counts.
fn within(mut flows: Vec<FoodFlow>, share: impl Fn(&str, usize) -> f64) -> Vec<FoodFlow> {
    for flow in &mut flows {
        let weeks = 0..flow.harvested_kg.len();
        let shares: Vec<f64> = weeks.map(|week| share(&flow.food, week)).collect();
        let columns = [
            &mut flow.harvested_kg,
            &mut flow.eaten_kg,
            &mut flow.kept_kg,
            &mut flow.surplus_kg,
        ];
        for column in columns {
            for (kg, share) in column.iter_mut().zip(&shares) {
                *kg *= share;
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
        let food = known.map_or(crop.clone(), |crop| food_of(plan, crop));
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
    let tariff = value::tariff(&plan.problem.household, &job.project.own_costs())?;
    let year = worth_of_food(&plan.problem.market, tables, &tariff)?;
    let currency = year.currency;
    Ok(std::array::from_fn(|month| {
        let month = year.months.get(month);
        month.map_or(0.0, |month| currency.amount(month.value))
    }))
}
