//! Plants that are taken whole: ready, good for a while, then past use.

use super::class::Class;
use super::outcome::{EventKind, Growth};
use super::stages::{Organ, Step};
use super::stand::{Stand, Watch};
use super::start::WEEK;
use crate::crops::loss::lacking;
use crate::crops::{Cause, Loss};

/// Longest that a ready crop is left to be picked little by little (common practice, no source: twelve weeks).
const LONGEST_STAND_DAYS: usize = 84;
/// A crop that keeps so many days is lifted at once (common practice, no source).
const KEEPS_DAYS: f64 = 28.0;
/// Below this share of its low yield a crop is not worth lifting; a head or bulb below it was called too young (own choice).
pub const LEAST_SIZE: f64 = 0.35;
/// A head that has grown so many times beyond its high yield bursts or is coarse (own choice).
const OVERGROWN: f64 = 1.3;
/// Leaves lost to frost beyond which that is why nothing came.
const FROZEN_OUT: f32 = 0.5;

/// Grows a stand until it is ready and picks it while it is good.
///
/// # Errors
/// What ended it.
pub fn pick(stand: &mut Stand, growth: &mut Growth, watch: &mut impl Watch) -> Result<(), Loss> {
    let low = stand.crop.yields.kg_m2.low;
    let mature_k_d = mature_k_d(stand);
    let mut day = stand.from_day;
    loop {
        let lived = stand.step_day(day, watch);
        let today = match lived {
            Ok(today) => today,
            // What is in the ground is not lost with its leaves.
            Err(loss) if stand.crop.growth.class.is_below_ground() => {
                return Err(small(stand, growth, loss));
            }
            Err(loss) => return Err(loss),
        };
        match stand.step {
            Step::Begins => {
                let kind = match stand.organ {
                    Organ::Bulb { .. } => EventKind::Bulbs,
                    _ => EventKind::HeadsBegin,
                };
                growth.note(day, kind);
            }
            Step::Never => return Err(not_ready(stand, day)),
            Step::Stopped => {
                let loss = button(stand, day, f64::from(stand.whole_kg_m2(today)));
                return Err(small(stand, growth, loss));
            }
            Step::On => {}
        }
        let kg_m2 = f64::from(stand.whole_kg_m2(today));
        let is_ready = match stand.organ {
            Organ::None => {
                kg_m2 >= low || (stand.age_k_d >= mature_k_d && kg_m2 >= LEAST_SIZE * low)
            }
            organ => organ.full() >= 1.0,
        };
        if is_ready {
            if kg_m2 < LEAST_SIZE * low && stand.organ != Organ::None {
                return Err(stand
                    .frozen_heads(day)
                    .unwrap_or_else(|| button(stand, day, kg_m2)));
            }
            growth.ready(day + 1);
            return take(stand, day + 1, growth, watch);
        }
        day += 1;
        if stand.waited_out(day) {
            let loss = not_ready(stand, day);
            return Err(small(stand, growth, loss));
        }
    }
}

/// Age at which the haulm of tubers dies down and they are lifted as they are: the warmth of the longest published days (common
/// practice, no source).
fn mature_k_d(stand: &Stand) -> f32 {
    if stand.crop.growth.class != Class::Tuber {
        return f32::INFINITY;
    }
    (stand.crop.days_to_harvest(stand.way, 1.0) * stand.prepared.best_k) as f32
}

/// One small picking of a crop that did not get there, if it is worth lifting; otherwise its loss.
pub fn small(stand: &mut Stand, growth: &mut Growth, loss: Loss) -> Loss {
    let low = stand.crop.yields.kg_m2.low;
    let today = stand.prepared.day(stand.year, loss.day);
    // A bulb or head that stopped on its way is as big as its leaves have made it.
    let mass = f64::from(stand.plant.mass_g_m2 * today.fresh_kg_g);
    let organ = match stand.organ {
        Organ::None => 1.0,
        organ => f64::from(organ.full()),
    };
    let kg_m2 = (mass * organ).min(low);
    if kg_m2 < LEAST_SIZE * low || stand.from_day >= loss.day {
        return loss;
    }
    growth.ready(loss.day);
    stand.pick(growth, loss.day, kg_m2);
    Loss::below(loss.day, Cause::Small, kg_m2, low, "kg/m2")
}

