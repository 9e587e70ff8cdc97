//! The hourly table that every later stage reads.

/// A place on the earth.
#[derive(Clone, Debug, PartialEq)]
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

/// One model year of weather: eleven columns of 8760 hourly means, local standard time.
///
/// Hour `h` covers `h` to `h + 1` (see [`crate::calendar`]).
#[derive(Clone, Debug, PartialEq)]
pub struct Weather {
    /// Air temperature, °C.
    pub temp_air_c: Vec<f64>,
    /// Relative humidity over liquid water, %, 0 to 100.
    pub relative_humidity_pct: Vec<f64>,
    /// Wind speed at 10 m, m/s.
    pub wind_m_s: Vec<f64>,
    /// Global horizontal irradiance, W/m2.
    pub ghi_w_m2: Vec<f64>,
    /// Direct (beam) normal irradiance, W/m2.
    pub dni_w_m2: Vec<f64>,
    /// Diffuse horizontal irradiance, W/m2.
    pub dhi_w_m2: Vec<f64>,
    /// Long-wave irradiance from the sky on a horizontal face, W/m2.
    pub sky_long_wave_w_m2: Vec<f64>,
    /// Air pressure, Pa.
    pub pressure_pa: Vec<f64>,
    /// Reflectance of the ground outside for sunlight, 0 to 1 (snow raises it).
    pub ground_reflectance: Vec<f64>,
}
