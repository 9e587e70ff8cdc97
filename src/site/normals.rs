//! Twelve months of climate: what a place's weather is made from where there is no hourly file.

use serde::Deserialize;

use super::course::{COLDEST_RECORD_C, HOTTEST_RECORD_C};
use super::weather::{Place, TableError, in_range};
use crate::calendar::MONTH_HEADS;
use crate::document::Problem;

/// Monthly temperatures that can be, °C: between the records of single hours.
pub const TEMPERATURES_C: (f64, f64) = (COLDEST_RECORD_C, HOTTEST_RECORD_C);
/// Mean radiation that can be, kWh/m2/day: what the sun sends above the air where it sends most is just below 13.
pub const GHI_KWH_M2_DAY: (f64, f64) = (0.0, 13.0);
/// Mean hours of bright sunshine a day that can be.
pub const SUN_HOURS_DAY: (f64, f64) = (0.0, 24.0);
/// Mean wind that can be, m/s (own choice: beyond any station).
pub const WIND_M_S: (f64, f64) = (0.0, 40.0);
/// Mean relative humidity that can be, %.
pub const HUMIDITY_PCT: (f64, f64) = (1.0, 100.0);

/// Twelve monthly values, January first.
pub type Monthly = [f64; 12];

/// Monthly climate of a place, one TOML file each.
///
/// A person's own twelve months need the place, the daily maxima and minima, and radiation or sun hours; the rest
/// is borrowed (see [`Normals::complete`]).
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
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
    pub temp_mean_c: Option<Monthly>,
    /// Mean daily global horizontal radiation, kWh/m2/day.
    pub ghi_kwh_m2_day: Option<Monthly>,
    /// Mean bright sunshine, h/day; in place of the radiation.
    pub sun_hours_day: Option<Monthly>,
    /// Mean wind speed at 10 m, m/s.
    pub wind_m_s: Option<Monthly>,
    /// Mean relative humidity over water of all hours, %.
    pub relative_humidity_pct: Option<Monthly>,
    pub place: Place,
    /// How days differ from the month's mean.
    pub spread: Option<Spread>,
    /// Design temperatures, where known.
    pub design: Option<DesignTemps>,
}

/// How the days of a month differ from its mean, all taken within single months.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
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
    pub clearness_daily_lag1: Option<Monthly>,
    /// Correlation of a day's mean temperature and its clearness.
    pub temp_clearness_correlation: Option<Monthly>,
    /// Correlation of a day's temperature range and its clearness.
    pub range_clearness_correlation: Option<Monthly>,
    /// Standard deviation of the daily temperature range over its mean.
    pub range_daily_cv: Option<Monthly>,
    /// The coldest hour that can be, °C, where no yearly extremes are known.
    pub coldest_possible_c: Option<f64>,
}

/// Design temperatures of a place, as handbooks and weather files state them.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DesignTemps {
    /// Air temperature exceeded in 99.6 % of all hours, °C.
    pub heating_99_6_c: f64,
    /// Air temperature exceeded in 99 % of all hours, °C.
    pub heating_99_c: f64,
    /// Mean of the yearly coldest hours, °C.
    pub yearly_min_mean_c: Option<f64>,
    /// Standard deviation of the yearly coldest hours, K.
    pub yearly_min_sd_k: Option<f64>,
    /// Air temperature exceeded in 99.6 % of the hours that the months were computed from, °C.
    pub hours_99_6_c: Option<f64>,
    /// Coldest of these hours, °C.
    pub hours_min_c: Option<f64>,
}

/// Why monthly climate is refused.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum NormalsError {
    /// The text is no climate file; the message holds line and column.
    #[error("{file}:{problem}")]
    Text {
        /// File name as given.
        file: String,
        /// Where it is wrong, and how.
        problem: Problem,
    },
    /// A figure of a climate file cannot be.
    #[error("{file}:{line}: {error}")]
    InFile {
        /// File name as given.
        file: String,
        /// Line, from 1.
        line: usize,
        /// What cannot be.
        error: Box<NormalsError>,
    },
    /// A figure of the place, or a design temperature, is out of range.
    #[error(transparent)]
    Table(#[from] TableError),
    /// A month's figure is out of range.
    #[error("{name} of {month} is {value}; {right}")]
    Figure {
        /// Name of the quantity with its unit.
        name: &'static str,
        /// Month, as in [`crate::calendar::MONTH_HEADS`].
        month: &'static str,
        value: f64,
        right: String,
    },
    /// Neither radiation nor sun hours are given.
    #[error(
        "radiation is missing; give ghi_kwh_m2_day or sun_hours_day, twelve values from January"
    )]
    NoSun,
}

impl NormalsError {
    /// The figure that is at fault, as a climate file calls it; none where it is not one figure.
    pub fn figure(&self) -> Option<&'static str> {
        match self {
            Self::Table(TableError::Figure { name, .. }) | Self::Figure { name, .. } => Some(name),
            Self::Text { .. } | Self::InFile { .. } | Self::Table(_) | Self::NoSun => None,
        }
    }
}

