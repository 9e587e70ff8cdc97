//! A former plan as sowings on the calendar, and what of it can still be.

use crate::plan::planfile::FilePlanting;
use crate::plan::{Candidate, Closing, Place, Plan, PlanFile, verify};
use crate::study::Job;
use crate::study::problem::Problem;
use chrono::{Datelike, Months, NaiveDate};

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
    /// Patches of the bed, from 1, where the file names them.
    pub patches: Vec<usize>,
}

/// The sowings of a former plan on a project's horizon.
pub fn former(job: &Job, file: &PlanFile) -> Vec<Wanted> {
    match job.project.planning.from {
        Some(from) => wanted(file, from, job.project.planning.months),
        // A year that closes on itself has each sowing once, whichever year the file writes.
        None => file.plantings.iter().map(|planting| Wanted::of(planting, planting.sow)).collect(),
    }
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
            years.iter().map(move |years| {
                Wanted::of(planting, crate::study::review::in_year(planting.sow, *years))
            })
        })
        .filter(|wanted| (from..end).contains(&wanted.sow))
        .collect();
    found.sort_by(|a, b| (&a.bed, a.sow, &a.crop).cmp(&(&b.bed, b.sow, &b.crop)));
    found
}

/// What of a former plan can still be: each sowing in its patches, or in as many of its bed, where the rules allow.
pub fn start(job: &Job, problem: &Problem, wanted: &[Wanted]) -> Plan {
    let instance = &problem.instance;
    let mut plan = Plan::empty(instance);
    for one in wanted {
        let Some(place) = one.place(job, problem) else {
            continue;
        };
        let mut candidates = instance.candidates.iter();
        let Some(number) = candidates.position(|candidate| one.is(problem, place, candidate)) else {
            continue;
        };
        let patch_m2 = instance.beds[place.class].area_m2;
        let mut left = match one.area_m2 {
            Some(area_m2) => ((area_m2 / patch_m2).round() as usize).max(1),
            None if one.patches.is_empty() => place.count,
            None => one.patches.len(),
        };
        let named = |bed: &usize| one.patches.contains(&(plan.beds[*bed].bed + 1 - place.first));
        let of_place = (0..plan.beds.len()).filter(|&bed| place.holds(&plan.beds[bed]));
        let mut beds: Vec<usize> = of_place.collect();
        beds.sort_by_key(|bed| !named(bed));
        for at in beds {
            if left == 0 {
                break;
            }
            plan.beds[at].plantings.push(number);
            if verify::check_rules(instance, &plan).is_empty() {
                left -= 1;
            } else {
                plan.beds[at].plantings.pop();
            }
        }
    }
    plan
}

impl Wanted {
    fn of(planting: &FilePlanting, sow: NaiveDate) -> Self {
        Self {
            bed: planting.bed.clone(),
            crop: planting.crop.clone(),
            sow,
            tray: planting.tray,
            area_m2: planting.area_m2,
            patches: planting.patches.clone(),
        }
    }

    /// Its bed's patches.
    fn place<'p>(&self, job: &Job, problem: &'p Problem) -> Option<&'p Place> {
        let at = job
            .project
            .beds
            .iter()
            .position(|own| own.name == self.bed)?;
        problem.places.get(at)
    }

    /// Is a candidate this sowing, in a bed like its own?
    fn is(&self, problem: &Problem, place: &Place, candidate: &Candidate) -> bool {
        self.crop == candidate.crop
            && self.tray == (candidate.tray_weeks > 0)
            && place.class == candidate.bed_class
            && problem.instance.week_of_date(self.sow) == Some(candidate.sow_week)
    }
}
