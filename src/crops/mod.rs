//! The crop table and growth: what each crop needs, does and suffers in a bed's climate.
//!
//! [`Table`] holds the crops, built in or the person's own, every figure with its source. [`prepare`] turns one
//! crop and one bed climate into daily sums, and [`grow`] follows one sowing through them: emergence, growth
//! limited by light, picking, and whatever ends it. [`season`] asks that of every week of the year.

mod assemble;
mod bed_days;
mod calls;
mod crop;
pub mod curve;
pub mod degree_days;
mod error;
mod explain;
mod file;
mod fruit;
mod grow;
pub mod hardening;
mod latest;
mod limits;
mod loss;
mod months_in;
mod needs;
mod picking;
mod prepare;
pub mod response;
mod schema;
mod season;
mod stand;
mod table;
mod through;
mod warning;

pub use bed_days::{BedDays, prepare_all};
pub use crop::{Crop, DayRange, FigureRow, Habit, Hardiness, Range, Way};
pub use error::CropError;
pub use explain::{Explanation, MonthSums, explain};
pub use grow::{Event, EventKind, Growth, Harvest, Sowing, grow};
pub use latest::{LatestSowing, latest_sowing};
pub use loss::{Cause, Loss};
pub use months_in::{MonthsIn, Stretch, months_in};
pub use needs::{
    Bolting, Bulbing, Cold, EmergenceCurve, FruitSet, Heading, Light, Seedlings, Spacing, Storage,
    Temperature, Timing, Water, Yield, YieldBasis,
};
pub use prepare::{CropDay, Prepared, prepare};
pub use season::{CropMonths, MonthState, Refusal, Season, State, crop_months, is_worth, season};
pub use table::Table;
pub use through::{COMES_THROUGH, Through, least_kg_m2};
pub use warning::{Warning, WarningKind, warnings};
