//! One sowing through one year.

use super::{Crop, Prepared, Way};
use std::fmt;

/// What is sown, when and how.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Sowing {
    /// Day of sowing (in tray or bed), from 0 = 1 January of the sowing year.
    pub day: usize,
    /// In the bed or in a tray.
    pub way: Way,
}

/// A picking.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Harvest {
    /// Day, from 1 January of the sowing year.
    pub day: usize,
    /// Fresh mass, kg/m2 of bed.
    pub kg_m2: f64,
}

/// Why a crop fails, stops or cannot be sown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cause {
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
    /// Days too short for bulbs.
    DayTooShort,
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
            Cause::NightCold => "killed by cold",
            Cause::Chilled => "chilled",
            Cause::RootZoneCold => "root zone too cold",
            Cause::RootZoneHot => "root zone too hot",
            Cause::TooDark => "too dark",
            Cause::TooCold => "too cold to grow",
            Cause::TooHot => "too hot",
            Cause::Bolts => "runs to seed",
            Cause::DayTooShort => "days too short",
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

/// What happened to a planting, for the grower to check.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EventKind {
    /// Seed sown.
    Sown,
    /// Seedlings up.
    Emerged,
    /// Set out in the bed.
    SetOut,
    /// Bulbs begin to fill.
    Bulbs,
    /// Ready to pick.
    Ready,
    /// Ready for the next cut.
    CutAgain,
    /// Called to flower.
    Vernalized,
    /// Picking stopped: nothing ripens.
    Pause,
    /// Picking resumes.
    Resumes,
    /// Frost on the leaves, damage begins.
    FrostDamage,
    /// Lost; see [`Growth::loss`].
    Lost,
    /// Bed cleared.
    Cleared,
}

/// A dated event.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Event {
    /// Day, from 1 January of the sowing year.
    pub day: usize,
    /// What happened.
    pub kind: EventKind,
}

/// What became of one sowing. All days count from 1 January of the sowing year and may pass 365.
#[derive(Clone, Debug, PartialEq)]
pub struct Growth {
    /// First day the bed is taken: sowing day, or the day of setting out for a tray.
    pub bed_from_day: usize,
    /// Seedlings up.
    pub emergence_day: Option<usize>,
    /// Set out, if raised in a tray.
    pub transplant_day: Option<usize>,
    /// First day it could be picked.
    pub ready_day: Option<usize>,
    /// Pickings, in order.
    pub harvests: Vec<Harvest>,
    /// Day of the last picking.
    pub last_harvest_day: Option<usize>,
    /// First day the bed is free again.
    pub clear_day: usize,
    /// What killed, spoiled or delayed it for good; pickings made before it count.
    pub loss: Option<Loss>,
    /// Dated events, in order.
    pub events: Vec<Event>,
}

impl Growth {
    /// All pickings together, kg/m2.
    pub fn kg_m2(&self) -> f64 {
        self.harvests.iter().map(|harvest| harvest.kg_m2).sum()
    }

    /// True if anything was picked.
    pub fn bears(&self) -> bool {
        !self.harvests.is_empty()
    }
}

/// Follows one sowing.
///
/// `year` is the weather year of the sowing, from 0; years past the last wrap round.
pub fn grow(_crop: &Crop, _prepared: &Prepared, _year: usize, sowing: Sowing) -> Growth {
    Growth {
        bed_from_day: sowing.day,
        emergence_day: None,
        transplant_day: None,
        ready_day: None,
        harvests: Vec::new(),
        last_harvest_day: None,
        clear_day: sowing.day,
        loss: None,
        events: Vec::new(),
    }
}
