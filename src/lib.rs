//! bedyear: what a greenhouse will do through the year, what its beds can grow, and what that is worth.
//!
//! One project file describes site, building, beds and household. The data then passes one way through the
//! stages below; a stage knows only those before it.
//!
//! ```text
//! site -> sun -> house -> profile -> crops -> plan -> value -> output
//! ```
//!
//! `calendar`, `plain`, `phrase`, `suggest`, `sheet`, `air` and `solar` are the ground all stages stand on (dates, harmless
//! text, sentences with amounts in them, the nearest name, CSV by hand, moist air, the sun's place in the sky); [`mod@file`]
//! turns the project file into the inputs of the stages, [`journal`] reads what was done, [`tune`] fits the building to it;
//! [`study`] calls the stages in order.

#![forbid(unsafe_code)]
#![cfg_attr(not(any(test, feature = "inner")), warn(unused_crate_dependencies))]

/// The stages, in their order. Closed to other programs; the feature `inner` opens them to the tests, benches and fuzz
/// targets of this project, and promises nothing to anybody else.
#[path = "."]
// What a stage re-exports for those tests alone looks unused without them.
#[cfg_attr(not(feature = "inner"), allow(unused_imports))]
mod stages {
    pub mod air;
    pub mod calendar;
    pub mod crops;
    pub mod file;
    pub mod house;
    pub mod journal;
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
}
#[cfg(feature = "inner")]
pub use stages::*;
#[cfg(not(feature = "inner"))]
use stages::*;

#[cfg(feature = "page")]
mod page;

#[cfg(feature = "cli")]
#[doc(hidden)]
pub mod cli;
