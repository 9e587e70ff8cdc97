//! Continuous fruiting: set, ripening, weekly picking, pauses.

use super::grow::{EventKind, Growth};
use super::picking::{WEEK, longest_wait, not_ready};
use super::stand::Stand;
use super::{Cause, Crop, Loss};

/// Days over which a fruiting crop must bear something to be worth its bed (common practice, no source: six weeks).
const LONGEST_PAUSE_DAYS: usize = 42;
/// Longest pause of a crop that lives through winters, days.
const LONGEST_PERENNIAL_PAUSE_DAYS: usize = 240;
/// How long a fruiting crop is followed from its bed day on: one year, or two where it lives through winters.
const FRUIT_DAYS: usize = 365;
/// Fruit below this share of a full week's is left to gather, and a crop that bears less for weeks is cleared (own choice,
/// no source).
const LEAST_WEEK_SHARE: f64 = 0.1;

/// Flowers and fruit on the plants.
#[derive(Default)]
struct Hanging {
    /// Growth sum at the end of each day, K d, and the share of flowers that set on it.
    days: Vec<(f64, f64)>,
    /// The day whose fruit ripens.
    ripening: usize,
    /// What set before this day was lost to frost.
    from: usize,
}

impl Hanging {
    fn flower(&mut self, sum_k_d: f64, set: f64) {
        self.days.push((sum_k_d, set));
    }

    fn freeze(&mut self) {
        self.from = self.days.len();
    }

    /// Share that set on the day when the growth sum stood at `sum_k_d`; sums are asked in rising order.
    fn ripe(&mut self, sum_k_d: f64) -> f64 {
        while self
            .days
            .get(self.ripening)
            .is_some_and(|(sum, _)| *sum < sum_k_d)
        {
            self.ripening += 1;
        }
        let hangs = self.ripening >= self.from;
        self.days
            .get(self.ripening)
            .filter(|_| hangs)
            .map_or(0.0, |(_, set)| *set)
    }
}

/// Fruit: each day's growth ripens what set one ripening earlier; picked once a week.
pub(super) fn pick(stand: &mut Stand, growth: &mut Growth) -> Result<(), Loss> {
    let crop = stand.crop;
    let best_k = crop.best_k();
    let ripening_k_d = crop.timing.set_to_ripe_days.unwrap_or(0.0) * best_k;
    let week_kg_m2 = crop.yields.kg_m2.middle();
    let kg_per_k_d = week_kg_m2 / (WEEK as f64 * best_k);
    let bearing_k_d = crop.timing.harvest_weeks.high * WEEK as f64 * best_k;
    let flush_days = crop.timing.harvest_weeks.high.round() as usize * WEEK;
    let first_wait = longest_wait(stand);
    let seasons = if crop.perennial { 2 } else { 1 };
    let mut left_kg_m2 = crop.yields.season_max_kg_m2;
    let mut hanging = Hanging::default();
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
        hanging.flower(stand.sum_k_d, today.set);
        if today.frosted {
            // The frost took the fruit that hung; what sets after it is sound.
            hanging.freeze();
            stand.cut_back();
            basket_kg_m2 = 0.0;
        }
        if stand.sum_k_d >= stand.ready_k_d {
            let set = hanging.ripe(stand.sum_k_d - ripening_k_d);
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
            stand.pick(growth, day, kg_m2);
            left_kg_m2 -= kg_m2;
            basket_kg_m2 = 0.0;
            last_pick = Some(day);
            next_pick = day + WEEK;
        }
        let flush_over = crop.sets_once
            && growth
                .ready_day
                .is_some_and(|first| day + 1 >= first + flush_days);
        let borne_out = !crop.perennial
            && (flush_over || left_kg_m2 <= 0.0 || stand.sum_k_d >= stand.ready_k_d + bearing_k_d);
        match last_pick {
            Some(last) if borne_out || is_over(crop, growth, day, last) => return Ok(()),
            None if borne_out || day >= stand.from_day + first_wait => {
                return Err(no_fruit(stand, day, lost_set));
            }
            _ => {}
        }
    }
    Ok(())
}

/// True if a crop that last bore on day `last` is no longer worth its bed on day `day`.
fn is_over(crop: &Crop, growth: &Growth, day: usize, last: usize) -> bool {
    if crop.perennial {
        return day > last + LONGEST_PERENNIAL_PAUSE_DAYS;
    }
    let first = growth.ready_day.unwrap_or(last);
    let since = day.saturating_sub(LONGEST_PAUSE_DAYS);
    let borne_kg_m2: f64 = growth
        .harvests
        .iter()
        .rev()
        .take_while(|harvest| harvest.day >= since)
        .map(|harvest| harvest.kg_m2)
        .sum();
    let weeks = (LONGEST_PAUSE_DAYS / WEEK) as f64;
    let least_kg_m2 = LEAST_WEEK_SHARE * weeks * crop.yields.kg_m2.middle() * growth.stand_share;
    first <= since && borne_kg_m2 < least_kg_m2
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
