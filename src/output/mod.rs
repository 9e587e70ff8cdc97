//! What people and machines read: tables, CSV, JSON, Parquet, calendar, report. It computes nothing.
//!
//! Everything shown is first put into a [`view`]: plain structs filled from the results of the stages. Each format
//! is one module that reads views only, so that a table, a CSV file and the report can never disagree.

pub(crate) mod answer;
pub mod build;
pub mod csv_out;
#[cfg(feature = "frames")]
pub mod frame;
pub mod html;
pub mod ical;
pub mod json;
pub(crate) mod lanes;
pub mod parquet_out;
mod row;
pub mod tables;
pub mod tasks;
pub mod terminal;
pub mod text;
pub mod units;
pub mod view;
mod work;
pub mod write;

pub use row::{Cell, Column, Kind, Row};
