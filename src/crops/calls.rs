//! What cold and long days call a plant to: to run to seed, to fill a bulb, to begin a head.

use super::grow::TRAY_C;
use super::response::{flowering_degrees, long_day, mass_share};
use super::{Bolting, Bulbing, Cause, Crop, CropDay, Heading, Loss, Prepared, Way};

/// Share of the way from sowing to harvest before which a bulb crop does not hear the call of long days (from memory:
/// onions of fewer than some four leaves).
const YOUNGEST_BULB_SHARE: f64 = 0.15;
/// Days at best temperature under a full call until bulbs begin to fill (from memory, Brewster: swelling shows two to four
/// weeks after the days are long enough; the middle).
const BULB_CALL_DAYS: f64 = 21.0;
/// A bulb below this share of its full size is not what was sown for (own choice, no source).
const LEAST_SIZE: f64 = 0.35;

/// How far a stand has been called.
pub(super) struct Calls<'a> {
    crop: &'a Crop,
    /// Share of the way from sowing to harvest gone at setting out.
    tray_share: f64,
    /// Cold that calls to flower or to bulb, days.
    pub(super) cold_days: f64,
    /// Share of the way from the call to flower to a crop past use.
    flowered: f64,
    /// Days towards a bulb or a head.
    called_days: f64,
    /// Days of cold that may force a young head.
    button_days: f64,
    /// True once bulbs fill.
    pub(super) bulbs: bool,
    /// Size of bulbs against full ones, by the leaves that they began with.
    pub(super) size: f64,
}

impl<'a> Calls<'a> {
    pub(super) fn new(
        crop: &'a Crop,
        prepared: &Prepared,
        year: usize,
        from_day: usize,
        way: Way,
    ) -> Self {
        let tray = (way == Way::Tray).then(|| Tray::new(crop, prepared, year, from_day));
        Self {
            crop,
            tray_share: crop.tray_share(way),
            cold_days: 0.0,
            flowered: tray.as_ref().map_or(0.0, Tray::flowered),
            called_days: tray.as_ref().map_or(0.0, Tray::called_to_bulb),
            button_days: 0.0,
            bulbs: false,
            size: 1.0,
        }
    }

    /// A day of cold and day length for a plant that has gone `share` of its way to harvest in the bed.
    pub(super) fn flower(&mut self, day: usize, today: &CropDay, share: f64) -> Result<(), Loss> {
        let Some(bolting) = self.crop.bolting else {
            return Ok(());
        };
        if share >= bolting.juvenile_share {
            self.cold_days += today.vernalization;
        }
        if let Some((critical_h, days)) = to_seed(&bolting, self.cold_days) {
            self.flowered += long_day(critical_h, today.day_length_h) * today.flowering / days;
        }
        if self.flowered < 1.0 {
            return Ok(());
        }
        let (found, needed) = (today.day_length_h, bolting.day_length_h);
        Err(Loss::above(day, Cause::Bolts, found, needed, "h"))
    }

    /// Growth sum after the call of the day to a bulb or a head, K d.
    pub(super) fn organ(
        &mut self,
        day: usize,
        today: &CropDay,
        sum_k_d: f64,
        whole_k_d: f64,
    ) -> Result<f64, Loss> {
        match (self.crop.bulbing, self.crop.heading) {
            (Some(bulbing), _) => self.bulb(&bulbing, day, today, sum_k_d, whole_k_d),
            (_, Some(heading)) => self.head(&heading, day, today, sum_k_d, whole_k_d),
            _ => Ok(sum_k_d),
        }
    }

