//! Plants that are taken whole: ready, good for a while, then past use.

use super::class::Class;
use super::outcome::{EventKind, Growth};
use super::plant::Plant;
use super::stages::{Organ, Step};
use super::stand::Stand;
use crate::calendar::DAYS_PER_WEEK;
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

/// A stand that grows until it is ready, and is picked while it is good.
pub struct Whole {
    low: f64,
    mature_k_d: f32,
    day: usize,
    /// How it is picked, once it is ready.
    taking: Option<Taking>,
}

impl Whole {
    /// Not ready yet.
    pub fn new(stand: &Stand) -> Self {
        Self {
            low: stand.crop.yields.kg_m2.low,
            mature_k_d: mature_k_d(stand),
            day: stand.from_day,
            taking: None,
        }
    }

    /// Lives through a day; false once it is picked.
    ///
    /// # Errors
    /// What ended it.
    #[inline]
    pub fn day(
        &mut self,
        stand: &mut Stand,
        growth: &mut Growth,
        watch: &mut impl FnMut(usize, &Plant),
    ) -> Result<bool, Loss> {
        if let Some(taking) = &mut self.taking {
            if taking.day(stand, watch) {
                return Ok(true);
            }
            return taking.pick(stand, growth).map(|()| false);
        }
        let (day, low) = (self.day, self.low);
        let today = match stand.step_day(day, watch) {
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
            Step::Seeds => growth.note(day, EventKind::SomeSeed),
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
                kg_m2 >= low || (stand.age_k_d >= self.mature_k_d && kg_m2 >= LEAST_SIZE * low)
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
            self.taking = Some(Taking::new(stand, day + 1));
            return Ok(true);
        }
        self.day = day + 1;
        if stand.waited_out(day + 1) {
            let loss = not_ready(stand, day + 1);
            return Err(small(stand, growth, loss));
        }
        Ok(true)
    }
}

/// Age at which the haulm of tubers dies down and they are lifted as they are: the warmth of the longest published days (common
/// practice, no source).
fn mature_k_d(stand: &Stand) -> f32 {
    if stand.crop.growth.class != Class::Tuber {
        return f32::INFINITY;
    }
    (stand.prepared.of_way(stand.way).days[2] * stand.prepared.best_k) as f32
}

/// One small picking of a crop that did not get there, if it is worth lifting; otherwise its loss.
pub fn small(stand: &mut Stand, growth: &mut Growth, loss: Loss) -> Loss {
    let low = stand.crop.yields.kg_m2.low;
    let today = stand.prepared.day(stand.year, loss.day);
    // A bulb or head that stopped on its way is as big as its leaves have made it.
    let kg_m2 = f64::from(stand.whole_kg_m2(today)).min(low);
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
    if let (Some(bulbing), Organ::Bulb { met, full, .. }) = (crop.bulbing, stand.organ)
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
        let limit = prepared.mean_to(year, day, days, |day| crop.cold.kill_at(day.hardening));
        return stand.frozen(day, limit);
    }
    lacking(crop, prepared, year, stand.from_day, day)
}

/// A ready stand that is picked: at once where it keeps, else a share each week while it is good.
struct Taking {
    from_k_d: f32,
    mature_k_d: f32,
    below: bool,
    bulb: bool,
    at_once: bool,
    /// Largest mass that is good, kg/m2.
    most: f64,
    /// What could be picked on each day that is due; the stand goes on growing meanwhile.
    offers: Vec<(usize, f64)>,
    killed: Option<Loss>,
    due: usize,
    day: usize,
    until: usize,
}

impl Taking {
    fn new(stand: &Stand, ready: usize) -> Self {
        let crop = stand.crop;
        let bulb = matches!(stand.organ, Organ::Bulb { .. });
        let keeps = crop
            .storage
            .is_some_and(|storage| storage.days.low >= KEEPS_DAYS);
        let high = crop.yields.kg_m2.high;
        Self {
            from_k_d: stand.age_k_d,
            mature_k_d: mature_k_d(stand),
            below: crop.growth.class.is_below_ground(),
            bulb,
            at_once: keeps && crop.timing.harvest_weeks.high <= 1.0,
            most: if bulb { high } else { OVERGROWN * high },
            offers: Vec::new(),
            killed: None,
            due: ready,
            day: ready,
            until: ready + LONGEST_STAND_DAYS,
        }
    }

    /// Lives through a day; false once there is no more to wait for.
    #[inline]
    fn day(&mut self, stand: &mut Stand, watch: &mut impl FnMut(usize, &Plant)) -> bool {
        let (crop, day) = (stand.crop, self.day);
        self.day += 1;
        let today = match stand.step_day(day, watch) {
            Ok(today) => today,
            Err(loss) => {
                self.killed = Some(loss).filter(|loss| loss.cause != Cause::Bolts && !self.below);
                if self.offers.is_empty() && self.killed.is_none() {
                    self.offers
                        .push((day, self.most.min(crop.yields.kg_m2.low)));
                }
                return false;
            }
        };
        let kg_m2 = f64::from(stand.whole_kg_m2(today));
        if day >= self.due && (today.thaws || self.below) {
            self.offers.push((day, kg_m2.min(self.most)));
            self.due = day + DAYS_PER_WEEK;
        }
        let past = stand.age_k_d > self.from_k_d + crop.growth.window_k_d as f32
            || kg_m2 > OVERGROWN * crop.yields.kg_m2.high;
        // Tubers are left to fill; a bulb whose tops are down is lifted.
        let mature = stand.age_k_d >= self.mature_k_d;
        let full = self.at_once && (kg_m2 >= crop.yields.kg_m2.middle() || self.bulb || mature);
        if (past || full) && !self.offers.is_empty() {
            if self.at_once {
                self.offers = vec![(day, kg_m2.min(self.most))];
            }
            return false;
        }
        self.day < self.until
    }

    /// Picks what was offered, week by week.
    fn pick(&mut self, stand: &mut Stand, growth: &mut Growth) -> Result<(), Loss> {
        let mut offers = std::mem::take(&mut self.offers);
        if self.at_once {
            let last = offers.len().saturating_sub(1);
            offers.drain(..last);
        }
        let planned = match self.killed {
            None => offers.len(),
            // The grower could not know: what was left for later weeks is lost.
            Some(_) => {
                let window_k_d = stand.crop.growth.window_k_d as f32;
                let done = ((stand.age_k_d - self.from_k_d) / window_k_d).clamp(0.05, 1.0);
                let weeks = (offers.len() as f32 / done).round() as usize;
                weeks.clamp(
                    offers.len() + 1,
                    offers.len() + LONGEST_STAND_DAYS / DAYS_PER_WEEK,
                )
            }
        };
        let share = 1.0 / planned.max(1) as f64;
        for (day, kg_m2) in offers {
            stand.pick(growth, day, share * kg_m2);
        }
        self.killed.map_or(Ok(()), Err)
    }
}
