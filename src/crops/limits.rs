//! What ends a life in the bed: killing cold, scalding heat, chilling.

use super::{Cause, Crop, CropDay, Loss, Prepared};

/// Nights of chilling that add up; older ones are taken for healed (assumption, no source).
const CHILL_DAYS: usize = 14;
/// Leaf temperature that scalds and ends any crop, °C (from memory: leaves of most crop plants die at 46 to 52 °C).
const HEAT_KILL_C: f64 = 50.0;

/// Follows a stand's nights from the day it is in the bed.
pub(super) struct LossLimits<'a> {
    crop: &'a Crop,
    prepared: &'a Prepared,
    year: usize,
    from_day: usize,
    chill_kh: f64,
}

impl<'a> LossLimits<'a> {
    pub(super) fn new(
        crop: &'a Crop,
        prepared: &'a Prepared,
        year: usize,
        from_day: usize,
    ) -> Self {
        Self {
            crop,
            prepared,
            year,
            from_day,
            chill_kh: 0.0,
        }
    }

    /// The day's figures if the stand lives through it; days are asked in order.
    pub(super) fn night(&mut self, day: usize) -> Result<&'a CropDay, Loss> {
        let today = self.prepared.day(self.year, day);
        if today.leaf_min_c < today.kill_c {
            return Err(Loss::below(
                day,
                Cause::NightCold,
                today.leaf_min_c,
                today.kill_c,
                "°C",
            ));
        }
        if today.leaf_max_c > HEAT_KILL_C {
            return Err(Loss::above(
                day,
                Cause::TooHot,
                today.leaf_max_c,
                HEAT_KILL_C,
                "°C",
            ));
        }
        self.chill(day, today)?;
        Ok(today)
    }

    fn chill(&mut self, day: usize, today: &CropDay) -> Result<(), Loss> {
        let (Some(chill_c), Some(dose_kh)) = (self.crop.cold.chill_c, self.crop.cold.chill_dose_kh)
        else {
            return Ok(());
        };
        self.chill_kh += today.chill_kh;
        if day >= self.from_day + CHILL_DAYS {
            self.chill_kh -= self.prepared.day(self.year, day - CHILL_DAYS).chill_kh;
        }
        if self.chill_kh <= dose_kh {
            return Ok(());
        }
        let nights = CHILL_DAYS.min(day - self.from_day + 1);
        let found = self
            .prepared
            .mean_to(self.year, day, nights, |day| day.air_min_c);
        Err(Loss::below(day, Cause::Chilled, found, chill_c, "°C"))
    }
}
