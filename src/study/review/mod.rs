//! The plan against what was done: by bed, crop and month, in money, and what comes next.

mod follow;
mod food;
mod occur;
mod work;

pub use follow::{Followed, State};
pub use food::{KgRow, MoneyMonth};
pub use work::{Work, WorkKind};

use super::{ClimateStudy, Job, PlanStudy, StudyError};
use crate::journal::{Event, Journal, stands};
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
    let told = stands(&journal.entries, at);
    let since = journal.span().map_or(at, |(first, _)| first);
    let occurrences = occur::occurrences(job, plan, at);
    let plantings = follow::follow(job, climate, plan, (occurrences, told), (since, at))?;
    let from = occur::first_day(plan, at).max(month_of(since));
    let entries = || {
        journal
            .entries
            .iter()
            .filter(|entry| (from..=at).contains(&entry.date) && entry.event == Event::Harvested)
    };
    Ok(ReviewStudy {
        kg: food::kg_rows(&plantings, entries(), (from, at)),
        money: food::money(job, plan, (journal, &plantings), (from, at), since)?,
        work: work::work(job, &plantings, at),
        no_bed_kg: entries()
            .filter(|entry| entry.bed.is_none())
            .map(|entry| entry.kg())
            .sum(),
        plantings,
        from,
        at,
    })
}

/// First day of the month of a day.
fn month_of(day: NaiveDate) -> NaiveDate {
    day.with_day(1).unwrap_or(day)
}
