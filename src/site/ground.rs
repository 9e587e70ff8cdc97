//! The ground that no building has touched: one annual wave, damped and delayed with depth.
//!
//! Source: Kusuda, T. and Achenbach, P.R. (1965), *Earth temperature and thermal diffusivity at selected stations
//! in the United States*, ASHRAE Transactions 71(1), 61-75 (reference from memory).

use std::f64::consts::TAU;

use super::snow;
use super::weather::Weather;
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY};

/// Days of one annual wave.
const WAVE_DAYS: f64 = DAYS_PER_YEAR as f64;

/// Angular speed of the annual wave, rad/day.
const WAVE_RAD_PER_DAY: f64 = TAU / WAVE_DAYS;

/// Diffusivity of clay or silt, m2/day: 1.5 W/mK over 3.0 MJ/m3K (default ground of ISO 13370, from memory).
pub const DIFFUSIVITY_CLAY_OR_SILT_M2_DAY: f64 = 0.0432;

/// Diffusivity behind the ground temperatures in the headers of weather files, m2/day.
///
/// Own finding: all header values of 12 open files follow one surface wave with 0.0023226 m2/h (0.025 ft2/h).
pub const DIFFUSIVITY_EPW_HEADER_M2_DAY: f64 = 0.002_322_576 * 24.0;

/// The days that the twelve header values stand for; April at 95 instead of 105 is in the files themselves.
const HEADER_DAYS: [f64; 12] = [
    15.0, 46.0, 74.0, 95.0, 135.0, 166.0, 196.0, 227.0, 258.0, 288.0, 319.0, 349.0,
];

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
        let damping = self.damping(depth_m);
        let phase = WAVE_RAD_PER_DAY * (day - self.coldest_day) - damping;
        self.mean_c - self.amplitude_k * (-damping).exp() * phase.cos()
    }

    /// Mean temperature from the surface down to a depth (m, 0 or more), °C: the closed integral of [`Self::temp_c`].
    pub fn mean_to_depth_c(&self, depth_m: f64, day: f64) -> f64 {
        let (share, lag) = mean_wave(self.damping(depth_m));
        let phase = WAVE_RAD_PER_DAY * (day - self.coldest_day) - lag;
        self.mean_c - self.amplitude_k * share * phase.cos()
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
        Self::from_wave(mean_c, cosine, sine, diffusivity_m2_day)
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
        Self::from_daily(
            &surface_under_snow(&weather.daily_mean_temp_c()),
            diffusivity_m2_day,
        )
    }

    /// The surface wave behind the ground temperatures in a weather file's header.
    ///
    /// These are means from the surface down to the stated depth, of [`DIFFUSIVITY_EPW_HEADER_M2_DAY`]. Returns
    /// nothing where there are no values or they fix no wave.
    pub fn fit_header(depths: &[HeaderGround]) -> Option<Self> {
        let unit = Self {
            mean_c: 0.0,
            amplitude_k: 1.0,
            coldest_day: 0.0,
            diffusivity_m2_day: DIFFUSIVITY_EPW_HEADER_M2_DAY,
        };
        let mut normal = [[0.0; 4]; 3];
        for depth in depths {
            let (share, lag) = mean_wave(unit.damping(depth.depth_m));
            for (day, &temp) in HEADER_DAYS.iter().zip(&depth.monthly_c) {
                let angle = WAVE_RAD_PER_DAY * day - lag;
                let row = [1.0, share * angle.cos(), share * angle.sin(), temp];
                for i in 0..3 {
                    for j in 0..4 {
                        normal[i][j] += row[i] * row[j];
                    }
                }
            }
        }
        let [mean_c, cosine, sine] = solve3(normal)?;
        Some(Self::from_wave(
            mean_c,
            cosine,
            sine,
            DIFFUSIVITY_EPW_HEADER_M2_DAY,
        ))
    }

    fn from_wave(mean_c: f64, cosine: f64, sine: f64, diffusivity_m2_day: f64) -> Self {
        // mean + cosine cos + sine sin = mean - amplitude cos(w (day - coldest))
        let coldest = (-sine).atan2(-cosine).rem_euclid(TAU);
        Self {
            mean_c,
            amplitude_k: cosine.hypot(sine),
            coldest_day: coldest / WAVE_RAD_PER_DAY,
            diffusivity_m2_day,
        }
    }

    /// Depth as a multiple of the damping depth.
    fn damping(&self, depth_m: f64) -> f64 {
        depth_m.max(0.0) * (WAVE_RAD_PER_DAY / (2.0 * self.diffusivity_m2_day)).sqrt()
    }
}

/// Twelve monthly ground temperatures from a weather file's header.
#[derive(Clone, Debug, PartialEq)]
pub struct HeaderGround {
    /// Depth that the file states, m. The values are means from the surface down to it.
    pub depth_m: f64,
    /// January to December, °C.
    pub monthly_c: [f64; 12],
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

/// Amplitude (as a share of the surface wave) and lag (rad) of the mean from the surface down to a depth.
fn mean_wave(damping: f64) -> (f64, f64) {
    /// Below this the closed form loses its digits; the mean is then the surface wave to 1e-6.
    const THIN: f64 = 1e-6;
    if damping < THIN {
        return (1.0, 0.0);
    }
    let decay = (-damping).exp();
    let share =
        ((decay * decay - 2.0 * decay * damping.cos() + 1.0) / (2.0 * damping * damping)).sqrt();
    let lag = (1.0 - decay * (damping.cos() + damping.sin()))
        .atan2(1.0 - decay * (damping.cos() - damping.sin()));
    (share, lag)
}

/// Solves three linear equations given as rows of coefficients and right side; nothing where they are singular.
fn solve3(mut rows: [[f64; 4]; 3]) -> Option<[f64; 3]> {
    for pivot in 0..3 {
        let best =
            (pivot..3).max_by(|&a, &b| rows[a][pivot].abs().total_cmp(&rows[b][pivot].abs()))?;
        rows.swap(pivot, best);
        if rows[pivot][pivot].abs() < 1e-9 {
            return None;
        }
        for row in 0..3 {
            if row != pivot {
                let factor = rows[row][pivot] / rows[pivot][pivot];
                let pivot_row = rows[pivot];
                for (value, above) in rows[row].iter_mut().zip(pivot_row) {
                    *value -= factor * above;
                }
            }
        }
    }
    Some([0, 1, 2].map(|i| rows[i][3] / rows[i][i]))
}

/// Day of the year (from 0.0) at the middle of an hour of the year (from 0).
pub fn day_of_hour(hour: usize) -> f64 {
    (hour as f64 + 0.5) / HOURS_PER_DAY as f64
}
