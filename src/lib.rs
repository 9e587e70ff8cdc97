//! bedyear: what a greenhouse will do through the year, what its beds can grow, and what that is worth.
//!
//! One project file describes site, building, beds and household. The data then passes one way through the
//! stages below; a stage knows only those before it.
//!
//! ```text
//! site -> sun -> house -> profile -> crops -> plan -> value -> output
//! ```
//!
//! `calendar`, `numbers`, `plain`, `phrase`, `suggest`, `words`, `sheet`, `document`, `air` and `solar` are the ground all stages stand on (dates, means and
//! ends, harmless text, sentences with amounts in them, the nearest name, words with a meaning, CSV by hand, TOML with its places, moist air, the sun's place in the sky); [`mod@file`]
//! turns the project file into the inputs of the stages, [`journal`] reads what was done, [`tune`] fits the building to it;
//! [`study`] calls the stages in order.
//!
//! # Quick start
//! What another program uses is named below; the stages themselves are closed.
//!
//! ```
//! use bedyear::{Greenhouse, SideFiles};
//!
//! let text = include_str!("../examples/hoop.toml");
//! let greenhouse = Greenhouse::read("hoop.toml", text, &SideFiles::default())?.with_weather_years(3);
//! let year = greenhouse.simulate()?;
//! println!("coldest month: {:.1} °C", year.climate()?.months[0].air_mean_c.value);
//! let planned = year.plan()?;
//! for planting in planned.plan().plantings {
//!     println!("{} in {}: sow {}", planting.row.crop, planting.row.bed, planting.row.sow);
//! }
//! let money = planned.value();
//! println!("replaces {:.0} {} a year", money.year.middle(), money.currency);
//! # Ok::<(), bedyear::StudyError>(())
//! ```

#![forbid(unsafe_code)]
#![cfg_attr(
    not(any(test, feature = "inner")),
    warn(unnameable_types, unused_crate_dependencies)
)]

/// The stages, in their order. Closed to other programs; the feature `inner` opens them to the tests, benches and fuzz
/// targets of this project, and promises nothing to anybody else.
#[path = "."]
// What a stage re-exports for those tests alone looks unused without them.
#[cfg_attr(not(feature = "inner"), allow(unused_imports))]
mod stages {
    pub mod air;
    pub mod calendar;
    pub mod crops;
    pub mod document;
    pub mod file;
    pub mod house;
    pub mod journal;
    pub mod numbers;
    pub mod output;
    pub mod phrase;
    pub mod plain;
    pub mod plan;
    pub mod profile;
    pub mod sheet;
    pub mod site;
    pub mod solar;
    pub mod study;
    pub mod suggest;
    pub mod sun;
    pub mod tune;
    pub mod value;
    pub mod words;
}
#[cfg(feature = "inner")]
pub use stages::*;
#[cfg(not(feature = "inner"))]
use stages::*;

mod greenhouse;
pub use file::{EditError, FileError, Problem, StarterOptions, StarterShape, Units, starter};
pub use greenhouse::{Greenhouse, Planned, Simulated, SweptDesign, sweep};
pub use house::HouseError;
pub use output::view;
pub use phrase::{Amount, Phrase, Piece};
pub use plan::PlanFileError;
pub use profile::Quantiles;
pub use site::epw::Cell as WeatherCell;
pub use site::places::EstimateError;
pub use site::{NormalsError, TableError, WeatherError};
pub use study::sweep::SweepError;
pub use study::{SideFiles, StudyError};
pub use sun::GlazingError;
pub use value::ValueError;
pub use value::receipts::BadRow;

#[cfg(feature = "page")]
mod page;

#[cfg(feature = "cli")]
#[doc(hidden)]
pub mod cli;
