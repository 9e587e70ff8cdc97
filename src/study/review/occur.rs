//! The plan's plantings on the calendar: a plan that repeats stands in every year.

use crate::calendar::years_later;
use crate::plan::Closing;
use crate::study::{Job, PlanStudy};
use chrono::{Datelike, NaiveDate};

/// A planting of the plan in one year.
#[derive(Clone, Debug, PartialEq)]
pub struct Occurrence {
    /// Bed, by name.
    pub bed: String,
    /// Crop id.
    pub crop: String,
    /// Area, m2.
    pub area_m2: f64,
    /// Day of sowing.
    pub sow: NaiveDate,
    /// Day of setting out, if raised in a tray.
    pub set_out: Option<NaiveDate>,
    /// Pickings: first day of the week and kg.
    pub picks: Vec<(NaiveDate, f64)>,
    /// First day on which the bed is free again.
    pub clear: NaiveDate,
}

/// First day that a review counts from.
pub fn first_day(plan: &PlanStudy, at: NaiveDate) -> NaiveDate {
    let new_year = NaiveDate::from_ymd_opt(at.year(), 1, 1).unwrap_or(at);
    match plan.problem.instance.closing {
        Closing::EachBed => new_year,
        Closing::Open => plan.problem.instance.start.max(new_year),
    }
}

/// The plantings that touch the year of a day.
pub fn occurrences(job: &Job, plan: &PlanStudy, at: NaiveDate) -> Vec<Occurrence> {
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
            let moves = moves.clone();
            moves.into_iter().map(move |years| {
                let moved = |day: NaiveDate| years_later(day, years);
                Occurrence {
                    bed: job.project.beds[planting.bed].name.clone(),
                    crop: plan.problem.crops[plan.outcome(planting).crop].id.clone(),
                    area_m2: planting.area_m2,
                    sow: moved(planting.sow),
                    set_out: planting.transplant.map(moved),
                    picks: planting
                        .picks
                        .iter()
                        .map(|(day, kg)| (moved(*day), *kg))
                        .collect(),
                    clear: moved(planting.clear),
                }
            })
        })
        .filter(|occurrence| occurrence.clear > first)
        .collect();
    found.sort_by(|a, b| (&a.bed, a.sow, &a.crop).cmp(&(&b.bed, b.sow, &b.crop)));
    found
}
