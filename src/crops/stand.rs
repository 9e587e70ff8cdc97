//! A stand of plants in its bed, one day after another: what it gains and what kills it.

use super::calls::Calls;
use super::grow::{EventKind, Growth};
use super::limits::LossLimits;
use super::response::month_fitness;
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
    /// Share of the standing leaves or heads that frost has spoilt, 0 to 1.
    frosted: f64,
    /// First night that spoilt some of them, until it is told.
    frost_day: Option<usize>,
    limits: LossLimits<'a>,
    /// What cold and long days have called it to.
    pub(super) calls: Calls<'a>,
    /// What was picked, and what heat left unfit to be picked, kg/m2.
    picked_kg_m2: f64,
    unfit_kg_m2: f64,
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
            frosted: 0.0,
            frost_day: None,
            limits: LossLimits::new(crop, prepared, year, from_day),
            calls: Calls::new(crop, prepared, year, from_day, way),
            picked_kg_m2: 0.0,
            unfit_kg_m2: 0.0,
        }
    }

    /// Lives through a day: its night first, then its growth.
    pub(super) fn live(&mut self, day: usize) -> Result<&'a CropDay, Loss> {
        let today = self.limits.night(day)?;
        self.calls
            .flower(day, today, self.sum_k_d / self.whole_k_d)?;
        let damage = frost_damage(self.crop, today);
        if damage > 0.0 && self.frosted == 0.0 {
            self.frost_day = Some(day);
        }
        self.frosted = self.frosted.max(damage);
        self.thermal_k_d += today.growth_k_d;
        let sum_k_d = self.sum_k_d + today.sum_k_d();
        self.sum_k_d = self.calls.organ(day, today, sum_k_d, self.whole_k_d)?;
        Ok(today)
    }

    /// Picks what frost and heat have left sound of a mass, and tells of the frost.
    pub(super) fn pick(&mut self, growth: &mut Growth, day: usize, kg_m2: f64) {
        if let Some(frost_day) = self.frost_day.take() {
            growth.note(frost_day, EventKind::FrostDamage);
        }
        let fitness = self.fitness(day);
        let sound_kg_m2 = kg_m2 * (1.0 - self.frosted) * self.calls.size;
        self.unfit_kg_m2 += sound_kg_m2 * (1.0 - fitness);
        self.picked_kg_m2 += sound_kg_m2 * fitness;
        if fitness > 0.0 {
            growth.pick(day, sound_kg_m2 * fitness);
        }
    }

    /// Share of what is ripe on a day that the warmth of the month before has left fit for the kitchen.
    fn fitness(&self, day: usize) -> f64 {
        let month_max_c = self.crop.temperature.month_max_c;
        if month_max_c.is_none() {
            return 1.0;
        }
        month_fitness(month_max_c, self.month_c(day))
    }

    /// Mean air of the month before a day, or since the stand is in the bed, °C.
    fn month_c(&self, day: usize) -> f64 {
        let days = (day - self.from_day).clamp(1, RIPENING_DAYS);
        self.prepared.mean_to(self.year, day, days, |day| day.air_c)
    }

    /// The loss of a stand of which heat left more unfit than fit.
    pub(super) fn spoilt_by_heat(&self, growth: &Growth) -> Result<(), Loss> {
        let Some(max_c) = self.crop.temperature.month_max_c else {
            return Ok(());
        };
        if self.unfit_kg_m2 <= self.picked_kg_m2 {
            return Ok(());
        }
        let day = growth.ready_day.unwrap_or(self.from_day);
        let last = growth.last_harvest_day.unwrap_or(day).max(day);
        let found_c = self.month_c(day);
        Err(Loss::above(last, Cause::TooHot, found_c, max_c, "°C"))
    }

    /// What grows after a cut or a loss of fruit has met no frost.
    pub(super) fn cut_back(&mut self) {
        self.frosted = 0.0;
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

/// Days over which what is eaten ripens: the handbook's figures of warmth are those of months.
const RIPENING_DAYS: usize = 30;

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
