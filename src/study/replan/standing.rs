//! What stands in the beds on a day, as the journal tells it.

use crate::file::Standing;
use crate::journal::Stand;
use crate::plan::PlanFile;
use crate::plan::planfile::FilePlanting;
use crate::study::Job;
use chrono::{Days, NaiveDate};

/// Days that a crop of unknown age is taken to have stood before its first picking where its file says nothing (own
/// choice).
const AGE_DAYS: u64 = 60;
/// A planting of the plan farther than this from a row of the journal is another, days (own choice, as in the review).
const SAME_WITHIN_DAYS: i64 = 42;

/// What the journal tells of standing in the beds on a day: bed of the file, and the crop.
pub fn stands_in(
    job: &Job,
    told: &[Stand],
    agreed: Option<&PlanFile>,
    from: NaiveDate,
) -> Vec<(usize, Standing)> {
    let mut job = job.clone();
    put_in_beds(&mut job, told, agreed, from);
    let beds = job.project.beds.into_iter().enumerate();
    beds.flat_map(|(at, bed)| bed.standing.into_iter().map(move |one| (at, one)))
        .collect()
}

/// Puts the journal's plantings into the beds in place of what the project file says; gives what was assumed.
pub fn put_in_beds(
    job: &mut Job,
    told: &[Stand],
    agreed: Option<&PlanFile>,
    from: NaiveDate,
) -> Vec<String> {
    let mut notes = Vec::new();
    let beds: Vec<(String, f64)> = job
        .project
        .beds
        .iter()
        .map(|bed| (bed.name.clone(), bed.area_m2))
        .collect();
    for (at, (name, bed_m2)) in beds.into_iter().enumerate() {
        let here: Vec<&Stand> = told
            .iter()
            .filter(|stand| stand.bed.as_ref() == Some(&name) && stand.stands_on(from))
            .collect();
        let areas: Vec<Option<f64>> = here
            .iter()
            .map(|stand| {
                let agreed_m2 = || agreed_as(agreed, stand)?.area_m2;
                stand.area_m2.or_else(agreed_m2)
            })
            .collect();
        let shares = shares(&areas, bed_m2);
        let mut standing = Vec::new();
        for ((stand, share), area) in here.iter().zip(shares).zip(&areas) {
            if area.is_none() {
                notes.push(format!(
                    "the journal does not say how much of bed {name} `{}` takes; {:.0} % is assumed",
                    stand.crop,
                    100.0 * share
                ));
            }
            if let Some(since) = since(job, stand) {
                standing.push(Standing {
                    crop: stand.crop.clone(),
                    since,
                    set_out: (stand.set_out.is_some()).then_some(true),
                    share,
                    clear: agreed_as(agreed, stand)
                        .and_then(|planting| agreed_clear(planting, since)),
                });
            }
        }
        job.project.beds[at].standing = standing;
    }
    notes
}

/// Shares of a bed: by area where known, else the rest in equal parts; together never more than the bed.
fn shares(areas: &[Option<f64>], bed_m2: f64) -> Vec<f64> {
    let known: f64 = areas.iter().flatten().sum();
    let unknown = areas.iter().filter(|area| area.is_none()).count();
    let rest_m2 = (bed_m2 - known).max(0.0) / unknown.max(1) as f64;
    let whole = known.max(bed_m2);
    areas
        .iter()
        .map(|area| (area.unwrap_or(rest_m2) / whole).min(1.0))
        .collect()
}

fn since(job: &Job, stand: &Stand) -> Option<NaiveDate> {
    if let Some(day) = stand.set_out.or(stand.sown) {
        return Some(day);
    }
    let days = job
        .table
        .get(&stand.crop)
        .and_then(|crop| crop.timing.days_from_sowing);
    let days = days.map_or(AGE_DAYS, |days| days.middle().round() as u64);
    stand.since()?.checked_sub_days(Days::new(days))
}

/// The planting of an agreed plan that a row of the journal tells of.
fn agreed_as<'p>(agreed: Option<&'p PlanFile>, stand: &Stand) -> Option<&'p FilePlanting> {
    let apart = |planting: &FilePlanting| match (stand.set_out, planting.transplant) {
        (Some(told), Some(planned)) => Some(days_apart_in_year(planned, told)),
        _ => Some(days_apart_in_year(
            planting.sow,
            stand.sown.or(stand.set_out)?,
        )),
    };
    let same = agreed?.plantings.iter().filter(|planting| {
        Some(&planting.bed) == stand.bed.as_ref() && planting.crop == stand.crop
    });
    same.filter_map(|planting| Some((apart(planting)?, planting)))
        .filter(|(apart, _)| *apart <= SAME_WITHIN_DAYS)
        .min_by_key(|(apart, _)| *apart)
        .map(|(_, planting)| planting)
}

/// Day on which an agreed plan wants the place of what stands there back, counted from the day it came.
fn agreed_clear(planting: &FilePlanting, since: NaiveDate) -> Option<NaiveDate> {
    let planned = planting.transplant.unwrap_or(planting.sow);
    Some(since + (planting.clear? - planned))
}

/// Days between two days of any years, the shorter way round.
fn days_apart_in_year(a: NaiveDate, b: NaiveDate) -> i64 {
    use crate::calendar::{DAYS_PER_YEAR, day_of_date};
    let apart = (day_of_date(a) as i64 - day_of_date(b) as i64).abs();
    apart.min(DAYS_PER_YEAR as i64 - apart)
}
