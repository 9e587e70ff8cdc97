//! The year after: the project with what then stands in its beds, and the plan moved on by a year and a bed.

use std::collections::BTreeSet;

use chrono::{Datelike, Months, NaiveDate};

use super::replan::stands_in;
use super::{Job, PlanStudy, StudyError};
use crate::calendar::{DAYS_PER_WEEK, years_later};
use crate::file::{self, Edit, Standing};
use crate::journal::{Journal, stands};
use crate::plan::{Closing, PlanFile};

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
        Closing::EachBed => years_later(instance.start, 1),
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
            let keys = last.keys(&own_bed.name, own_bed.area_m2);
            let keys: Vec<(&str, &str)> = keys
                .iter()
                .map(|(key, text)| (*key, text.as_str()))
                .collect();
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
    /// Years of which a plan of so many months can have sowings: those sown at the end of one are set out in the next.
    const YEARS: std::ops::RangeInclusive<i32> = 0..=2;
    let end = from.checked_add_months(Months::new(MONTHS)).unwrap_or(from);
    let own = study.bare_file();
    let later = own
        .plantings
        .iter()
        .flat_map(|one| YEARS.flat_map(|years| own.in_year(one, years)));
    let plantings = later
        .filter(|one| (from..end).contains(&one.sow) && one.in_bed() < end)
        .collect();
    PlanFile {
        start: from,
        closing: Closing::Open,
        weeks: (end - from).num_days().unsigned_abs() as usize / DAYS_PER_WEEK,
        saved: None,
        standing: Vec::new(),
        turns: Vec::new(),
        plantings,
        ..own
    }
}

/// What a bed carries on a day, or carried last, the latest first until the bed is full; in the order of its sections. Then what
/// stands in trays for it.
fn last_in(
    job: &Job,
    plan: &PlanFile,
    journal: Option<&Journal>,
    (bed, from): (usize, NaiveDate),
) -> Vec<Standing> {
    let own = &job.project.beds[bed];
    let entries = journal.map_or(&[][..], |journal| &journal.entries);
    let of_crops = entries.iter().filter(|entry| entry.crop.is_some());
    let told_until = of_crops.map(|entry| entry.date).max();
    let told = stands_in(job, &stands(entries, from), Some(plan), from);
    let told = told.into_iter().filter(|(at, _)| *at == bed);
    let (in_trays, mut all): (Vec<Standing>, Vec<Standing>) = told
        .map(|(_, one)| one)
        .partition(|one| one.in_tray_on(from));
    let planned = plan.plantings.iter().filter(|one| one.bed == own.name);
    let mut planned: Vec<_> = planned.filter(|one| one.in_bed() < from).collect();
    planned.sort_by_key(|planting| std::cmp::Reverse(planting.in_bed()));
    let mut taken = BTreeSet::new();
    for planting in planned {
        let sections = planting.patches.iter();
        let last: Vec<usize> = sections
            .filter(|one| taken.insert(**one))
            .copied()
            .collect();
        let since = planting.in_bed();
        if !last.is_empty() && told_until.is_none_or(|told| since > told) {
            let share = last.len() as f64 / planting.patches.len() as f64;
            let area_m2 = share * planting.area_m2.unwrap_or(own.area_m2);
            all.push(Standing {
                crop: planting.crop.clone(),
                since,
                set_out: planting.transplant.map(|_| true),
                sown: None,
                share: area_m2 / own.area_m2,
                sections: last,
                clear: planting.clear,
            });
        }
    }
    all.sort_by_key(|last| std::cmp::Reverse(last.since));
    let mut left_m2 = own.area_m2;
    all.retain_mut(|last| {
        let area_m2 = (last.share * own.area_m2).min(left_m2);
        last.share = area_m2 / own.area_m2;
        left_m2 -= area_m2;
        area_m2 >= LEAST_M2
    });
    all.sort_by_key(|last| (last.sections.first().copied(), last.since));
    all.extend(in_trays);
    all
}
