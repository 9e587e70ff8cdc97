//! Every cause of a 'no', with what was met, what was needed, and by how much it fell short.

use super::{Crop, Prepared};
use std::fmt;

/// Why a crop fails, stops or cannot be sown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cause {
    /// Seed tubers or young plants are not at hand, or it is not the season to plant them.
    NotAtHand,
    /// Leaves colder than the plant can bear.
    NightCold,
    /// Days of cold above freezing, too much for a plant of warm origin.
    Chilled,
    /// Root zone too cold to emerge or to root.
    RootZoneCold,
    /// Root zone too hot to emerge.
    RootZoneHot,
    /// Too little light.
    TooDark,
    /// Too cold to grow, though not cold enough to kill.
    TooCold,
    /// Too hot to grow.
    TooHot,
    /// Runs to seed.
    Bolts,
    /// Called to its head or bulb while still small.
    TooYoung,
    /// Days too short for bulbs.
    DayTooShort,
    /// Too little cold for bulbs to form.
    TooLittleCold,
    /// Nights too cold to set fruit.
    SetNightCold,
    /// Nights or days too hot to set fruit.
    SetTooHot,
    /// Not ready within the time a bed can wait.
    NotReady,
}

impl Cause {
    /// The cause in a grower's words.
    pub fn words(self) -> &'static str {
        match self {
            Cause::NotAtHand => "out of its planting season, counted from the shortest day",
            Cause::NightCold => "killed by cold",
            Cause::Chilled => "chilled",
            Cause::RootZoneCold => "root zone too cold",
            Cause::RootZoneHot => "root zone too hot",
            Cause::TooDark => "too dark",
            Cause::TooCold => "too cold to grow",
            Cause::TooHot => "too hot",
            Cause::Bolts => "runs to seed",
            Cause::TooYoung => "made its head or bulb too young",
            Cause::DayTooShort => "days too short",
            Cause::TooLittleCold => "too little cold for bulbs",
            Cause::SetNightCold => "nights too cold for fruit",
            Cause::SetTooHot => "too hot for fruit",
            Cause::NotReady => "not ready in time",
        }
    }
}

impl fmt::Display for Cause {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
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
            day,
            cause,
            found,
            needed,
            margin: (found - needed).max(0.0),
            unit,
        }
    }
}

/// Why a stand from day `from` to day `to` did not get ready: whichever of darkness, cold and heat took most growth.
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
        let day = prepared.day(year, day);
        let short = (crop.best_k() - day.growth_k_d).max(0.0);
        // Darkness is charged at the growth that a best day would have made, as the two multiply.
        dark += crop.best_k() * (1.0 - day.light_factor);
        if day.air_c < best_c {
            cold += short
        } else {
            hot += short
        }
        light += day.light_mol_m2_day;
        air += day.air_c;
        heat += day.air_max_c;
    }
    let days = to.saturating_sub(from).max(1) as f64;
    if dark >= cold && dark >= hot {
        let needed = crop.light.target_mol_m2_day;
        Loss::below(to, Cause::TooDark, light / days, needed, "mol/m2/day")
    } else if cold >= hot {
        Loss::below(
            to,
            Cause::TooCold,
            air / days,
            crop.temperature.best_c.low,
            "°C",
        )
    } else {
        Loss::above(
            to,
            Cause::TooHot,
            heat / days,
            crop.temperature.upper_c,
            "°C",
        )
    }
}