impl Normals {
    /// Whether every figure is finite and possible, and the sun is told by radiation or sun hours.
    ///
    /// # Errors
    /// [`NormalsError`] names the first figure that is not.
    pub fn check(&self) -> Result<(), NormalsError> {
        self.place.check()?;
        within("temp_max_c", self.temp_max_c, TEMPERATURES_C)?;
        within("temp_min_c", self.temp_min_c, TEMPERATURES_C)?;
        self.check_temp_order()?;
        within("ghi_kwh_m2_day", self.ghi_kwh_m2_day, GHI_KWH_M2_DAY)?;
        within("sun_hours_day", self.sun_hours_day, SUN_HOURS_DAY)?;
        if self.ghi_kwh_m2_day.is_none() && self.sun_hours_day.is_none() {
            return Err(NormalsError::NoSun);
        }
        within("wind_m_s", self.wind_m_s, WIND_M_S)?;
        let humidity_pct = self.relative_humidity_pct;
        within("relative_humidity_pct", humidity_pct, HUMIDITY_PCT)?;
        if let Some(spread) = &self.spread {
            spread.check()?;
        }
        Ok(self.design.map_or(Ok(()), |design| design.check())?)
    }

    fn check_temp_order(&self) -> Result<(), NormalsError> {
        for month in 0..12 {
            let (low, high) = (self.temp_min_c[month], self.temp_max_c[month]);
            if low > high {
                let right = format!("it must not be above temp_max_c, {high}");
                return Err(figure("temp_min_c", month, low, right));
            }
            if let Some(mean) = self.temp_mean_c.map(|means| means[month])
                && !(low..=high).contains(&mean)
            {
                let right =
                    format!("it must lie between temp_min_c, {low}, and temp_max_c, {high}");
                return Err(figure("temp_mean_c", month, mean, right));
            }
        }
        Ok(())
    }

    /// Mean temperature of each month, °C; where it is not given, midway between minimum and maximum.
    pub fn monthly_mean_c(&self) -> Monthly {
        self.temp_mean_c.unwrap_or_else(|| {
            std::array::from_fn(|month| (self.temp_min_c[month] + self.temp_max_c[month]) / 2.0)
        })
    }
}

impl Spread {
    fn check(&self) -> Result<(), NormalsError> {
        const CORRELATION: (f64, f64) = (-1.0, 1.0);
        let (temp, range) = (
            self.temp_clearness_correlation,
            self.range_clearness_correlation,
        );
        within("temp_daily_sd_k", self.temp_daily_sd_k, (0.0, 25.0))?;
        within("temp_daily_lag1", self.temp_daily_lag1, CORRELATION)?;
        within("clearness_daily_sd", self.clearness_daily_sd, (0.0, 0.4))?;
        let lag1 = self.clearness_daily_lag1;
        within("clearness_daily_lag1", lag1, CORRELATION)?;
        within("temp_clearness_correlation", temp, CORRELATION)?;
        within("range_clearness_correlation", range, CORRELATION)?;
        within("range_daily_cv", self.range_daily_cv, (0.0, 2.0))
    }
}

/// The coldest hour that can be lies this many standard deviations of the yearly coldest hours below their mean
/// (own assumption: by a Gumbel distribution once in some 160 years).
const FLOOR_DEVIATIONS: f64 = 3.5;

impl DesignTemps {
    /// The coldest hour that can be, °C; nothing where the yearly extremes are not known.
    pub fn coldest_possible_c(&self) -> Option<f64> {
        Some(self.yearly_min_mean_c? - FLOOR_DEVIATIONS * self.yearly_min_sd_k?)
    }

    fn check(&self) -> Result<(), TableError> {
        // What is not given counts as 0, which may be.
        let given = |figure: Option<f64>| figure.unwrap_or(0.0);
        let yearly_min_c = given(self.yearly_min_mean_c);
        in_range(&[
            ("heating_99_6_c", self.heating_99_6_c, -80.0, 40.0),
            ("heating_99_c", self.heating_99_c, -80.0, 40.0),
            ("yearly_min_mean_c", yearly_min_c, -80.0, 40.0),
            ("yearly_min_sd_k", given(self.yearly_min_sd_k), 0.0, 20.0),
            ("hours_99_6_c", given(self.hours_99_6_c), -80.0, 40.0),
            ("hours_min_c", given(self.hours_min_c), -80.0, 40.0),
        ])
    }
}

/// Whether each month lies in a range; what is not given does.
fn within(
    name: &'static str,
    monthly: impl Into<Option<Monthly>>,
    (low, high): (f64, f64),
) -> Result<(), NormalsError> {
    for (month, value) in monthly.into().into_iter().flatten().enumerate() {
        if !(low..=high).contains(&value) {
            let right = format!("it must lie between {low} and {high}");
            return Err(figure(name, month, value, right));
        }
    }
    Ok(())
}

fn figure(name: &'static str, month: usize, value: f64, right: String) -> NormalsError {
    NormalsError::Figure {
        name,
        month: MONTH_HEADS[month],
        value,
        right,
    }
}
