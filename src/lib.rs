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

pub mod calendar;
pub mod plain;

pub mod phrase;
pub mod suggest;

pub mod sheet;

pub mod air;
pub mod solar;

pub mod site;

pub mod sun;

pub mod house;

pub mod profile;

pub mod crops;

pub mod plan;

pub mod value;

pub mod file;

pub mod journal;

pub mod tune;

pub mod study;

pub mod output;
