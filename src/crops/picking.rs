//! From a growing stand to the kitchen: first picking, picking from the standing crop and cuts.

use super::grow::{EventKind, Growth};
use super::loss::lacking;
use super::stand::Stand;
use super::{Cause, Habit, Hardiness, Loss, fruit};

/// Days in a week of picking.
pub(super) const WEEK: usize = 7;
/// Longest that a ready crop is left to be picked little by little (common practice, no source: twelve weeks).
const LONGEST_STAND_DAYS: usize = 84;
/// Longest wait for the first picking: this many days ...
const WAIT_DAYS: f64 = 150.0;
/// The same for a tender crop: nobody nurses one through a winter without fruit (common practice, no source).
const TENDER_WAIT_DAYS: f64 = 30.0;
/// ... and this many times the published days (own choice: from a late sowing over the dark weeks into spring).
const WAIT_TIMES: f64 = 1.5;
/// A keeping crop is lifted at once if it keeps for so many days (common practice, no source).
const KEEPS_DAYS: f64 = 28.0;
/// Grows the stand until it is picked out, lost or given up.
pub(super) fn run(mut stand: Stand, growth: &mut Growth) -> Result<(), Loss> {
    match stand.crop.habit {
        Habit::Single => {
            let ready = until_ready(&mut stand, growth)?;
            pick_whole(&mut stand, ready, growth)?;
        }
        Habit::Cut => {
            let ready = until_ready(&mut stand, growth)?;
            pick_cuts(&mut stand, ready, growth)?;
        }
        Habit::Fruit => fruit::pick(&mut stand, growth)?,
    }
    stand.spoilt_by_heat(growth)
}

pub(super) fn longest_wait(stand: &Stand) -> usize {
    let days = stand.high_k_d / stand.crop.best_k();
    let base_days = match stand.crop.hardiness {
        Hardiness::Tender => TENDER_WAIT_DAYS,
        _ => WAIT_DAYS,
    };
    let wait_days = base_days + WAIT_TIMES * days;
    let life_days = stand.crop.timing.life_days.unwrap_or(f64::INFINITY);
    wait_days.min(life_days).round() as usize
}

/// Lives until the growth sum is reached; returns the first day of picking.
fn until_ready(stand: &mut Stand, growth: &mut Growth) -> Result<usize, Loss> {
    let last = stand.from_day + longest_wait(stand);
    for day in stand.from_day..last {
        let bulbs_before = stand.calls.bulbs;
        stand.live(day)?;
        if stand.calls.bulbs && !bulbs_before {
            growth.note(day, EventKind::Bulbs);
        }
        if stand.sum_k_d >= stand.ready_k_d {
            growth.ready_day = Some(day + 1);
            growth.note(day + 1, EventKind::Ready);
            return Ok(day + 1);
        }
    }
    Err(not_ready(stand, last))
}

pub(super) fn not_ready(stand: &Stand, last: usize) -> Loss {
    if let (Some(bulbing), false) = (stand.crop.bulbing, stand.calls.bulbs) {
        if stand.calls.cold_days < bulbing.cold_days {
            let unit = "days of cold";
            return Loss::below(
                last,
                Cause::TooLittleCold,
                stand.calls.cold_days,
                bulbing.cold_days,
                unit,
            );
        }
        let longest = (stand.from_day..last)
            .map(|day| stand.prepared.day(stand.year, day).day_length_h)
            .fold(0.0, f64::max);
        return Loss::below(last, Cause::DayTooShort, longest, bulbing.day_length_h, "h");
    }
    lacking(stand.crop, stand.prepared, stand.year, stand.from_day, last)
}

/// Whole plants: a share each week while they stand, heavier as they still grow.
fn pick_whole(stand: &mut Stand, ready: usize, growth: &mut Growth) -> Result<(), Loss> {
    let crop = stand.crop;
    let keeps = crop
        .storage
        .is_some_and(|storage| storage.days.low >= KEEPS_DAYS);
    let weeks = crop.timing.harvest_weeks.high;
    let pickings = if keeps && weeks <= 1.0 {
        1
    } else {
        let hold_k_d = weeks * WEEK as f64 * crop.best_k();
        stand
            .days_for(ready, hold_k_d, LONGEST_STAND_DAYS)
            .div_ceil(WEEK)
    };
    let quality = stand.quality();
    let mut taken = 0;
    let mut day = ready;
    let mut due = ready;
    while taken < pickings {
        let today = stand.live(day)?;
        if day >= due && today.thaws {
            let progress = (stand.sum_k_d - stand.low_k_d)
                / (stand.high_k_d - stand.low_k_d).max(f64::MIN_POSITIVE);
            let whole_kg_m2 = crop.yields.kg_m2.at(progress.clamp(0.0, 1.0) * quality);
            stand.pick(growth, day, whole_kg_m2 / pickings as f64);
            taken += 1;
            due += WEEK;
        }
        if day > ready + 2 * LONGEST_STAND_DAYS {
            break;
        }
        day += 1;
    }
    Ok(())
}

/// Cuts: each is picked in weekly parts that last until the part cut first has grown again.
fn pick_cuts(stand: &mut Stand, ready: usize, growth: &mut Growth) -> Result<(), Loss> {
    let crop = stand.crop;
    let regrowth_k_d = crop.timing.regrowth_days.unwrap_or(1.0) * crop.best_k();
    let cuts = crop.timing.cuts.high.round() as usize;
    let first_kg_m2 = crop.yields.kg_m2.at(stand.quality());
    let mut left_kg_m2 = crop.yields.season_max_kg_m2;
    let mut day = ready;
    for cut in 0..cuts {
        if cut > 0 {
            growth.note(day, EventKind::CutAgain);
            stand.cut_back();
        }
        let share = if cut == 0 {
            1.0
        } else {
            crop.yields.later_cut_share
        };
        let cut_kg_m2 = (share * first_kg_m2).min(left_kg_m2);
        left_kg_m2 -= cut_kg_m2;
        let until_next = stand.days_for(day, regrowth_k_d, LONGEST_STAND_DAYS);
        let parts = (until_next / WEEK).max(1);
        let next = day + until_next;
        let mut taken = 0;
        let mut due = day;
        while day < next || taken < parts {
            let today = stand.live(day)?;
            if taken < parts && day >= due && today.thaws {
                stand.pick(growth, day, cut_kg_m2 / parts as f64);
                taken += 1;
                due += WEEK;
                if taken == parts && (cut + 1 == cuts || left_kg_m2 <= 0.0) {
                    return Ok(());
                }
            }
            // Leaves frozen for months are given up.
            if day > next + LONGEST_STAND_DAYS {
                return Ok(());
            }
            day += 1;
        }
    }
    Ok(())
}
