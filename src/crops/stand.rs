//! A stand of plants in its bed, one day after another: what it gains and what kills it.

use super::grow::{EventKind, Growth};
use super::limits::LossLimits;
use super::{Cause, Crop, CropDay, Loss, Prepared, Way};

/// Plants in a bed.
pub(super) struct Stand<'a> {
    pub(super) crop: &'a Crop,
    pub(super) prepared: &'a Prepared,
    pub(super) year: usize,
    pub(super) from_day: usize,
    /// Growth sum of first picking; of the whole crop; and at the low and high end of its published range, K d.
    pub(super) ready_k_d: f64,
    pub(super) whole_k_d: f64,
    pub(super) low_k_d: f64,
    pub(super) high_k_d: f64,
    /// Growth sum so far, K d.
    pub(super) sum_k_d: f64,
    /// Growing degrees that light and root zone would have allowed in full, K d.
    thermal_k_d: f64,
    /// Cold that calls to flower or to bulb, days.
    pub(super) cold_days: f64,
    flowering_days: f64,
    /// Share of the standing leaves or heads that frost has spoilt, 0 to 1.
    frosted: f64,
    /// First night that spoilt some of them, until it is told.
    frost_day: Option<usize>,
    limits: LossLimits<'a>,
    pub(super) bulbs: bool,
}

impl<'a> Stand<'a> {
    pub(super) fn new(
        crop: &'a Crop,
        prepared: &'a Prepared,
        year: usize,
        from_day: usize,
        way: Way,
    ) -> Self {
        let sum = |share: f64| match way {
            Way::Direct => crop.sum_from_emergence_k_d(share),
            Way::Tray => crop.sum_from_setting_out_k_d(share),
        };
        Self {
            crop,
            prepared,
            year,
            from_day,
            ready_k_d: crop.timing.first_cut_share * sum(0.5),
            whole_k_d: sum(0.5),
            low_k_d: sum(0.0),
            high_k_d: sum(1.0),
            sum_k_d: 0.0,
            thermal_k_d: 0.0,
            cold_days: 0.0,
            flowering_days: 0.0,
            frosted: 0.0,
            frost_day: None,
            limits: LossLimits::new(crop, prepared, year, from_day),
            bulbs: false,
        }
    }

    /// Lives through a day: its night first, then its growth.
    pub(super) fn live(&mut self, day: usize) -> Result<&'a CropDay, Loss> {
        let today = self.limits.night(day)?;
        self.flower(day, today)?;
        let damage = frost_damage(self.crop, today);
        if damage > 0.0 && self.frosted == 0.0 {
            self.frost_day = Some(day);
        }
        self.frosted = self.frosted.max(damage);
        self.thermal_k_d += today.growth_k_d;
        self.sum_k_d += today.sum_k_d();
        self.fill_bulb(today);
        Ok(today)
    }

    /// Picks what frost has left sound of a mass, and tells of the frost.
    pub(super) fn pick(&mut self, growth: &mut Growth, day: usize, kg_m2: f64) {
        if let Some(frost_day) = self.frost_day.take() {
            growth.note(frost_day, EventKind::FrostDamage);
        }
        growth.pick(day, kg_m2 * (1.0 - self.frosted));
    }

    /// Leaves that grow after a cut have met no frost.
    pub(super) fn cut_back(&mut self) {
        self.frosted = 0.0;
    }

    fn flower(&mut self, day: usize, today: &CropDay) -> Result<(), Loss> {
        let Some(bolting) = self.crop.bolting else {
            return Ok(());
        };
        if self.sum_k_d >= bolting.juvenile_share * self.whole_k_d {
            self.cold_days += today.vernalization;
        }
        if self.cold_days >= bolting.cold_days {
            self.flowering_days += today.flowering;
        }
        if self.flowering_days < bolting.days {
            return Ok(());
        }
        Err(Loss::above(
            day,
            Cause::Bolts,
            today.day_length_h,
            bolting.day_length_h,
            "h",
        ))
    }

    /// Leaves of a bulb crop grow to their share and wait; bulbs fill once cold and day length have called them.
    fn fill_bulb(&mut self, today: &CropDay) {
        let Some(bulbing) = self.crop.bulbing else {
            return;
        };
        if self.crop.bolting.is_none() {
            self.cold_days += today.vernalization;
        }
        if !self.bulbs {
            let leaf_k_d = bulbing.leaf_share * self.whole_k_d;
            let leafy = self.sum_k_d >= leaf_k_d;
            self.sum_k_d = self.sum_k_d.min(leaf_k_d);
            self.bulbs = leafy
                && self.cold_days >= bulbing.cold_days
                && today.day_length_h >= bulbing.day_length_h;
        }
    }

    /// Share of full growth that light and root zone allowed so far.
    pub(super) fn quality(&self) -> f64 {
        if self.thermal_k_d > 0.0 {
            (self.sum_k_d / self.thermal_k_d).min(1.0)
        } else {
            0.0
        }
    }

    /// Days from `day` until a further sum is reached, or `most` if it is not reached before.
    pub(super) fn days_for(&self, day: usize, sum_k_d: f64, most: usize) -> usize {
        let mut sum = 0.0;
        for ahead in 0..most {
            sum += self.prepared.day(self.year, day + ahead).sum_k_d();
            if sum >= sum_k_d {
                return ahead + 1;
            }
        }
        most
    }
}

/// Share of the eaten part that a night's frost spoils, 0 to 1: none down to the temperature at which damage begins, all
/// at the one that kills, straight between (assumption; the published bands of damage begin above the killing
/// temperatures of growers' lists). What grows in the ground is not touched.
fn frost_damage(crop: &Crop, today: &CropDay) -> f64 {
    match crop.cold.damage_from_c {
        Some(from_c) if today.frosted && !crop.is_below_ground() => {
            let span_k = (from_c - today.kill_c).max(f64::MIN_POSITIVE);
            ((from_c - today.leaf_min_c) / span_k).clamp(0.0, 1.0)
        }
        _ => 0.0,
    }
}
