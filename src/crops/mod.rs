//! The crop table and growth: what each crop needs, does and suffers in a bed's climate.
//!
//! [`Table`] holds the crops, built in or the person's own, every figure with its source. [`prepare`] turns one
//! crop and one bed climate into daily sums, and [`grow`] follows one sowing through them: emergence, growth
//! limited by light, picking, and whatever ends it. [`season`] asks that of every week of the year.

mod crop;
pub mod degree_days;
mod error;
mod grow;
mod prepare;
mod season;
mod table;

pub use crop::{
    Bolting, Bulbing, Cold, Crop, DayRange, EmergenceCurve, FigureRow, FruitSet, Habit, Hardiness,
    Light, Range, Spacing, Storage, Temperature, Timing, Water, Way, Yield, YieldBasis,
};
pub use error::CropError;
pub use grow::{Cause, Event, EventKind, Growth, Harvest, Loss, Sowing, grow};
pub use prepare::{Prepared, prepare};
pub use season::{CropMonths, MonthState, Season, State, season};
pub use table::Table;
