//! The building hour by hour: air, leaves, heavy walls, soil, buried store, controls.
//!
//! [`simulate`] takes a [`House`] through years of weather until a year repeats itself; [`simulate_each`] carries on through
//! weather years. Both hand on [`HouseYear`]s: hourly columns, and heat by path and month whose balance is checked.
//!
//! # What U means
//! Greenhouse practice ([`InnerFilm::ToAir`], the default): U runs **from air to air** and holds both films of ISO 6946
//! (inside 0.13, 0.10 or 0.17 by the direction of heat, outside 0.04 m2K/W; they shrink alike where 1/U is less than
//! both, as for thin film). Sun and sky act on the outer face through an equivalent outdoor temperature. The U of a
//! film that lets long-wave pass was measured with that passage, so only the sky's being colder than outdoor air comes
//! on top. Ordinary buildings ([`InnerFilm::RadiantNode`]) have convection to the air and radiation to a mean radiant node
//! instead; there U is taken apart by the same standard films and put together with those of the hour.
//!
//! # The network
//! - Faces without heat capacity join the air directly; faces with it, and heavy things, are chains of cells; beds are
//!   leaves over a soil face, bare or under a sheet, each solved by its own energy balance.
//! - Soil: a column of implicit finite volumes under each square metre, with freezing water and ties sideways.
//! - A room beside the house is a second building of the same kind; they are joined by walls, of which each holds its own
//!   side, and by air, and are solved in turns until they agree (see `stage::beside`).
//! - Two implicit stages of second order make an hour (Alexander 1977), so that the daily wave in the soil keeps its size.
//! - Each stage is linear but for controls, sweating panes and freezing layers. Chains, columns and beds are taken out
//!   first; two equations are left, heat and vapour of the air, in which the controls are unknowns: store fan, vents,
//!   then heater or cooler land on their set points or stand at their limits.
//!
//! - Carbon dioxide of the air follows from a year's hours when they are known ([`carbon`]); nothing in the house depends on it.
//!
//! # What is left out
//! Carbon dioxide that comes with the air of a room beside, or from burners without a flue. Heat that vapour carries beyond its latent heat; warmth and weight of snow that lies on the building (the light that
//! it takes is counted); heat rays through film between the house and the room beside it, whose light arrives as even light, and
//! water that settles on walls there; shade of one on the other but by the faces' own skyline; conductivity of soil that changes with frost.
//!
//! Sources stand beside each constant and formula in the files of this module.

mod affine;
mod bed;
pub mod carbon;
mod check;
pub mod cover_kinds;
mod error;
mod film;
mod handling;
mod hours;
mod input;
mod light;
mod on_glazing;
mod output;
pub mod pipes;
mod prepare;
mod run;
mod schedule;
mod scheme;
mod soil;
mod stage;
mod state;
mod tuned;
mod unheated;
mod vapour;
mod wall;
mod zone;

pub use check::check_house;
pub use error::HouseError;
pub use input::*;
pub use output::{HeatFlows, HouseRun, HouseState, HouseYear, PartYear, W_PER_KW, monthly_kwh};
pub use run::{RunOptions, simulate, simulate_each, simulate_years_chained};
pub use schedule::Schedule;
pub use tuned::Tuned;
pub use unheated::{ColdDays, HeatedWeeks, cold_days_without};
