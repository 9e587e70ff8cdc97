//! The year after: the project with what then stands in its beds, and the plan moved on by a year and a bed.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Datelike, Months, NaiveDate};

use super::replan::stands_in;
use super::review::in_year;
use super::{Job, PlanStudy, StudyError};
use crate::calendar::DAYS_PER_WEEK;
use crate::file::{self, Edit};
use crate::journal::{Journal, stands};
use crate::plan::planfile::FilePlanting;
use crate::plan::years::{Turn, rings};
use crate::plan::{Closing, Plan, PlanFile};

/// Area below which nothing more is taken to stand in a bed, m2: the file keeps none smaller.
const LEAST_M2: f64 = 0.01;

/// The year after, as files.
#[derive(Clone, Debug)]
pub struct NextYear {
    /// First day of the plan.
    pub from: NaiveDate,
    /// Project file.
    pub project: String,
    /// This year's plan, a year later; where beds move on it follows them, so that families come back to a place as late as
    /// the plan says.
    pub plan: PlanFile,
}

/// One crop of a bed at the turn of the plan.
struct Last {
    crop: String,
    since: NaiveDate,
    set_out: bool,
    area_m2: f64,
    clear: Option<NaiveDate>,
    /// Where it stands in its bed, for the order.
    section: usize,
}

/// Carries a year over into the next: what stands in the beds then, by the journal as far as it goes and by the plan from there
/// on, what stood in them last (its family counts), and the plan as the one to keep near to.
///
/// `text` is the project file as it was read, `near` the name that the plan's file gets, relative to the new project file.
///
/// # Errors
/// [`StudyError::Edit`] for a project file that cannot be changed so.
pub fn next_year(
    job: &Job,
    text: &str,
    study: &PlanStudy,
    journal: Option<&Journal>,
    near: &str,
) -> Result<NextYear, StudyError> {
    let instance = &study.problem.instance;
    let from = match instance.closing {
        Closing::EachBed => in_year(instance.start, 1),
        Closing::Open => instance.date_of_week(instance.weeks),
    };
    let own = study.bare_file();
    let mut edit = Edit::new(text)?;
    for bed in 0..edit.count("bed") {
        for key in ["stands", "sown", "share"] {
            edit.take(&format!("bed[{bed}].{key}"));
        }
    }
    edit.take("standing");
    for (bed, own_bed) in job.project.beds.iter().enumerate() {
        for last in last_in(job, &own, journal, (bed, from)) {
            let since = last.since.to_string();
            let area = format!("{:.2} m2", last.area_m2);
            let day = if last.set_out { "set_out" } else { "sown" };
            let mut keys = vec![
                ("bed", own_bed.name.as_str()),
                ("crop", last.crop.as_str()),
                (day, since.as_str()),
                ("area", area.as_str()),
            ];
            let clear = last.clear.map(|clear| clear.to_string());
            keys.extend(clear.as_deref().map(|clear| ("clear", clear)));
            edit.push_table("standing", &keys)?;
        }
    }
    edit.whole("year", "plan", i64::from(from.year()))?;
    edit.put("year.from", &from.to_string())?;
    edit.whole("year", "months", i64::from(MONTHS))?;
    edit.put("year.near", &format!("{near:?}"))?;
    let project = edit.text();
    file::parse("the year after", &project)?;
    let plan = plan_on(study, from);
    Ok(NextYear {
        from,
        project,
        plan,
    })
}

/// Months of the plan.
const MONTHS: u32 = 12;

/// This year's plan as the beds have it in the months that follow.
fn plan_on(study: &PlanStudy, from: NaiveDate) -> PlanFile {
    let instance = &study.problem.instance;
    let end = from.checked_add_months(Months::new(MONTHS)).unwrap_or(from);
    let mut file = PlanFile::new(instance, &study.problem.places, &study.found.plan);
    file.start = from;
    file.closing = Closing::Open;
    file.weeks = (end - from).num_days().unsigned_abs() as usize / DAYS_PER_WEEK;
    file.plantings.clear();
    for years in 1..=2 {
        let moved = moved_on(study, years);
        let moved = PlanFile::new(instance, &study.problem.places, &moved);
        for mut planting in moved.plantings {
            let since = planting.transplant.unwrap_or(planting.sow);
            let later = instance.start.year() + years as i32 - since.year();
            let later = |day: NaiveDate| in_year(day, later);
            planting.sow = later(planting.sow);
            for day in [
                &mut planting.transplant,
                &mut planting.first_harvest,
                &mut planting.last_harvest,
                &mut planting.clear,
            ] {
                *day = day.map(later);
            }
            if (from..end).contains(&planting.sow) && later(since) < end {
                file.plantings.push(planting);
            }
        }
    }
    file
}

