//! The hourly table that every later stage reads.

use serde::Deserialize;

use super::solar_frame::split_beam_diffuse;
use crate::calendar::{HOURS_PER_DAY, HOURS_PER_YEAR};
use crate::solar::{SunHour, SunYear, sun_year};

/// The sun's course of any year serves: it moves by half a minute from year to year.
pub(super) const ANY_YEAR: i32 = 2025;

/// A place on the earth.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// Name as people say it.
    pub name: String,
    /// Latitude in degrees, north positive, -90 to 90.
    pub latitude_deg: f64,
    /// Longitude in degrees, east positive, -180 to 180.
    pub longitude_deg: f64,
    /// Height above sea level in m, -430 to 6000.
    pub elevation_m: f64,
    /// Local standard time minus UTC in hours, -12 to 14.
    pub utc_offset_h: f64,
}

/// Why a place or a table of weather is refused, with what would be right.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TableError {
    /// A figure lies outside its range.
    #[error("{name} is {value}; it must lie between {low} and {high}")]
    Figure {
        /// Field name with its unit.
        name: &'static str,
        value: f64,
        low: f64,
        high: f64,
    },
    /// A column has not one value for each hour of the model year.
    #[error("weather column {column} has {count} hours; it must have {HOURS_PER_YEAR}")]
    Length {
        /// Column name with its unit.
        column: &'static str,
        count: usize,
    },
    /// A value is not finite or outside its range.
    #[error(
        "weather column {column}, hour {hour} (from 0): {value}; it must lie between {low} and {high}"
    )]
    Value {
        /// Column name with its unit.
        column: &'static str,
        /// Hour of the model year, from 0.
        hour: usize,
        value: f64,
        low: f64,
        high: f64,
    },
}

impl Place {
    /// Whether every figure is finite and inside the range stated at its field.
    ///
    /// # Errors
    /// [`TableError::Figure`] names the first figure that is not.
    pub fn check(&self) -> Result<(), TableError> {
        in_range(&[
            ("latitude_deg", self.latitude_deg, -90.0, 90.0),
            ("longitude_deg", self.longitude_deg, -180.0, 180.0),
            ("elevation_m", self.elevation_m, -430.0, 6000.0),
            ("utc_offset_h", self.utc_offset_h, -12.0, 14.0),
        ])
    }

    /// The sun here in a model year.
    pub fn sun(&self, year: i32) -> SunYear {
        let (latitude_deg, longitude_deg) = (self.latitude_deg, self.longitude_deg);
        sun_year(latitude_deg, longitude_deg, self.utc_offset_h, year)
    }

    /// Great-circle distance to another place, km, on a sphere of the earth's mean radius (haversine).
    pub fn distance_km(&self, other: &Place) -> f64 {
        /// Mean radius of the earth, km (IUGG).
        const EARTH_RADIUS_KM: f64 = 6371.0088;
        let (lat_a, lat_b) = (
            self.latitude_deg.to_radians(),
            other.latitude_deg.to_radians(),
        );
        let half_lat = (lat_b - lat_a) / 2.0;
        let half_lon = (other.longitude_deg - self.longitude_deg).to_radians() / 2.0;
        let chord = half_lat.sin().powi(2) + lat_a.cos() * lat_b.cos() * half_lon.sin().powi(2);
        2.0 * EARTH_RADIUS_KM * chord.sqrt().min(1.0).asin()
    }
}

