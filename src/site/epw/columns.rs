//! The columns of a row: number, name, missing code and range, as the format publishes them.

use super::error::Cell;

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

const fn column(
    number: usize,
    name: &'static str,
    missing_from: f64,
    low: f64,
    high: f64,
) -> Column {
    Column {
        cell: Cell { number, name },
        missing_from,
        low,
        high,
    }
}

/// Month, 1 to 12.
pub const MONTH: Column = column(2, "month", f64::INFINITY, 1.0, 12.0);
/// Day of the month, 1 to 31.
pub const DAY: Column = column(3, "day", f64::INFINITY, 1.0, 31.0);
/// Hour, 1 to 24: the row stands for the hour that ends then.
pub const HOUR: Column = column(4, "hour", f64::INFINITY, 1.0, 24.0);
/// Minute, 0 or 60 in hourly files.
pub const MINUTE: Column = column(5, "minute", f64::INFINITY, 0.0, 60.0);
/// Air temperature, °C.
pub const DRY_BULB: Column = column(7, "dry bulb temperature, C", 99.9, -90.0, 70.0);
/// Dew point, °C.
pub const DEW_POINT: Column = column(8, "dew point temperature, C", 99.9, -100.0, 70.0);
/// Relative humidity, %.
pub const HUMIDITY: Column = column(9, "relative humidity, %", 999.0, 0.0, 110.0);
/// Air pressure, Pa.
pub const PRESSURE: Column = column(
    10,
    "atmospheric pressure, Pa",
    999_999.0,
    31_000.0,
    120_000.0,
);
/// Long-wave irradiance of the sky on the horizontal, Wh/m2.
pub const INFRARED: Column = column(
    13,
    "horizontal infrared radiation, Wh/m2",
    9999.0,
    0.0,
    700.0,
);
/// Global horizontal radiation, Wh/m2.
pub const GLOBAL: Column = column(
    14,
    "global horizontal radiation, Wh/m2",
    9999.0,
    0.0,
    1800.0,
);
/// Direct normal radiation, Wh/m2.
pub const DIRECT: Column = column(15, "direct normal radiation, Wh/m2", 9999.0, 0.0, 1500.0);
/// Diffuse horizontal radiation, Wh/m2.
pub const DIFFUSE: Column = column(
    16,
    "diffuse horizontal radiation, Wh/m2",
    9999.0,
    0.0,
    1500.0,
);
/// Wind speed, m/s.
pub const WIND: Column = column(22, "wind speed, m/s", 999.0, 0.0, 110.0);
/// Total sky cover, tenths.
pub const SKY_COVER: Column = column(23, "total sky cover, tenths", 99.0, 0.0, 10.0);
/// Opaque sky cover, tenths.
pub const OPAQUE_COVER: Column = column(24, "opaque sky cover, tenths", 99.0, 0.0, 10.0);

/// Is the weather of the hour observed (0) or not (9)?
pub const OBSERVED: Column = column(27, "present weather observation", 9.0, 0.0, 9.0);
/// Nine digits of present weather, one a kind.
pub const PRESENT: usize = 28;
/// Precipitation, mm in the hour.
pub const PRECIPITATION: Column = column(34, "liquid precipitation depth, mm", 900.0, 0.0, 500.0);

/// Columns that a row must have: up to the wind.
pub const LEAST_COLUMNS: usize = 22;

/// Least horizontal infrared radiation that is a measurement and not an empty cell, Wh/m2.
pub const LEAST_INFRARED: f64 = 40.0;
