//! The plan that was agreed to, as sowings on the calendar, and what a change from it costs.

use crate::plan::{Candidate, Closing, Place, Plan, PlanFile, verify};
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

/// What each candidate costs beside its own cost: nothing where it was agreed to; no figures where nothing was.
pub fn surcharges(job: &Job, problem: &Problem, wanted: &[Wanted]) -> Vec<f64> {
    if wanted.is_empty() {
        return Vec::new();
    }
    let instance = &problem.instance;
    let surcharge = |candidate: &Candidate| {
        if wanted.iter().any(|one| one.is(job, problem, candidate)) {
            return 0.0;
        }
        let worth: f64 = candidate
            .harvest
            .iter()
            .filter(|pick| pick.week < instance.weeks)
            .map(|pick| pick.kg * instance.foods[pick.food].price_kg[pick.week])
            .sum();
        CHANGE_SHARE * worth
    };
    instance.candidates.iter().map(surcharge).collect()
}

/// What of the agreed plan can still be: each sowing in as many patches of its bed as agreed, where the rules allow; none
/// where nothing was agreed to.
pub fn start(job: &Job, problem: &Problem, wanted: &[Wanted]) -> Option<Plan> {
    if wanted.is_empty() {
        return None;
    }
    let instance = &problem.instance;
    let mut plan = Plan::empty(instance);
    for one in wanted {
        let candidates = instance.candidates.iter().enumerate();
        let nearest = candidates
            .filter(|(_, candidate)| one.is(job, problem, candidate))
            .min_by_key(|(_, candidate)| one.days_from(problem, candidate));
        let (Some((number, _)), Some(place)) = (nearest, one.place(job, problem)) else {
            continue;
        };
        let patch_m2 = instance.beds[place.class].area_m2;
        let mut left = one
            .area_m2
            .map_or(place.count, |area_m2| (area_m2 / patch_m2).round() as usize);
        for at in 0..plan.beds.len() {
            if left == 0 {
                break;
            }
            if !place.holds(&plan.beds[at]) {
                continue;
            }
            plan.beds[at].plantings.push(number);
            if verify::check_rules(instance, &plan).is_empty() {
                left -= 1;
            } else {
                plan.beds[at].plantings.pop();
            }
        }
    }
    Some(plan)
}

impl Wanted {
    /// Its bed's patches.
    fn place<'p>(&self, job: &Job, problem: &'p Problem) -> Option<&'p Place> {
        let at = job
            .project
            .beds
            .iter()
            .position(|own| own.name == self.bed)?;
        problem.places.get(at)
    }

    fn days_from(&self, problem: &Problem, candidate: &Candidate) -> i64 {
        let sow = problem.instance.date_of_week(candidate.sow_week);
        (self.sow - sow).num_days().abs()
    }

    /// Is a candidate this sowing, in a bed like its own?
    fn is(&self, job: &Job, problem: &Problem, candidate: &Candidate) -> bool {
        self.crop == candidate.crop
            && self.tray == (candidate.tray_weeks > 0)
            && self.days_from(problem, candidate) <= SAME_WEEK_DAYS
            && self
                .place(job, problem)
                .is_some_and(|place| place.class == candidate.bed_class)
    }
}
