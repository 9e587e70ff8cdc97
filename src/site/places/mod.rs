//! Any place on the land between 65 S and 72 N: a town's name or a spot gives a climate, estimated.
//!
//! The tables are packed into the program and read only when a place is asked for; how they were made, their sources and
//! licences stand in `climates/tables/README.md` and `climates/LICENCES.md`.

mod choose;
mod estimate;
mod fold;
mod tables;
mod towns;
mod unpack;

pub use choose::{Chosen, NEAR_SHELF_KM, choose, shelf_beside};
pub use estimate::{
    Basis, Estimate, EstimateError, HeightFrom, LATITUDES_DEG, Spot, USUAL_WIND_M_S, estimate,
};
pub use fold::folded;
pub use tables::{Station, stations};
pub use towns::{Found, Town, clock_at, find, near};
#[cfg(feature = "inner")]
pub use towns::{count, get};

/// Stands behind the name of a place whose climate is estimated, wherever it is shown.
pub const ESTIMATED: &str = " (estimated climate)";