fn button(stand: &Stand, day: usize, kg_m2: f64) -> Loss {
    let low = stand.crop.yields.kg_m2.low;
    debug_assert!(stand.organ != Organ::None);
    Loss::below(day, Cause::TooYoung, kg_m2, low, "kg/m2")
}

/// Why nothing came by a day.
pub fn not_ready(stand: &Stand, day: usize) -> Loss {
    let (crop, prepared, year) = (stand.crop, stand.prepared, stand.year);
    if let (Some(bulbing), Organ::Bulb { met, full }) = (crop.bulbing, stand.organ)
        && full <= 0.0
    {
        if f64::from(met) < bulbing.cold_days {
            let (found, needed) = (f64::from(met), bulbing.cold_days);
            return Loss::below(day, Cause::TooLittleCold, found, needed, "days of cold");
        }
        let longest = (stand.from_day..day)
            .map(|day| prepared.bed_day(year, day).day_length_h)
            .fold(0.0, f64::max);
        return Loss::below(day, Cause::DayTooShort, longest, bulbing.day_length_h, "h");
    }
    if stand.leaves_lost > FROZEN_OUT {
        let days = day - stand.from_day;
        let coldest = (stand.from_day..day)
            .map(|day| prepared.bed_day(year, day).coldest_c)
            .fold(f64::INFINITY, f64::min);
        let limit = prepared.mean_to(year, day, days, |day| crop.cold.kill_at(day.hardening));
        return Loss::below(day, Cause::LeavesFrozen, coldest, limit, "°C");
    }
    lacking(crop, prepared, year, stand.from_day, day)
}

/// Picks a ready stand: at once where it keeps, else a share each week while it is good.
fn take(
    stand: &mut Stand,
    ready: usize,
    growth: &mut Growth,
    watch: &mut impl Watch,
) -> Result<(), Loss> {
    let crop = stand.crop;
    let (from_k_d, window_k_d) = (stand.age_k_d, crop.growth.window_k_d as f32);
    let high = crop.yields.kg_m2.high;
    let below = crop.growth.class.is_below_ground();
    let bulb = matches!(stand.organ, Organ::Bulb { .. });
    let mature_k_d = mature_k_d(stand);
    let keeps = crop
        .storage
        .is_some_and(|storage| storage.days.low >= KEEPS_DAYS);
    let at_once = keeps && crop.timing.harvest_weeks.high <= 1.0;
    let most = if bulb { high } else { OVERGROWN * high };
    // What could be picked on each day that is due; the stand goes on growing meanwhile.
    let mut offers: Vec<(usize, f64)> = Vec::new();
    let mut killed = None;
    let mut due = ready;
    for day in ready..ready + LONGEST_STAND_DAYS {
        let today = match stand.step_day(day, watch) {
            Ok(today) => today,
            Err(loss) => {
                killed = Some(loss).filter(|loss| loss.cause != Cause::Bolts && !below);
                if offers.is_empty() && killed.is_none() {
                    offers.push((day, most.min(crop.yields.kg_m2.low)));
                }
                break;
            }
        };
        let kg_m2 = f64::from(stand.whole_kg_m2(today));
        if day >= due && (today.thaws || below) {
            offers.push((day, kg_m2.min(most)));
            due = day + WEEK;
        }
        let past = stand.age_k_d > from_k_d + window_k_d || kg_m2 > OVERGROWN * high;
        // Tubers are left to fill; a bulb whose tops are down is lifted.
        let mature = stand.age_k_d >= mature_k_d;
        let full = at_once && (kg_m2 >= crop.yields.kg_m2.middle() || bulb || mature);
        if (past || full) && !offers.is_empty() {
            if at_once {
                offers = vec![(day, kg_m2.min(most))];
            }
            break;
        }
    }
    if at_once {
        let last = offers.len().saturating_sub(1);
        offers.drain(..last);
    }
    let planned = match killed {
        None => offers.len(),
        // The grower could not know: what was left for later weeks is lost.
        Some(_) => {
            let done = ((stand.age_k_d - from_k_d) / window_k_d).clamp(0.05, 1.0);
            let weeks = (offers.len() as f32 / done).round() as usize;
            weeks.clamp(offers.len() + 1, offers.len() + LONGEST_STAND_DAYS / WEEK)
        }
    };
    let share = 1.0 / planned.max(1) as f64;
    for (day, kg_m2) in offers {
        stand.pick(growth, day, share * kg_m2);
    }
    killed.map_or(Ok(()), Err)
}
