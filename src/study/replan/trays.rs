//! Young plants in trays on a day: their beds and their days of setting out, by the agreed plan where it has them.

use super::agreed::SAME_WEEK_DAYS;
use super::standing::{SAME_WITHIN_DAYS, planted_as, wanted_back};
use crate::calendar::DAYS_PER_WEEK;
use crate::crops::Way;
use crate::file::Standing;
use crate::journal::Stand;
use crate::plan::planfile::FilePlanting;
use crate::study::Job;
use chrono::{Days, NaiveDate};

/// Longest time that plants told of as sown are taken to wait in their tray, days (common practice, no source).
const TRAY_DAYS_MAX: u64 = 120;

/// Does a sowing of the journal stand in its tray on a day? One without a bed does; one for a bed where the crop is never sown in
/// the bed, or where the plan has it from a tray.
pub fn is_in_tray(job: &Job, stand: &Stand, planned: &[FilePlanting], day: NaiveDate) -> bool {
    let Some(sown) = stand.sown else { return false };
    if stand.set_out.is_some() || !stand.picks.is_empty() || !stand.stands_on(day) {
        return false;
    }
    let Some(crop) = job.table.get(&stand.crop) else {
        return false;
    };
    let may_wait = sown + Days::new(TRAY_DAYS_MAX) >= day;
    let raised = crop.ways.contains(&Way::Tray);
    let from_tray = match planted_as(planned, stand) {
        _ if stand.bed.is_none() => true,
        Some(planting) => planting.tray,
        None => !crop.ways.contains(&Way::Direct),
    };
    raised && from_tray && may_wait
}

/// What stands in trays on a day, with its bed, and what was assumed: what the journal tells of, then what the plan has begun and
/// the journal does not speak of.
pub fn young_plants(
    job: &Job,
    told: &[Stand],
    planned: &[FilePlanting],
    day: NaiveDate,
) -> (Vec<(String, Standing)>, Vec<String>) {
    let mut left: Vec<&FilePlanting> = planned.iter().filter(|one| one.tray).collect();
    // What is set out or gone is not to be set out again.
    for stand in told
        .iter()
        .filter(|stand| !is_in_tray(job, stand, planned, day))
    {
        if let Some(gone) = planted_as(planned, stand) {
            left.retain(|one| *one != gone);
        }
    }
    let raised = left.clone();
    let (mut young, mut notes) = (Vec::new(), Vec::new());
    for stand in told
        .iter()
        .filter(|stand| is_in_tray(job, stand, planned, day))
    {
        let Some(sown) = stand.sown else { continue };
        if let Some(of_stand) = take_sowing(&raised, &mut left, stand, sown) {
            let young_of = |one: &&FilePlanting| to_set_out(job, planned, one, sown, day);
            young.extend(of_stand.iter().map(young_of));
            continue;
        }
        match own_bed(job, stand, sown, day) {
            Some(own) => young.push(own),
            None => notes.push(format!(
                "`{}` sown in a tray on {sown} has no bed in the plan and none in the journal: set the plants out where you have room",
                stand.crop
            )),
        }
    }
    for planting in left {
        let begun = planting.sow < day && planting.in_bed() >= day;
        if begun {
            notes.push(format!(
                "the journal does not speak of `{}`, by the plan sown in trays on {} for {}: it is taken to stand there",
                planting.crop, planting.sow, planting.bed
            ));
            young.push(to_set_out(job, planned, planting, planting.sow, day));
        }
    }
    (young, notes)
}

/// Takes the plantings that a sowing in trays is for out of those that are left: of all raised so those of the nearest day of
/// sowing, in its bed where it names one. A further row of the same sowing takes none; none at all where the plan has no such
/// sowing.
fn take_sowing<'p>(
    raised: &[&'p FilePlanting],
    left: &mut Vec<&'p FilePlanting>,
    stand: &Stand,
    sown: NaiveDate,
) -> Option<Vec<&'p FilePlanting>> {
    let apart = |one: &FilePlanting| (one.sow - sown).num_days().abs();
    let may_be = |one: &FilePlanting| {
        let bed = stand.bed.as_ref().is_none_or(|bed| *bed == one.bed);
        bed && one.crop == stand.crop && apart(one) <= SAME_WITHIN_DAYS
    };
    let nearest = raised
        .iter()
        .filter(|one| may_be(one))
        .map(|one| (apart(one), one.sow));
    let (_, planned) = nearest.min()?;
    let same =
        |one: &FilePlanting| may_be(one) && (one.sow - planned).num_days().abs() <= SAME_WEEK_DAYS;
    let taken = left.iter().copied().filter(|one| same(one)).collect();
    left.retain(|one| !same(one));
    Some(taken)
}

/// A planting of the plan in its tray: set out on the plan's day, as many weeks later as it was sown later.
fn to_set_out(
    job: &Job,
    planned: &[FilePlanting],
    planting: &FilePlanting,
    sown: NaiveDate,
    day: NaiveDate,
) -> (String, Standing) {
    let week = DAYS_PER_WEEK as i64;
    let late_weeks = ((sown - planting.sow).num_days() / week).max(0);
    let due = planting.in_bed() + chrono::Duration::weeks(late_weeks);
    let since = due.max(day);
    let beds = &job.project.beds;
    let bed_m2 = beds.iter().find(|bed| bed.name == planting.bed);
    let bed_m2 = bed_m2.map_or(1.0, |bed| bed.area_m2);
    let standing = Standing {
        crop: planting.crop.clone(),
        since,
        set_out: Some(true),
        sown: Some(sown),
        share: planting
            .area_m2
            .map_or(1.0, |area_m2| (area_m2 / bed_m2).min(1.0)),
        sections: planting.patches.clone(),
        clear: wanted_back(planned, planting, since),
    };
    (planting.bed.clone(), standing)
}

/// Young plants that no plan has, for the bed that the journal names.
fn own_bed(
    job: &Job,
    stand: &Stand,
    sown: NaiveDate,
    day: NaiveDate,
) -> Option<(String, Standing)> {
    let bed = job
        .project
        .beds
        .iter()
        .find(|own| stand.bed.as_ref() == Some(&own.name))?;
    let crop = job.table.get(&stand.crop)?;
    let due = sown + Days::new(crop.tray_days() as u64);
    let standing = Standing {
        crop: stand.crop.clone(),
        since: due.max(day),
        set_out: Some(true),
        sown: Some(sown),
        share: stand
            .area_m2
            .map_or(LEAST_SHARE, |area_m2| (area_m2 / bed.area_m2).min(1.0)),
        sections: Vec::new(),
        clear: None,
    };
    Some((bed.name.clone(), standing))
}

/// Share of a bed that plants of an unknown area take: one section, however small (own choice).
const LEAST_SHARE: f64 = 1e-6;
