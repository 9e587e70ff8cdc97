//! What stands in the beds and in the trays on a day, as the journal tells it.

use super::agreed::on_calendar;
use super::trays::{is_in_tray, young_plants};
use crate::file::Standing;
use crate::journal::Stand;
use crate::plan::PlanFile;
use crate::plan::planfile::FilePlanting;
use crate::study::Job;
use chrono::{Datelike, Days, NaiveDate};

/// Days that a crop of unknown age is taken to have stood before its first picking where its file says nothing (own
/// choice).
const AGE_DAYS: u64 = 60;
/// What is left of a planting that was not lost as a whole, m2 (own choice: a plant).
const LEAST_LEFT_M2: f64 = 0.05;
/// A planting of the plan farther than this from a row of the journal is another, days (own choice, as in the review).
pub const SAME_WITHIN_DAYS: i64 = 42;

/// What the journal tells of standing in the beds on a day, and in trays for them: bed of the file, and the crop.
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

/// Puts the journal's plantings into the beds in place of what the project file says, and what stands in trays for them; gives
/// what was assumed.
pub fn put_in_beds(
    job: &mut Job,
    told: &[Stand],
    agreed: Option<&PlanFile>,
    from: NaiveDate,
) -> Vec<String> {
    // A planting of a year ago may still stand.
    let years = from.year() - 1..=from.year() + 1;
    let planned = agreed.map_or_else(Vec::new, |file| on_calendar(file, years));
    let (young, mut notes) = young_plants(job, told, &planned, from);
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
            .filter(|stand| !is_in_tray(job, stand, &planned, from))
            .collect();
        let areas: Vec<Option<f64>> = here
            .iter()
            .map(|stand| {
                let agreed_m2 = || planted_as(&planned, stand)?.area_m2;
                let left_m2 = |area_m2: f64| (area_m2 - stand.lost_m2).max(LEAST_LEFT_M2);
                stand.area_m2.or_else(|| agreed_m2().map(left_m2))
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
                let planting = planted_as(&planned, stand);
                standing.push(Standing {
                    crop: stand.crop.clone(),
                    since,
                    set_out: (stand.set_out.is_some()).then_some(true),
                    sown: None,
                    share,
                    sections: planting.map_or_else(Vec::new, |one| sections(one, *area)),
                    clear: planting.and_then(|one| wanted_back(&planned, one, since)),
                });
            }
        }
        let young = young.iter().filter(|(bed, _)| *bed == name);
        standing.extend(young.map(|(_, one)| one.clone()));
        job.project.beds[at].standing = standing;
    }
    notes
}

/// What the journal tells of that stood in the beds and is gone by a day, and was not lost: bed of the file, and the crop.
pub fn gone(
    job: &Job,
    told: &[Stand],
    agreed: Option<&PlanFile>,
    from: NaiveDate,
) -> Vec<(usize, Standing)> {
    let years = from.year() - 1..=from.year() + 1;
    let planned = agreed.map_or_else(Vec::new, |file| on_calendar(file, years));
    let gone = told
        .iter()
        .filter(|stand| !stand.died && !stand.stands_on(from) && stand.ended.is_some());
    let standing = |stand: &Stand| {
        let beds = &job.project.beds;
        let bed = beds
            .iter()
            .position(|bed| Some(&bed.name) == stand.bed.as_ref())?;
        let planting = planted_as(&planned, stand);
        let area_m2 = stand.area_m2.or_else(|| planting?.area_m2);
        let standing = Standing {
            crop: stand.crop.clone(),
            since: since(job, stand)?,
            set_out: stand.set_out.map(|_| true),
            sown: None,
            share: area_m2.map_or(1.0, |area_m2| (area_m2 / beds[bed].area_m2).min(1.0)),
            sections: planting.map_or_else(Vec::new, |one| sections(one, stand.area_m2)),
            clear: stand.ended,
        };
        Some((bed, standing))
    };
    gone.filter_map(standing).collect()
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

/// The planting of an agreed plan that a row of the journal tells of, in the bed that it names; in any where it names none.
pub fn planted_as<'p>(planned: &'p [FilePlanting], stand: &Stand) -> Option<&'p FilePlanting> {
    let apart = |planting: &FilePlanting| match (stand.set_out, planting.transplant) {
        (Some(told), Some(planned)) => Some((planned - told).num_days().abs()),
        _ => Some(
            (planting.sow - stand.sown.or(stand.set_out)?)
                .num_days()
                .abs(),
        ),
    };
    let same = planned.iter().filter(|planting| {
        let bed = stand.bed.as_ref();
        bed.is_none_or(|bed| *bed == planting.bed) && planting.crop == stand.crop
    });
    // Of a sowing in trays and one in the bed on the same day each is its own.
    let other_way = |planting: &FilePlanting| {
        stand.bed.is_some() && planting.transplant.is_some() != stand.set_out.is_some()
    };
    same.filter_map(|planting| Some((apart(planting)?, planting)))
        .filter(|(apart, _)| *apart <= SAME_WITHIN_DAYS)
        .min_by_key(|(apart, planting)| (*apart, other_way(planting)))
        .map(|(_, planting)| planting)
}

/// The sections that a planting has, as many of them as an area that is told fills.
fn sections(planting: &FilePlanting, told_m2: Option<f64>) -> Vec<usize> {
    let mut sections = planting.patches.clone();
    if let (Some(told_m2), Some(planned_m2)) = (told_m2, planting.area_m2) {
        let share = told_m2 / planned_m2;
        let count = (share * sections.len() as f64).round().max(1.0);
        // What takes more than was planned takes what is free.
        if count as usize > sections.len() {
            return Vec::new();
        }
        sections.truncate(count as usize);
    }
    sections
}

/// Day on which an agreed plan wants the place of a planting back that came on a day: as much later as it came later, unless the
/// next is to come there before.
pub fn wanted_back(
    planned: &[FilePlanting],
    planting: &FilePlanting,
    since: NaiveDate,
) -> Option<NaiveDate> {
    let clear = planting.clear?;
    let moved = clear.max(since + (clear - planting.in_bed()));
    let shares = |other: &&FilePlanting| {
        let no_sections = other.patches.is_empty() || planting.patches.is_empty();
        let sections = no_sections
            || other
                .patches
                .iter()
                .any(|one| planting.patches.contains(one));
        other.bed == planting.bed && sections
    };
    let next = planned.iter().filter(shares);
    let next = next
        .map(FilePlanting::in_bed)
        .filter(|day| (clear..moved).contains(day))
        .min();
    Some(next.unwrap_or(moved))
}
