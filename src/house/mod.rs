//! The building hour by hour: air, leaves, heavy walls, soil, buried store, controls.

mod error;
mod input;
mod output;
mod run;
mod schedule;

pub use error::HouseError;
pub use input::*;
pub use output::{CoveredYear, HeatFlows, HouseRun, HouseState, HouseYear};
pub use run::{RunOptions, simulate, simulate_years};
pub use schedule::Schedule;
