//! Crops against months.

use super::{Cause, Table};
use crate::profile::BedClimate;

/// What a crop does in a month.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Can be sown or set out.
    Sow,
    /// Grows.
    Grow,
    /// Can be picked.
    Pick,
    /// Stands ready and waits.
    Stand,
    /// Not at all.
    No,
}

/// One crop in one month.
#[derive(Clone, Debug, PartialEq)]
pub struct MonthState {
    /// The state that says most: pick, else sow, stand, grow, no.
    pub state: State,
    /// A sowing (in bed or tray) of this month comes to harvest in at least half of the years.
    pub sow: bool,
    /// Something is picked this month in at least half of the years.
    pub pick: bool,
    /// A ready crop stands through the month.
    pub stand: bool,
    /// A young crop grows.
    pub grow: bool,
    /// First cause why a sowing in the middle of this month fails, if it does.
    pub cause: Option<Cause>,
    /// By how much, median of the failing years.
    pub margin: f64,
    /// What was found and needed, medians.
    pub found: f64,
    /// What would have been needed.
    pub needed: f64,
    /// Unit of the three.
    pub margin_unit: &'static str,
}

/// One crop through the year.
#[derive(Clone, Debug, PartialEq)]
pub struct CropMonths {
    /// Crop id.
    pub crop: String,
    /// January to December.
    pub months: Vec<MonthState>,
}

/// All crops through the year in the best of the bed climates given.
#[derive(Clone, Debug, PartialEq)]
pub struct Season {
    /// In order of crop id.
    pub crops: Vec<CropMonths>,
}

/// Every crop against every month; where several bed climates are given, the kindest for each crop counts.
pub fn season(_table: &Table, _climates: &[BedClimate]) -> Season {
    Season { crops: Vec::new() }
}
