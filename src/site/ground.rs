//! The ground that no building has touched: one annual wave, damped and delayed with depth.
//!
//! Source: Kusuda, T. and Achenbach, P.R. (1965), *Earth temperature and thermal diffusivity at selected stations
//! in the United States*, ASHRAE Transactions 71(1), 61-75 (reference from memory).

use std::f64::consts::TAU;

use super::snow;
use super::weather::Weather;
use crate::calendar::DAYS_PER_YEAR;

/// Angular speed of the annual wave, rad/day.
const WAVE_RAD_PER_DAY: f64 = TAU / DAYS_PER_YEAR as f64;

/// Diffusivity of clay or silt, m2/day: 1.5 W/mK over 3.0 MJ/m3K (default ground of ISO 13370, from memory).
pub const DIFFUSIVITY_CLAY_OR_SILT_M2_DAY: f64 = 0.0432;

/// Freezing n-factor of turf under natural snow: surface over air temperature, both below 0 °C, as yearly sums.
///
/// Source: US Army and Air Force TM 5-852-4, table 4-1, freezing of turf (read).
pub const SNOW_FREEZING_FACTOR: f64 = 0.5;

/// Undisturbed ground as one annual wave at the surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UndisturbedGround {
    /// Yearly mean of the surface, °C.
    pub mean_c: f64,
    /// Amplitude of the surface wave (half of the yearly swing), K, 0 or more.
    pub amplitude_k: f64,
    /// Day of the coldest surface, in days since the start of the year, 0 to 365.
    pub coldest_day: f64,
    /// Thermal diffusivity of the ground, m2/day, above 0.
    pub diffusivity_m2_day: f64,
}

impl UndisturbedGround {
    /// Temperature at a depth (m, 0 or more) on a day counted from the start of the year (any real number), °C.
    pub fn temp_c(&self, depth_m: f64, day: f64) -> f64 {
        // Depth as a multiple of the damping depth.
        let damping =
            depth_m.max(0.0) * (WAVE_RAD_PER_DAY / (2.0 * self.diffusivity_m2_day)).sqrt();
        let phase = WAVE_RAD_PER_DAY * (day - self.coldest_day) - damping;
        self.mean_c - self.amplitude_k * (-damping).exp() * phase.cos()
    }

    /// The annual wave that fits best (least squares) to 365 daily temperatures of the surface.
    pub fn from_daily(surface_c: &[f64], diffusivity_m2_day: f64) -> Self {
        let count = surface_c.len().max(1) as f64;
        let mean_c = surface_c.iter().sum::<f64>() / count;
        let (mut cosine, mut sine) = (0.0, 0.0);
        for (day, &temp) in surface_c.iter().enumerate() {
            // A daily mean stands for noon.
            let angle = TAU * (day as f64 + 0.5) / count;
            cosine += (temp - mean_c) * angle.cos() * 2.0 / count;
            sine += (temp - mean_c) * angle.sin() * 2.0 / count;
        }
        // mean + cosine cos + sine sin = mean - amplitude cos(w (day - coldest))
        let coldest = (-sine).atan2(-cosine).rem_euclid(TAU);
        Self {
            mean_c,
            amplitude_k: cosine.hypot(sine),
            coldest_day: coldest / WAVE_RAD_PER_DAY,
            diffusivity_m2_day,
        }
    }

    /// The ground under a year of weather, with the warming by lasting snow.
    ///
    /// The surface follows the daily air temperature. By its own balance of sun, long-wave and evaporation the upper face of
    /// turf would be 1.3 to 2.8 K warmer over the year at snow-free places of our files (own computation), but turf shades the soil
    /// (the same table: thawing 0.8 of the air's), and soils of the United States lie about 1 K above the air in the mean
    /// (USDA SCS-TP-144, from memory): within what is not known, the air is taken.
    /// under snow a frost reaches it only in the proportion
    /// [`SNOW_FREEZING_FACTOR`]. Whether snow lies is told by the rule of [`super::snow`].
    pub fn from_weather(weather: &Weather, diffusivity_m2_day: f64) -> Self {
        let surface_c = surface_under_snow(&weather.daily_mean_temp_c());
        Self::from_daily(&surface_c, diffusivity_m2_day)
    }
}

/// Daily temperature of the ground's surface below daily air temperatures, °C.
pub fn surface_under_snow(daily_air_c: &[f64]) -> Vec<f64> {
    let cover = snow::daily_cover(daily_air_c);
    daily_air_c
        .iter()
        .zip(&cover)
        .map(|(&air, &share)| {
            if air < 0.0 {
                air * (1.0 - share * (1.0 - SNOW_FREEZING_FACTOR))
            } else {
                air
            }
        })
        .collect()
}
