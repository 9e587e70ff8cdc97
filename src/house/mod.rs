//! The building hour by hour: air, leaves, heavy walls, soil, buried store, controls.

mod affine;
mod bed;
mod check;
mod error;
mod film;
mod input;
mod light;
mod output;
pub mod pipes;
mod prepare;
mod run;
mod schedule;
mod soil;
#[cfg(test)]
mod soil_checks;
mod stage;
mod vapour;
mod wall;
mod year;
mod zone;

pub use check::check_house;
pub use error::HouseError;
pub use input::*;
pub use output::{CoveredYear, HeatFlows, HouseRun, HouseState, HouseYear};
pub use run::{RunOptions, simulate, simulate_years, simulate_years_chained};
pub use schedule::Schedule;
