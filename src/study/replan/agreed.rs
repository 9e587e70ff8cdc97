//! A former plan as sowings on the calendar, and what of it can still be.

use crate::crops::Way;
use crate::plan::planfile::{FilePlanting, weeks_in_bed};
use crate::plan::verify::{self, Fault};
use crate::plan::{BedPlan, BedSections, Candidate, Closing, Instance, Plan, PlanFile};
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
    /// First day in the bed, where the file says; else that of sowing.
    pub in_bed: NaiveDate,
    /// In a tray?
    pub tray: bool,
    /// Area, m2, where the file says.
    pub area_m2: Option<f64>,
    /// Patches of the bed, from 1, where the file names them.
    pub patches: Vec<usize>,
    /// Day on which the bed is free again, where the file says.
    pub clear: Option<NaiveDate>,
}

/// The sowings that are settled beforehand.
pub fn fixed(job: &Job) -> Vec<Wanted> {
    let beds = &job.project.beds;
    let own = job.project.household.gardening.fixed.iter();
    own.map(|one| {
        let bed = beds.iter().find(|bed| bed.name == one.bed);
        let direct = job
            .table
            .get(&one.crop)
            .is_some_and(|crop| crop.ways.contains(&Way::Direct));
        Wanted {
            bed: one.bed.clone(),
            crop: one.crop.clone(),
            sow: one.sow,
            in_bed: one.sow,
            tray: one.tray || !direct,
            area_m2: bed.map(|bed| bed.area_m2 * one.share),
            patches: Vec::new(),
            clear: None,
        }
    })
    .collect()
}

/// The sowings of a former plan on a project's horizon.
pub fn former(job: &Job, file: &PlanFile) -> Vec<Wanted> {
    match job.project.planning.from {
        Some(from) => wanted(file, from, job.project.planning.months),
        // A year that closes on itself has each sowing once, whichever year the file writes.
        None => file
            .plantings
            .iter()
            .map(|planting| Wanted::of(planting, planting.sow))
            .collect(),
    }
}

/// The sowings that an agreed plan has in the months from a day on; one that repeats has them in every year.
pub fn wanted(file: &PlanFile, from: NaiveDate, months: usize) -> Vec<Wanted> {
    let end = from
        .checked_add_months(Months::new(months as u32))
        .unwrap_or(NaiveDate::MAX);
    let mut found: Vec<Wanted> = on_calendar(file, from.year()..=end.year())
        .iter()
        .map(|planting| Wanted::of(planting, planting.sow))
        .filter(|wanted| (from..end).contains(&wanted.sow))
        .collect();
    found.sort_by(|a, b| (&a.bed, a.sow, &a.crop).cmp(&(&b.bed, b.sow, &b.crop)));
    found
}

/// The plantings of a plan with their days in some years; one that repeats has them in each of these, begun as they stand in the
/// file and moved on from bed to bed as it says.
pub fn on_calendar(file: &PlanFile, years: std::ops::RangeInclusive<i32>) -> Vec<FilePlanting> {
    let later: Vec<i32> = match file.closing {
        Closing::Open => vec![0],
        Closing::EachBed => years.map(|year| year - file.start.year()).collect(),
    };
    let each = file.plantings.iter();
    each.flat_map(|planting| {
        later
            .iter()
            .flat_map(move |years| file.in_year(planting, *years))
    })
    .collect()
}

/// A day of clearing that much before the one worked out anew still means the same: weather years differ by as much (own
/// choice).
const CLEARED_WITHIN_WEEKS: usize = 2;

/// A former plan in a problem.
pub struct Former {
    /// What of it can still be.
    pub plan: Plan,
    /// All of its sowings that can be thought of: place, candidate, patches.
    sowings: Vec<(BedSections, usize, usize)>,
}

/// What of a former plan can still be: each sowing in its patches, or in as many of its bed; where two stand in each other's
/// way one of them is left out.
///
/// With `rotation` none is left that follows itself; without, what is needed between is left to the search. What `given` has is
/// there whatever comes.
pub fn start(
    job: &Job,
    problem: &Problem,
    wanted: &[Wanted],
    (given, rotation): (&Plan, bool),
) -> Former {
    let instance = &problem.instance;
    let mut plan = given.clone();
    let mut sowings = Vec::new();
    for one in wanted {
        let Some(place) = one.place(job, problem) else {
            continue;
        };
        let mut candidates = instance.candidates.iter();
        let Some(number) = candidates.position(|candidate| one.is(problem, place, candidate))
        else {
            continue;
        };
        let tray_weeks = instance.candidates[number].tray_weeks;
        let weeks = one
            .clear
            .and_then(|clear| weeks_in_bed(one.sow, clear, tray_weeks));
        let number = instance.sowing_like(number, weeks, CLEARED_WITHIN_WEEKS);
        let patch_m2 = instance.beds[place.class].area_m2;
        let count = match one.area_m2 {
            Some(area_m2) => ((area_m2 / patch_m2).round() as usize).clamp(1, place.count),
            None if one.patches.is_empty() => place.count,
            None => one.patches.len(),
        };
        sowings.push((place.clone(), number, count));
        let mut beds: Vec<usize> = (0..plan.beds.len())
            .filter(|&bed| place.holds(&plan.beds[bed]))
            .collect();
        // Sections of a bed are alike: what stands where the file has none to begin with makes room beside it.
        beds.sort_by_key(|&bed| {
            let own = &plan.beds[bed];
            let named = one.patches.contains(&(own.bed + 1 - place.first));
            (in_the_way(instance, own, number), !named)
        });
        for at in beds.into_iter().take(count) {
            plan.beds[at].plantings.push(number);
        }
    }
    for one in &mut plan.beds {
        let week = |number: &usize| instance.candidates[*number].bed_week;
        one.plantings.sort_by_key(week);
    }
    mend(instance, &mut plan, (given, rotation));
    Former { plan, sowings }
}

