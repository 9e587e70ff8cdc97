//! The plan that was agreed to, as sowings on the calendar, and what a change from it costs.

use crate::plan::{Closing, PlanFile};
use crate::study::Job;
use crate::study::problem::Problem;
use chrono::{Datelike, Months, NaiveDate};

/// A sowing that is not in the agreed plan must be worth this share of its harvest more than one that is: a change costs
/// the household thought, seed already bought and trust (own choice, no source).
pub const CHANGE_SHARE: f64 = 0.15;
/// Sowings nearer than this are the same, days: half a week each way of a planning week (own choice).
pub const SAME_WEEK_DAYS: i64 = 6;

/// One sowing of the agreed plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// Bed, by name.
    pub bed: String,
    /// Crop id.
    pub crop: String,
    /// Day of sowing.
    pub sow: NaiveDate,
    /// In a tray?
    pub tray: bool,
    /// Area, m2, where the file says.
    pub area_m2: Option<f64>,
}

/// The sowings that an agreed plan has in the months from a day on; one that repeats has them in every year.
pub fn wanted(file: &PlanFile, from: NaiveDate, months: usize) -> Vec<Wanted> {
    let end = from
        .checked_add_months(Months::new(months as u32))
        .unwrap_or(NaiveDate::MAX);
    let years: Vec<i32> = match file.closing {
        Closing::Open => vec![0],
        Closing::EachBed => (from.year()..=end.year())
            .map(|year| year - file.start.year())
            .collect(),
    };
    let mut found: Vec<Wanted> = file
        .plantings
        .iter()
        .flat_map(|planting| {
            years.iter().map(move |years| Wanted {
                bed: planting.bed.clone(),
                crop: planting.crop.clone(),
                sow: crate::study::review::in_year(planting.sow, *years),
                tray: planting.tray,
                area_m2: planting.area_m2,
            })
        })
        .filter(|wanted| (from..end).contains(&wanted.sow))
        .collect();
    found.sort_by(|a, b| (&a.bed, a.sow, &a.crop).cmp(&(&b.bed, b.sow, &b.crop)));
    found
}

/// What each candidate costs beside its own cost: nothing where it was agreed to.
pub fn surcharges(job: &Job, problem: &Problem, wanted: &[Wanted]) -> Vec<f64> {
    let instance = &problem.instance;
    let class_of = |bed: &str| {
        let at = job.project.beds.iter().position(|own| own.name == bed)?;
        problem.places.get(at).map(|place| place.class)
    };
    instance
        .candidates
        .iter()
        .map(|candidate| {
            let sow = instance.date_of_week(candidate.sow_week);
            let agreed = wanted.iter().any(|wanted| {
                wanted.crop == candidate.crop
                    && wanted.tray == (candidate.tray_weeks > 0)
                    && (wanted.sow - sow).num_days().abs() <= SAME_WEEK_DAYS
                    && class_of(&wanted.bed) == Some(candidate.bed_class)
            });
            if agreed {
                return 0.0;
            }
            let worth: f64 = candidate
                .harvest
                .iter()
                .filter(|pick| pick.week < instance.weeks)
                .map(|pick| pick.kg * instance.foods[pick.food].price_kg[pick.week])
                .sum();
            CHANGE_SHARE * worth
        })
        .collect()
}