    /// Leaves grow to their share and wait; cold and long days begin the bulb, which is as big as the leaves then are and
    /// takes as long to fill whether they are many or few.
    fn bulb(
        &mut self,
        bulbing: &Bulbing,
        day: usize,
        today: &CropDay,
        sum_k_d: f64,
        whole_k_d: f64,
    ) -> Result<f64, Loss> {
        if self.crop.bolting.is_none() {
            self.cold_days += today.vernalization;
        }
        if self.bulbs {
            return Ok(sum_k_d);
        }
        let in_bed = 1.0 - self.tray_share;
        let leaf_k_d = ((bulbing.leaf_share - self.tray_share) / in_bed).max(0.0) * whole_k_d;
        let sum_k_d = sum_k_d.min(leaf_k_d);
        let age_share = self.tray_share + in_bed * sum_k_d / whole_k_d;
        if self.cold_days >= bulbing.cold_days && age_share >= YOUNGEST_BULB_SHARE {
            let warmth = today.growth_k_d / self.crop.best_k();
            self.called_days += long_day(bulbing.day_length_h, today.day_length_h) * warmth;
        }
        if self.called_days < BULB_CALL_DAYS {
            return Ok(sum_k_d);
        }
        self.bulbs = true;
        // Bulbs that begin in the tray stay as small as sets.
        let age_share = if sum_k_d <= today.sum_k_d() {
            YOUNGEST_BULB_SHARE
        } else {
            age_share
        };
        self.size = (mass_share(age_share) / mass_share(bulbing.leaf_share)).min(1.0);
        if self.size < LEAST_SIZE {
            let (found, needed) = (PERCENT * self.size, PERCENT * LEAST_SIZE);
            return Err(Loss::below(
                day,
                Cause::TooYoung,
                found,
                needed,
                "% of full size",
            ));
        }
        Ok(leaf_k_d)
    }

    /// Heads begin after days that are cool enough; until then a leafy plant waits, and a young one that meets too much
    /// cold makes a button.
    fn head(
        &mut self,
        heading: &Heading,
        day: usize,
        today: &CropDay,
        sum_k_d: f64,
        whole_k_d: f64,
    ) -> Result<f64, Loss> {
        let leaf_k_d = heading.leaf_share * whole_k_d;
        self.called_days += today.vernalization;
        if sum_k_d < leaf_k_d && today.air_c <= heading.button_c {
            self.button_days += 1.0;
            if self.button_days >= heading.button_days {
                let (found, needed) = (today.air_c, heading.button_c);
                return Err(Loss::below(day, Cause::TooYoung, found, needed, "°C"));
            }
        }
        if self.called_days < heading.days {
            return Ok(sum_k_d.min(leaf_k_d));
        }
        Ok(sum_k_d)
    }
}

const PERCENT: f64 = 100.0;

/// Critical day length, h, and days from the call to a crop past use for a plant that has met so much cold; none if it is
/// not called at all.
fn to_seed(bolting: &Bolting, cold_days: f64) -> Option<(f64, f64)> {
    if cold_days >= bolting.cold_days {
        Some((bolting.day_length_after_cold_h, bolting.days))
    } else {
        let days = bolting.days_without_cold?;
        Some((bolting.day_length_h, days))
    }
}

/// Young plants in their tray, which stands in daylight at a room's warmth.
///
/// Source: spinach raised under long days bolts soon after setting out, raised under short days it does not (Chun et al.
/// 2000, Kim et al. 2001, read).
struct Tray<'a> {
    crop: &'a Crop,
    prepared: &'a Prepared,
    year: usize,
    from_day: usize,
}

impl<'a> Tray<'a> {
    fn new(crop: &'a Crop, prepared: &'a Prepared, year: usize, from_day: usize) -> Self {
        Self {
            crop,
            prepared,
            year,
            from_day,
        }
    }

    /// Days of full call at best temperature over the last `days` in the tray.
    fn called(&self, days: usize, critical_h: f64) -> f64 {
        let warmth = flowering_degrees(&self.crop.temperature, TRAY_C) / self.crop.best_k();
        let hours = |day| self.prepared.day(self.year, day).day_length_h;
        let first = self.from_day.saturating_sub(days);
        let call: f64 = (first..self.from_day)
            .map(|day| long_day(critical_h, hours(day)))
            .sum();
        call * warmth
    }

    fn flowered(&self) -> f64 {
        let called = |bolting: Bolting| {
            let (critical_h, days) = to_seed(&bolting, 0.0)?;
            let up = self.crop.days_up(TRAY_C);
            let in_tray = self.crop.tray_days().saturating_sub(up);
            Some(self.called(in_tray, critical_h) / days)
        };
        self.crop.bolting.and_then(called).unwrap_or(0.0)
    }

    /// Bulb crops that need no cold hear the call once they are old enough.
    fn called_to_bulb(&self) -> f64 {
        let Some(bulbing) = self.crop.bulbing.filter(|bulbing| bulbing.cold_days <= 0.0) else {
            return 0.0;
        };
        let tray_share = self.crop.tray_share(Way::Tray).max(f64::MIN_POSITIVE);
        let old_share = (1.0 - YOUNGEST_BULB_SHARE / tray_share).max(0.0);
        let days = (old_share * self.crop.tray_days() as f64) as usize;
        self.called(days, bulbing.day_length_h)
    }
}
