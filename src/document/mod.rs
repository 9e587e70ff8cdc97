//! The one reader of TOML text: project files, crops, places, plans, the list of a sweep's parts.
//!
//! [`parse`] gives the text as a tree in which everything knows its place; [`read`] fills a type of ours. Either says what is
//! wrong with line and column, and what would be right where people write as they speak.

mod error;
mod slips;
mod tree;

pub use error::{FileError, PROBLEMS_MAX, Problem, Right};
pub use slips::day;
pub use tree::{Entry, Node, Value, parse};

/// The type that a text describes.
///
/// # Errors
/// The first [`Problem`] of the text: no TOML, a key that is missing, mistyped or unknown.
pub fn read<T: serde::de::DeserializeOwned>(text: &str) -> Result<T, Problem> {
    parse(text).map_err(|problems| {
        let first = problems.into_iter().next();
        first.unwrap_or_else(|| Problem::at(text, 0..0, "not valid TOML", None))
    })?;
    toml::from_str(text).map_err(|error| {
        let span = error.span().unwrap_or(0..0);
        Problem::at(text, span, error.message(), None)
    })
}
