//! From a growing stand to the kitchen: first picking, picking from the standing crop, cuts, weeks of fruit.

use super::grow::{EventKind, Growth};
use super::loss::lacking;
use super::stand::Stand;
use super::{Cause, Habit, Loss};

/// Days in a week of picking.
const WEEK: usize = 7;
/// Longest that a ready crop is left to be picked little by little (common practice, no source: twelve weeks).
const LONGEST_STAND_DAYS: usize = 84;
/// Longest wait for the first picking: this many days ...
const WAIT_DAYS: f64 = 150.0;
/// ... and this many times the published days (own choice: from a late sowing over the dark weeks into spring).
const WAIT_TIMES: f64 = 1.5;
/// A keeping crop is lifted at once if it keeps for so many days (common practice, no source).
const KEEPS_DAYS: f64 = 28.0;
/// Longest pause after which a fruiting crop is still worth its bed, days (common practice, no source).
const LONGEST_PAUSE_DAYS: usize = 56;
/// The same for a crop that lives through winters.
const LONGEST_PERENNIAL_PAUSE_DAYS: usize = 240;
/// How long a fruiting crop is followed from its bed day on: one year, or two where it lives through winters.
const FRUIT_DAYS: usize = 365;
/// Fruit below this share of a full week's is left to gather (own choice, no source).
const LEAST_WEEK_SHARE: f64 = 0.1;

/// Grows the stand until it is picked out, lost or given up.
pub(super) fn run(mut stand: Stand, growth: &mut Growth) -> Result<(), Loss> {
    match stand.crop.habit {
        Habit::Single => {
            let ready = until_ready(&mut stand, growth)?;
            pick_whole(stand, ready, growth)
        }
        Habit::Cut => {
            let ready = until_ready(&mut stand, growth)?;
            pick_cuts(stand, ready, growth)
        }
        Habit::Fruit => pick_fruit(stand, growth),
    }
}

fn longest_wait(stand: &Stand) -> usize {
    let days = stand.high_k_d / stand.crop.best_k();
    (WAIT_DAYS + WAIT_TIMES * days).round() as usize
}