/// Whether figures lie in their ranges: name, value, least and greatest value accepted.
pub(super) fn in_range(figures: &[(&'static str, f64, f64, f64)]) -> Result<(), TableError> {
    for &(name, value, low, high) in figures {
        if !(low..=high).contains(&value) {
            return Err(TableError::Figure {
                name,
                value,
                low,
                high,
            });
        }
    }
    Ok(())
}

/// Declares the columns once, each with the least and the greatest value that weather on earth can show.
macro_rules! weather {
    ($($(#[$about:meta])* $column:ident: $low:literal to $high:literal;)*) => {
        /// One model year of weather: ten columns of 8760 hourly means, local standard time.
        ///
        /// Hour `h` covers `h` to `h + 1` (see [`crate::calendar`]).
        #[derive(Clone, Debug, PartialEq)]
        pub struct Weather { $($(#[$about])* pub $column: Vec<f64>,)* }

        impl Weather {
            /// A table with no hours yet and room for `hours`.
            pub(crate) fn with_capacity(hours: usize) -> Self {
                Self { $($column: Vec::with_capacity(hours),)* }
            }

            /// The columns with their names and bounds.
            fn columns(&self) -> [(&'static str, &[f64], f64, f64); 10] {
                [$((stringify!($column), &self.$column, $low, $high)),*]
            }
        }
    };
}

weather! {
    /// Air temperature, °C.
    temp_air_c: -90.0 to 70.0;
    /// Relative humidity over liquid water, %, 0 to 100.
    relative_humidity_pct: 0.0 to 100.0;
    /// Wind speed at 10 m, m/s.
    wind_m_s: 0.0 to 110.0;
    /// Global horizontal irradiance, W/m2.
    ghi_w_m2: 0.0 to 1800.0;
    /// Direct (beam) normal irradiance, W/m2.
    dni_w_m2: 0.0 to 1500.0;
    /// Diffuse horizontal irradiance, W/m2.
    dhi_w_m2: 0.0 to 1500.0;
    /// Long-wave irradiance from the sky on a horizontal face, W/m2.
    sky_long_wave_w_m2: 20.0 to 700.0;
    /// Air pressure, Pa.
    pressure_pa: 30_000.0 to 115_000.0;
    /// Reflectance of the ground outside for sunlight, 0 to 1 (snow raises it).
    ground_reflectance: 0.0 to 1.0;
    /// Snow that falls, mm of water in the hour.
    snowfall_mm: 0.0 to 300.0;
}

impl Weather {
    /// Whether each column has 8760 finite values inside what weather on earth can show.
    ///
    /// # Errors
    /// [`TableError`] names the first column and hour that is not.
    pub fn check(&self) -> Result<(), TableError> {
        for (column, values, low, high) in self.columns() {
            if values.len() != HOURS_PER_YEAR {
                return Err(TableError::Length {
                    column,
                    count: values.len(),
                });
            }
            for (hour, &value) in values.iter().enumerate() {
                if !(low..=high).contains(&value) {
                    return Err(TableError::Value {
                        column,
                        hour,
                        value,
                        low,
                        high,
                    });
                }
            }
        }
        Ok(())
    }

    /// Puts global sunlight as measured on the level, W/m2, in an hour: beam and diffuse by the diffuse share of Erbs et al. (1982).
    pub fn take_global(&mut self, hour: usize, sun: &SunHour, ghi_w_m2: f64) {
        let outside_w_m2 = sun.outside_w_m2();
        let ghi_w_m2 = ghi_w_m2.clamp(0.0, outside_w_m2);
        let (beam_w_m2, diffuse_w_m2) = split_beam_diffuse(sun, outside_w_m2, ghi_w_m2);
        self.ghi_w_m2[hour] = ghi_w_m2;
        self.dni_w_m2[hour] = beam_w_m2;
        self.dhi_w_m2[hour] = diffuse_w_m2;
    }

    /// Daily means of air temperature, °C, one for each day of the table.
    pub fn daily_mean_temp_c(&self) -> Vec<f64> {
        daily_means(&self.temp_air_c)
    }
}

/// Means of each 24 hours of an hourly column.
pub(crate) fn daily_means(hourly: &[f64]) -> Vec<f64> {
    hourly
        .chunks_exact(HOURS_PER_DAY)
        .map(|day| day.iter().sum::<f64>() / HOURS_PER_DAY as f64)
        .collect()
}
