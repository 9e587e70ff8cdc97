//! Light from lamps.

use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY, HOURS_PER_YEAR};

/// Lamps over the beds, on at set hours between two days of the year.
///
/// Mains power over wet beds: fittings made for damp rooms, a residual current device, work by an electrician.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lamp {
    /// Photon flux density at the bed, umol/(m2 s).
    pub ppfd_umol_m2_s: f64,
    /// Lit bed area, m2.
    pub area_m2: f64,
    /// Photons at the bed per electric energy, umol/J; fittings measured 0.8 to 1.7, newer ones above 2.5.
    ///
    /// Source of the lower figures: Nelson & Bugbee (2014), PLoS ONE 9:e99010.
    pub efficacy_umol_j: f64,
    /// First hour of the clock, 0 to 24.
    pub on_h: f64,
    /// Last hour of the clock, 0 to 24; below `on_h` the lamps burn over midnight.
    pub off_h: f64,
    /// First day of the season, 0 to 364.
    pub first_day: usize,
    /// Last day of the season, 0 to 364; before `first_day` the season runs over the year's end.
    pub last_day: usize,
}

impl Lamp {
    /// Share of an hour of the year in which the lamps burn, 0 to 1.
    pub fn on_share(&self, hour: usize) -> f64 {
        let day = (hour / HOURS_PER_DAY) % DAYS_PER_YEAR;
        let in_season = if self.first_day <= self.last_day {
            (self.first_day..=self.last_day).contains(&day)
        } else {
            day >= self.first_day || day <= self.last_day
        };
        if !in_season {
            return 0.0;
        }
        let start = (hour % HOURS_PER_DAY) as f64;
        let overlap = |from: f64, to: f64| (to.min(start + 1.0) - from.max(start)).clamp(0.0, 1.0);
        if self.on_h <= self.off_h {
            overlap(self.on_h, self.off_h)
        } else {
            overlap(self.on_h, HOURS_PER_DAY as f64) + overlap(0.0, self.off_h)
        }
    }

    /// Light at the lit bed in each of 8760 hours, mol/m2.
    pub fn light_mol_m2(&self) -> Vec<f64> {
        let full = self.ppfd_umol_m2_s.max(0.0) * 3600.0 / 1e6;
        (0..HOURS_PER_YEAR)
            .map(|hour| full * self.on_share(hour))
            .collect()
    }

    /// Electric power while burning, W; nearly all of it stays in the house as heat.
    pub fn power_w(&self) -> f64 {
        if self.efficacy_umol_j <= 0.0 {
            return 0.0;
        }
        self.ppfd_umol_m2_s.max(0.0) * self.area_m2.max(0.0) / self.efficacy_umol_j
    }
}