/// Lives until the growth sum is reached; returns the first day of picking.
fn until_ready(stand: &mut Stand, growth: &mut Growth) -> Result<usize, Loss> {
    let last = stand.from_day + longest_wait(stand);
    for day in stand.from_day..last {
        let bulbs_before = stand.bulbs;
        stand.live(day)?;
        if stand.bulbs && !bulbs_before {
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

fn not_ready(stand: &Stand, last: usize) -> Loss {
    if let (Some(bulbing), false) = (stand.crop.bulbing, stand.bulbs) {
        if stand.cold_days < bulbing.cold_days {
            let unit = "days of cold";
            return Loss::below(
                last,
                Cause::TooLittleCold,
                stand.cold_days,
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
fn pick_whole(mut stand: Stand, ready: usize, growth: &mut Growth) -> Result<(), Loss> {
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
            growth.pick(day, whole_kg_m2 / pickings as f64);
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
fn pick_cuts(mut stand: Stand, ready: usize, growth: &mut Growth) -> Result<(), Loss> {
    let crop = stand.crop;
    let regrowth_k_d = crop.timing.regrowth_days.unwrap_or(1.0) * crop.best_k();
    let cuts = crop.timing.cuts.high.round() as usize;
    let first_kg_m2 = crop.yields.kg_m2.at(stand.quality());
    let mut left_kg_m2 = crop.yields.season_max_kg_m2;
    let mut day = ready;
    for cut in 0..cuts {
        if cut > 0 {
            growth.note(day, EventKind::CutAgain);
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
                growth.pick(day, cut_kg_m2 / parts as f64);
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

/// Fruit: each day's growth ripens what set one ripening earlier; picked once a week.
fn pick_fruit(mut stand: Stand, growth: &mut Growth) -> Result<(), Loss> {
    let crop = stand.crop;
    let best_k = crop.best_k();
    let ripening_k_d = crop.timing.set_to_ripe_days.unwrap_or(0.0) * best_k;
    let week_kg_m2 = crop.yields.kg_m2.middle();
    let kg_per_k_d = week_kg_m2 / (WEEK as f64 * best_k);
    let bearing_k_d = crop.timing.harvest_weeks.high * WEEK as f64 * best_k;
    let longest_pause = if crop.perennial {
        LONGEST_PERENNIAL_PAUSE_DAYS
    } else {
        LONGEST_PAUSE_DAYS
    };
    let first_wait = longest_wait(&stand);
    let seasons = if crop.perennial { 2 } else { 1 };
    let mut left_kg_m2 = crop.yields.season_max_kg_m2;
    // Sum at the end of each day, and the set of that day: fruit ripe today set when the sum was one ripening less.
    let mut sums: Vec<(f64, f64)> = Vec::with_capacity(FRUIT_DAYS);
    let mut set_day = 0;
    // Frost takes all that hangs: what set before this day never ripens.
    let mut hangs_from = 0;
    let mut basket_kg_m2 = 0.0;
    let mut lost_set = 0.0;
    let mut next_pick = stand.from_day;
    let mut last_pick: Option<usize> = None;
    let last = stand.from_day + (FRUIT_DAYS * seasons).max(first_wait);
    for day in stand.from_day..last {
        if (day - stand.from_day).is_multiple_of(FRUIT_DAYS) {
            left_kg_m2 = crop.yields.season_max_kg_m2;
        }
        let before = stand.sum_k_d;
        let today = stand.live(day)?;
        let gain = stand.sum_k_d - before;
        sums.push((stand.sum_k_d, today.set));
        if today.frosted {
            hangs_from = sums.len();
            basket_kg_m2 = 0.0;
        }
        if stand.sum_k_d >= stand.ready_k_d {
            while sums
                .get(set_day)
                .is_some_and(|(sum, _)| *sum < stand.sum_k_d - ripening_k_d)
            {
                set_day += 1;
            }
            let hangs = set_day >= hangs_from;
            let set = sums
                .get(set_day)
                .filter(|_| hangs)
                .map_or(0.0, |(_, set)| *set);
            basket_kg_m2 += gain * kg_per_k_d * set;
            lost_set += gain * (1.0 - set);
        }
        if day >= next_pick && today.thaws && basket_kg_m2 >= LEAST_WEEK_SHARE * week_kg_m2 {
            let kg_m2 = basket_kg_m2.min(left_kg_m2);
            if last_pick.is_none() {
                growth.ready_day = Some(day);
                growth.note(day, EventKind::Ready);
            } else if last_pick.is_some_and(|last| day > last + 2 * WEEK) {
                growth.note(last_pick.unwrap_or(day), EventKind::Pause);
                growth.note(day, EventKind::Resumes);
            }
            growth.pick(day, kg_m2);
            left_kg_m2 -= kg_m2;
            basket_kg_m2 = 0.0;
            last_pick = Some(day);
            next_pick = day + WEEK;
        }
        let borne_out = !crop.perennial
            && (left_kg_m2 <= 0.0 || stand.sum_k_d >= stand.ready_k_d + bearing_k_d);
        match last_pick {
            Some(last) if borne_out || day > last + longest_pause => return Ok(()),
            None if borne_out || day >= stand.from_day + first_wait => {
                return Err(no_fruit(&stand, day, lost_set));
            }
            _ => {}
        }
    }
    Ok(())
}

/// Why no fruit came: flowers that did not set, or a crop that never got there.
fn no_fruit(stand: &Stand, day: usize, lost_set_k_d: f64) -> Loss {
    let days = (day - stand.from_day).max(1);
    let set = stand.crop.fruit_set.filter(|_| lost_set_k_d > 0.0);
    let Some(set) = set else {
        return not_ready(stand, day);
    };
    let night = stand
        .prepared
        .mean_to(stand.year, day, days, |day| day.air_min_c);
    let noon = stand
        .prepared
        .mean_to(stand.year, day, days, |day| day.air_max_c);
    match (set.night_min_c, set.day_max_c) {
        (Some(needed), _) if night < needed => {
            Loss::below(day, Cause::SetNightCold, night, needed, "°C")
        }
        (_, Some(most)) if noon > most => Loss::above(day, Cause::SetTooHot, noon, most, "°C"),
        _ => not_ready(stand, day),
    }
}
