//! Crops against months.

use serde::Serialize;

use super::{Note, Spread};

/// What a crop does in a month.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum SeasonState {
    /// Grows at more than half of its best pace.
    Grows,
    /// Grows, but slowly.
    Slow,
    /// Alive near a standstill: a grown crop stands and can be picked.
    Stands,
    /// Cannot be in the bed.
    No,
}

/// One crop in one month.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeasonMonth {
    /// What the crop does.
    pub state: SeasonState,
    /// What holds it back, such as `too cold at night`; empty if nothing does.
    pub cause: Option<String>,
    /// How far the limiting figure is from its limit; negative where the limit is broken.
    pub margin: Option<f64>,
    /// Unit of the margin: `K`, `mol/m2/day`, `h` or `d`.
    pub margin_unit: Option<String>,
    /// What would turn a no, in a few words; empty where nothing is known to.
    pub remedy: Option<String>,
}

/// How many months a warm crop can stay in, under four roofs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MonthsIn {
    /// In the building as it is.
    pub as_is: Option<Spread>,
    /// In the building with a small heater.
    pub heated: Option<Spread>,
    /// In a plain single-film tunnel of the same floor.
    pub tunnel: Option<Spread>,
    /// Outdoors.
    pub outdoors: Option<Spread>,
}

/// One crop through the year.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeasonCrop {
    /// Identifier of the crop, as in the crop files.
    pub crop: String,
    /// Name for people.
    pub name: String,
    /// January to December.
    pub months: [SeasonMonth; 12],
    /// Months in, each at p10, p50 and p90 over the weather years.
    pub months_in: MonthsIn,
}

/// Crops against months.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeasonView {
    /// Where the building stands.
    pub place: String,
    /// Crops in the order they are shown.
    pub crops: Vec<SeasonCrop>,
    /// Set-point of the small heater behind `months_in.heated`, °C; empty where it was not run.
    pub heated_to_c: Option<f64>,
    /// What else to know.
    pub notes: Vec<Note>,
}
