//! Every cause of a 'no', with what was met, what was needed, and by how much it fell short.

use super::{Crop, Prepared, growth};
use crate::words::{Word, worded};
use std::fmt;

worded! {
    /// Why a crop fails, stops or cannot be sown.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
    pub enum Cause {
        /// Seed tubers or young plants are not at hand, or it is not the season to plant them.
        "out of its planting season, counted from the shortest day" => NotAtHand,
        /// The plant itself, and not only its leaves, colder than it can bear.
        "killed by cold" => NightCold,
        /// Leaves or heads lost to frost night after night, though the plant lives.
        "leaves or heads lost to frost" => LeavesFrozen,
        /// Days of cold above freezing, too much for a plant of warm origin.
        "chilled" => Chilled,
        /// Root zone too cold to emerge or to root.
        "root zone too cold" => RootZoneCold,
        /// Root zone too hot to emerge.
        "root zone too hot" => RootZoneHot,
        /// Too little light.
        "too dark" => TooDark,
        /// Too cold to grow, though not cold enough to kill.
        "too cold to grow" => TooCold,
        /// Too hot to grow.
        "too hot" => TooHot,
        /// Runs to seed.
        "runs to seed" => Bolts,
        /// Called to its head or bulb while still small.
        "made its head or bulb too young" => TooYoung,
        /// Days too short for bulbs.
        "days too short" => DayTooShort,
        /// Too little cold for bulbs to form.
        "too little cold for bulbs" => TooLittleCold,
        /// Nights too cold to set fruit.
        "nights too cold for fruit" => SetNightCold,
        /// Nights or days too hot to set fruit.
        "too hot for fruit" => SetTooHot,
        /// Nothing carried pollen.
        "no pollinator" => NoPollinator,
        /// Not grown to its size, and picked small.
        "stayed small" => Small,
    }
}

impl fmt::Display for Cause {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// What ended a planting before its time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loss {
    /// Day, from 1 January of the sowing year.
    pub day: usize,
    /// Why.
    pub cause: Cause,
    /// What was met, in `unit`.
    pub found: f64,
    /// What would have been needed, in `unit`.
    pub needed: f64,
    /// By how much it fell short, never negative, in `unit`.
    pub margin: f64,
    /// Unit of the three.
    pub unit: &'static str,
}

impl Loss {
    /// Short by `needed - found`.
    pub(super) fn below(
        day: usize,
        cause: Cause,
        found: f64,
        needed: f64,
        unit: &'static str,
    ) -> Self {
        Self {
            day,
            cause,
            found,
            needed,
            margin: (needed - found).max(0.0),
            unit,
        }
    }

    /// Too much by `found - needed`.
    pub(super) fn above(
        day: usize,
        cause: Cause,
        found: f64,
        needed: f64,
        unit: &'static str,
    ) -> Self {
        Self {
            margin: (found - needed).max(0.0),
            ..Self::below(day, cause, found, needed, unit)
        }
    }
}

/// Why a stand from day `from` to day `to` did not get ready: whichever of darkness, cold and heat took most from a day at
/// best temperature in full light; where there was as much light as the crop asks for, it was not too dark.
pub(super) fn lacking(
    crop: &Crop,
    prepared: &Prepared,
    year: usize,
    from: usize,
    to: usize,
) -> Loss {
    let (mut dark, mut cold, mut hot) = (0.0, 0.0, 0.0);
    let (mut light, mut air, mut heat) = (0.0, 0.0, 0.0);
    let best_c = crop.temperature.best_c.middle();
    for day in from..to {
        let bed = prepared.bed_day(year, day);
        let warmth = f64::from(prepared.day(year, day).warmth_k_d) / crop.best_k();
        let short = (1.0 - warmth).max(0.0);
        dark += 1.0 - growth::light_share(bed.light_mol_m2_day);
        if bed.leaf_c < best_c {
            cold += short
        } else {
            hot += short
        }
        light += bed.light_mol_m2_day;
        air += bed.air_c;
        heat += bed.air_max_c;
    }
    let days = to.saturating_sub(from).max(1) as f64;
    let is_dark = light / days < crop.light.target_mol_m2_day;
    if is_dark && dark >= cold && dark >= hot {
        let needed = crop.light.target_mol_m2_day;
        Loss::below(to, Cause::TooDark, light / days, needed, "mol/m2/day")
    } else if cold >= hot {
        let needed = crop.temperature.best_c.low;
        Loss::below(to, Cause::TooCold, air / days, needed, "°C")
    } else {
        let limit = crop.temperature.upper_c;
        Loss::above(to, Cause::TooHot, heat / days, limit, "°C")
    }
}
