//! What people and machines read: tables, CSV, JSON, Parquet, calendar, report. It computes nothing.
//!
//! Everything shown is first put into a [`view`]: plain structs filled from the results of the stages. Each format
//! is one file that reads views only, so that a table, a CSV file and the report can never disagree.

pub mod view;

mod row;

pub use row::{Cell, Column, Row};