/// Faults that a bed has more with one more sowing.
fn in_the_way(instance: &Instance, own: &BedPlan, number: usize) -> usize {
    let faults = |own: &BedPlan| {
        let alone = Plan {
            beds: vec![own.clone()],
        };
        // A family that follows itself may be parted by what is still to come.
        bed_faults(&verify::check_rules(instance, &alone), false).len()
    };
    let mut with = own.clone();
    with.plantings.push(number);
    faults(&with).saturating_sub(faults(own))
}

/// Class and bed of the faults by which plantings of a bed stand in each other's way.
fn bed_faults(faults: &[Fault], rotation: bool) -> Vec<(usize, usize)> {
    let bed = |fault: &Fault| match fault {
        Fault::OverFull { class, bed, .. } => Some((*class, *bed)),
        Fault::Rotation { class, bed, .. } if rotation => Some((*class, *bed)),
        _ => None,
    };
    faults.iter().filter_map(bed).collect()
}

/// Takes out plantings that stand in each other's way, those first whose leaving mends most; none of `given`.
fn mend(instance: &Instance, plan: &mut Plan, (given, rotation): (&Plan, bool)) {
    let of_bed = |plan: &Plan| bed_faults(&verify::check_rules(instance, plan), rotation);
    while let Some((class, bed)) = of_bed(plan).first().copied() {
        let Some(at) = plan
            .beds
            .iter()
            .position(|one| (one.class, one.bed) == (class, bed))
        else {
            return;
        };
        let without = |out: &usize| {
            let mut tried = plan.clone();
            tried.beds[at].plantings.remove(*out);
            (of_bed(&tried).len(), *out)
        };
        let own = &plan.beds[at].plantings;
        let may_go = |out: &usize| !given.beds[at].plantings.contains(&own[*out]);
        let Some(out) = (0..own.len()).filter(may_go).min_by_key(without) else {
            return;
        };
        plan.beds[at].plantings.remove(out);
    }
}

impl Former {
    /// Share of its bed-weeks that another plan has in the same beds, 0 to 1.
    pub fn kept(&self, instance: &Instance, plan: &Plan) -> f64 {
        let (mut all, mut kept) = (0.0, 0.0);
        for (place, number, count) in &self.sowings {
            let weeks = instance.candidates[*number].weeks as f64;
            let of_place = plan.beds.iter().filter(|one| place.holds(one));
            let there = of_place
                .filter(|one| one.plantings.contains(number))
                .count();
            all += weeks * *count as f64;
            kept += weeks * there.min(*count) as f64;
        }
        if all > 0.0 { kept / all } else { 0.0 }
    }
}

impl Wanted {
    fn of(planting: &FilePlanting, sow: NaiveDate) -> Self {
        Self {
            bed: planting.bed.clone(),
            crop: planting.crop.clone(),
            sow,
            in_bed: planting.in_bed() + (sow - planting.sow),
            tray: planting.tray,
            area_m2: planting.area_m2,
            patches: planting.patches.clone(),
            clear: planting.clear.map(|clear| clear + (sow - planting.sow)),
        }
    }

    /// Its bed's patches.
    fn place<'p>(&self, job: &Job, problem: &'p Problem) -> Option<&'p BedSections> {
        let at = job
            .project
            .beds
            .iter()
            .position(|own| own.name == self.bed)?;
        problem.places.get(at)
    }

    /// Is a candidate this sowing, in a bed like its own?
    fn is(&self, problem: &Problem, place: &BedSections, candidate: &Candidate) -> bool {
        candidate.is_to_sow()
            && self.crop == candidate.crop
            && self.tray == (candidate.tray_weeks > 0)
            && place.class == candidate.bed_class
            && problem.instance.week_of_date(self.sow) == Some(candidate.sow_week)
    }
}