/// What a bed carries on a day, or carried last, the latest first until the bed is full; in the order of its sections.
fn last_in(
    job: &Job,
    plan: &PlanFile,
    journal: Option<&Journal>,
    (bed, from): (usize, NaiveDate),
) -> Vec<Last> {
    let own = &job.project.beds[bed];
    let entries = journal.map_or(&[][..], |journal| &journal.entries);
    let of_crops = entries.iter().filter(|entry| entry.crop.is_some());
    let told_until = of_crops.map(|entry| entry.date).max();
    let mut all: Vec<Last> = Vec::new();
    if told_until.is_some() {
        let standing = stands_in(job, &stands(entries, from), Some(plan), from);
        let here = standing.into_iter().filter(|(at, _)| *at == bed);
        all.extend(here.map(|(_, one)| Last {
            crop: one.crop,
            since: one.since,
            set_out: one.set_out.is_some(),
            area_m2: one.share * own.area_m2,
            clear: one.clear,
            section: 0,
        }));
    }
    let since = |planting: &FilePlanting| planting.transplant.unwrap_or(planting.sow);
    let planned = plan.plantings.iter().filter(|one| one.bed == own.name);
    let mut planned: Vec<_> = planned.filter(|one| since(one) < from).collect();
    planned.sort_by_key(|planting| std::cmp::Reverse(since(planting)));
    let mut taken = BTreeSet::new();
    for planting in planned {
        let sections = planting.patches.iter();
        let last: Vec<usize> = sections
            .filter(|one| taken.insert(**one))
            .copied()
            .collect();
        let since = since(planting);
        if !last.is_empty() && told_until.is_none_or(|told| since > told) {
            let share = last.len() as f64 / planting.patches.len() as f64;
            all.push(Last {
                crop: planting.crop.clone(),
                since,
                set_out: planting.transplant.is_some(),
                area_m2: share * planting.area_m2.unwrap_or(own.area_m2),
                clear: planting.clear,
                section: last[0],
            });
        }
    }
    all.sort_by_key(|last| std::cmp::Reverse(last.since));
    let mut left_m2 = own.area_m2;
    all.retain_mut(|last| {
        last.area_m2 = last.area_m2.min(left_m2);
        left_m2 -= last.area_m2;
        last.area_m2 >= LEAST_M2
    });
    all.sort_by_key(|last| (last.section, last.since));
    all
}

/// The plan as the beds have it so many years later: from the turn on each carries what the bed before it carried.
fn moved_on(study: &PlanStudy, years: usize) -> Plan {
    let plan = &study.found.plan;
    match &study.years_on.turn {
        Some(turn) => moved_by(study, turn, years),
        None => plan.clone(),
    }
}

fn moved_by(study: &PlanStudy, turn: &Turn, years: usize) -> Plan {
    let problem = &study.problem;
    let instance = &problem.instance;
    let plan = &study.found.plan;
    let mut moved = plan.clone();
    let at: BTreeMap<(usize, usize), usize> = plan
        .beds
        .iter()
        .enumerate()
        .map(|(at, one)| ((one.class, one.bed), at))
        .collect();
    let early = |number: &usize| instance.candidates[*number].bed_week < turn.week;
    let rings = rings(instance, &problem.places);
    for (ring, slots) in rings.iter().zip(&turn.moving) {
        for (slot, _) in slots.iter().enumerate().filter(|(_, moves)| **moves) {
            let beds = ring.iter().filter_map(|&place| {
                let place = &problem.places[place];
                at.get(&(place.class, place.first + slot)).copied()
            });
            let beds: Vec<usize> = beds.collect();
            for (own, &bed) in beds.iter().enumerate() {
                let before = |years: usize| beds[(own + years * (beds.len() - 1)) % beds.len()];
                let old = plan.beds[before(years - 1)].plantings.iter();
                let new = plan.beds[before(years)].plantings.iter();
                let both = old
                    .filter(|one| early(one))
                    .chain(new.filter(|one| !early(one)));
                moved.beds[bed].plantings = both.copied().collect();
            }
        }
    }
    moved
}
