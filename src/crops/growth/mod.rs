#![doc = include_str!("growth.md")]

mod class;
mod curves;
mod cut;
mod days;
pub(super) mod frost;
mod fruit;
mod grow;
mod light;
mod outcome;
pub mod plant;
mod rate;
mod stages;
mod stand;
pub(super) mod start;
mod trusses;
pub mod warmth;
mod whole;

pub use class::{Class, ClassFigures, Flower, Pollinator};
pub use days::{CropDay, Prepared, prepare};
pub use grow::{grow, grow_years, standing_kg_m2, watched};
pub(super) use light::light_share;
pub use outcome::{Event, EventKind, Growth, Harvest, Sowing};
pub use rate::RateFrom;
#[cfg(feature = "inner")]
pub use rate::steady_days;
pub(super) use rate::{fruit_share, solve};
pub use start::{TRAY_C, in_bed_on_time};
