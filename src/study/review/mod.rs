//! The plan against what was done: by bed, crop and month, in money, and what comes next.

mod follow;
mod food;

pub use follow::{Followed, State, Work, WorkKind};
pub use food::{KgRow, MoneyMonth};

use super::{ClimateStudy, Job, PlanStudy, StudyError};
use crate::calendar::years_later;
use crate::journal::{Entry, Event, Journal, stands};
use crate::plan::Closing;
use chrono::{Datelike, NaiveDate};

/// A year so far.
#[derive(Clone, Debug, PartialEq)]
pub struct ReviewStudy {
    /// First day that counts: 1 January of the year of `at`, or the start of a plan that does not repeat; in the year in which the
    /// journal begins, the first of its first month.
    pub from: NaiveDate,
    /// Last day that counts.
    pub at: NaiveDate,
    /// Plantings of plan and journal, by bed, then by day.
    pub plantings: Vec<Followed>,
    /// Plan against fact by month, bed and crop, in that order.
    pub kg: Vec<KgRow>,
    /// Money by month, January first, up to the month of `at`.
    pub money: Vec<MoneyMonth>,
    /// Work of the days ahead, by day; what is late first.
    pub work: Vec<Work>,
    /// Kilograms picked whose bed the journal does not name.
    pub no_bed_kg: f64,
}

/// Days that the work is listed for: two weeks.
pub const AHEAD_DAYS: u64 = 14;

/// Sets a plan against a journal as it stood on a day, that day included.
///
/// A plan that repeats is laid over the year of `at` and the year before. What it would have had in the beds before the
/// journal begins, and the journal never speaks of, is left out.
///
/// # Errors
/// [`StudyError`] for figures that cannot be priced, or where no bed was simulated.
pub fn review(
    job: &Job,
    climate: &ClimateStudy,
    plan: &PlanStudy,
    journal: &Journal,
    at: NaiveDate,
) -> Result<ReviewStudy, StudyError> {
    let start = first_day(plan, at);
    if start > at {
        return Err(StudyError::BeforePlan { start, at });
    }
    let told = stands(&journal.entries, at);
    let since = journal.span().map_or(at, |(first, _)| first.min(at));
    let occurrences = occurrences(job, plan, at);
    let plantings = follow::follow(job, climate, plan, (occurrences, told), (since, at))?;
    let from = start.max(month_of(since));
    let counts =
        |entry: &&Entry| (from..=at).contains(&entry.date) && entry.event == Event::Harvested;
    let entries = || journal.entries.iter().filter(counts);
    let no_bed = entries().filter(|entry| entry.bed.is_none());
    Ok(ReviewStudy {
        kg: food::kg_rows(&plantings, entries(), (from, at)),
        money: food::money(job, plan, (journal, &plantings), (from, at), since)?,
        work: follow::work(job, &plantings, at),
        no_bed_kg: no_bed.map(Entry::kg).sum(),
        plantings,
        from,
        at,
    })
}

fn month_of(day: NaiveDate) -> NaiveDate {
    day.with_day(1).unwrap_or(day)
}

/// A planting of the plan in one year.
#[derive(Clone, Debug, PartialEq)]
pub struct Occurrence {
    /// Bed, by name.
    pub bed: String,
    pub crop: String,
    pub area_m2: f64,
    pub sow: NaiveDate,
    /// Day of setting out, if raised in a tray.
    pub set_out: Option<NaiveDate>,
    /// Pickings: first day of the week and kg.
    pub picks: Vec<(NaiveDate, f64)>,
    /// First day on which the bed is free again.
    pub clear: NaiveDate,
}

/// First day that a review counts from.
fn first_day(plan: &PlanStudy, at: NaiveDate) -> NaiveDate {
    let new_year = NaiveDate::from_ymd_opt(at.year(), 1, 1).unwrap_or(at);
    match plan.problem.instance.closing {
        Closing::EachBed => new_year,
        Closing::Open => plan.problem.instance.start.max(new_year),
    }
}

/// The plantings that touch the year of a day.
fn occurrences(job: &Job, plan: &PlanStudy, at: NaiveDate) -> Vec<Occurrence> {
    let moves: Vec<i32> = match plan.problem.instance.closing {
        Closing::EachBed => {
            let years = at.year() - job.project.planning.year;
            vec![years - 1, years]
        }
        Closing::Open => vec![0],
    };
    let first = NaiveDate::from_ymd_opt(at.year(), 1, 1).unwrap_or(at);
    let mut found: Vec<Occurrence> = plan
        .plantings
        .iter()
        .flat_map(|planting| {
            moves.iter().map(move |&years| {
                let moved = |day: NaiveDate| years_later(day, years);
                let picks = planting.picks.iter();
                Occurrence {
                    bed: job.project.beds[planting.bed].name.clone(),
                    crop: plan.problem.crops[plan.outcome(planting).crop].id.clone(),
                    area_m2: planting.area_m2,
                    sow: moved(planting.sow),
                    set_out: planting.transplant.map(moved),
                    picks: picks.map(|(day, kg)| (moved(*day), *kg)).collect(),
                    clear: moved(planting.clear),
                }
            })
        })
        .filter(|occurrence| occurrence.clear > first)
        .collect();
    found.sort_by(|a, b| (&a.bed, a.sow, &a.crop).cmp(&(&b.bed, b.sow, &b.crop)));
    found
}
