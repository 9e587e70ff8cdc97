//! What can be wrong with a weather file.

use std::fmt;

/// A value of a weather file, by its place in the row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cell {
    /// Column number, from 1.
    pub number: usize,
    /// Name of the column.
    pub name: &'static str,
}

impl fmt::Display for Cell {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "column {} ({})", self.number, self.name)
    }
}

/// Why a weather file is refused.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum WeatherError {
    /// A line as a whole, or the file at that line.
    #[error("{file}:{line}: {wrong}; {right}")]
    Line {
        /// File name as given.
        file: String,
        /// Line, from 1.
        line: usize,
        /// What is wrong.
        wrong: String,
        /// What would be right.
        right: String,
    },
    /// One value.
    #[error("{file}:{line}: {cell}: {wrong}; {right}")]
    Value {
        /// File name as given.
        file: String,
        /// Line, from 1.
        line: usize,
        /// Which value of the row.
        cell: Cell,
        /// What is wrong.
        wrong: String,
        /// What would be right.
        right: String,
    },
}

#[cfg(feature = "inner")]
impl WeatherError {
    /// Line of the file, from 1.
    pub fn line(&self) -> usize {
        match self {
            Self::Line { line, .. } | Self::Value { line, .. } => *line,
        }
    }

    /// Column of the row, where one value is at fault.
    pub fn cell(&self) -> Option<Cell> {
        match self {
            Self::Line { .. } => None,
            Self::Value { cell, .. } => Some(*cell),
        }
    }
}
