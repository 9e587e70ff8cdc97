//! The columns of a row as the format publishes them, and what can be wrong with a file.

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
#[error("{file}:{line}: {}{wrong}; {right}", .cell.map(|cell| format!("{cell}: ")).unwrap_or_default())]
#[non_exhaustive]
pub struct WeatherError {
    /// File name as given.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// The value of the row; none where it is the line as a whole, or the file at that line.
    pub cell: Option<Cell>,
    /// What is wrong.
    pub wrong: String,
    /// What would be right.
    pub right: String,
}

impl WeatherError {
    /// A line as a whole, or the file at that line.
    pub(super) fn of_line(file: &str, line: usize, wrong: String, right: String) -> Self {
        Self {
            file: file.to_owned(),
            line,
            cell: None,
            wrong,
            right,
        }
    }
}

/// A column that is read.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// Where it stands and what it is called.
    pub cell: Cell,
    /// Values from this one on mean missing.
    pub missing_from: f64,
    /// Least value accepted.
    pub low: f64,
    /// Greatest value accepted.
    pub high: f64,
}

/// One column a line: number, name, the value from which on it is missing, least and greatest value accepted.
macro_rules! columns {
    ($($column:ident = $number:literal, $name:literal, $missing_from:expr, $low:expr, $high:expr;)*) => {
        $(pub const $column: Column = Column {
            cell: Cell { number: $number, name: $name },
            missing_from: $missing_from,
            low: $low,
            high: $high,
        };)*
    };
}

columns! {
    MONTH = 2, "month", f64::INFINITY, 1.0, 12.0;
    DAY = 3, "day", f64::INFINITY, 1.0, 31.0;
    HOUR = 4, "hour", f64::INFINITY, 1.0, 24.0;
    MINUTE = 5, "minute", f64::INFINITY, 0.0, 60.0;
    DRY_BULB = 7, "dry bulb temperature, C", 99.9, -90.0, 70.0;
    DEW_POINT = 8, "dew point temperature, C", 99.9, -100.0, 70.0;
    HUMIDITY = 9, "relative humidity, %", 999.0, 0.0, 110.0;
    PRESSURE = 10, "atmospheric pressure, Pa", 999_999.0, 31_000.0, 120_000.0;
    INFRARED = 13, "horizontal infrared radiation, Wh/m2", 9999.0, 0.0, 700.0;
    GLOBAL = 14, "global horizontal radiation, Wh/m2", 9999.0, 0.0, 1800.0;
    DIRECT = 15, "direct normal radiation, Wh/m2", 9999.0, 0.0, 1500.0;
    DIFFUSE = 16, "diffuse horizontal radiation, Wh/m2", 9999.0, 0.0, 1500.0;
    WIND = 22, "wind speed, m/s", 999.0, 0.0, 110.0;
    SKY_COVER = 23, "total sky cover, tenths", 99.0, 0.0, 10.0;
    OPAQUE_COVER = 24, "opaque sky cover, tenths", 99.0, 0.0, 10.0;
    OBSERVED = 27, "present weather observation", 9.0, 0.0, 9.0;
    PRECIPITATION = 34, "liquid precipitation depth, mm", 900.0, 0.0, 500.0;
}
/// Nine digits of present weather, one a kind.
pub const PRESENT: usize = 28;
/// Columns that a row must have: up to the wind.
pub const LEAST_COLUMNS: usize = 22;
/// Least horizontal infrared radiation that is a measurement and not an empty cell, Wh/m2.
pub const LEAST_INFRARED: f64 = 40.0;
