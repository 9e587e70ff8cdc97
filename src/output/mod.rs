//! What people and machines read: tables, CSV, JSON, Parquet, calendar, report. It computes nothing.
//!
//! Everything shown is first put into a [`view`]: plain structs filled from the results of the stages. Each format
//! is one module that reads views only, so that a table, a CSV file and the report can never disagree.

pub mod view;

pub mod build;

pub mod csv_out;

#[cfg(feature = "frames")]
pub mod frame;

pub mod html;

pub mod ical;

pub mod json;

pub mod parquet_out;

pub mod tables;

pub mod tasks;

pub mod terminal;

pub mod text;

pub mod units;

pub mod write;

mod answer;

mod chances;

pub(crate) mod lanes;

mod row;

pub mod season_words;
// What the plan's own leaves changed.
mod second_pass;

mod work;

pub use row::{Cell, Column, Kind, Row};
