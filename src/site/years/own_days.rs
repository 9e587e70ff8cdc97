//! Hours of weather years from the days of a year of hourly weather.
//!
//! The process draws a day's mean temperature and clearness; the file's own day of the same season that is most
//! like it gives the course of the hours: temperature about its mean, passing clouds, wind, humidity, sky. Nearest
//! neighbours as in Rajagopalan & Lall (1999), *A k-nearest-neighbor simulator for daily precipitation and other
//! weather variables*, Water Resources Research 35:3089-3101 (from memory).

use super::daily::DrawnDay;
use crate::air::{STEFAN_BOLTZMANN_W_M2K4, kelvin};
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY, HOURS_PER_YEAR, month_of_day};
use crate::site::course::{PAD_DAYS, day_of_year};
use crate::site::interpolate::{months_to_days, within_day};
use crate::site::normals::Spread;
use crate::site::snow;
use crate::site::solar_frame::{Frame, LOWEST_SUN_COSINE, scale_to_day, split_beam_diffuse};
use crate::site::statistics::DayFigures;
use crate::site::typical::Figures;
use crate::site::weather::Weather;

/// Days to both sides of the season from which a day is taken (own assumption: enough to choose from, one season).
const SEASON_HALF_DAYS: usize = 25;
/// Neighbours among which chance chooses.
const NEIGHBOURS: usize = 3;
/// Standard normal below and above which the second and third neighbour are taken: thirds.
const THIRD: f64 = 0.43;
/// Hours on both sides of midnight over which two days are joined.
const JOINT_HOURS: usize = 7;
/// A step of temperature at midnight that is left as it is, K: what an hour may bring.
const NATURAL_STEP_K: f64 = 0.7;

/// A year of days to choose from.
#[derive(Clone, Debug)]
pub struct OwnDays {
    weather: Weather,
    anomaly_k: Vec<f64>,
    clearness: Vec<Option<f64>>,
    /// Hourly temperature about the day's own smooth course, K.
    course_k: Vec<f64>,
    temp_sd_k: [f64; 12],
    clearness_sd: [f64; 12],
}

impl OwnDays {
    /// Learns the days of a year; it must have 8760 hours.
    pub fn new(frame: &Frame, figures: &Figures, spread: &Spread, weather: &Weather) -> Self {
        let days = DayFigures::new(frame, weather);
        let season = months_to_days(&figures.temp_mean_c);
        let means = &days.temp_mean_c;
        let mut course_k = Vec::with_capacity(HOURS_PER_YEAR);
        for day in 0..DAYS_PER_YEAR {
            let smooth = within_day(std::array::from_fn(|at| {
                means[(day + DAYS_PER_YEAR + at - 2) % DAYS_PER_YEAR]
            }));
            for clock in 0..HOURS_PER_DAY {
                let (from, to) = (clock as f64 / 24.0, (clock + 1) as f64 / 24.0);
                course_k.push(
                    weather.temp_air_c[day * HOURS_PER_DAY + clock] - smooth.mean_between(from, to),
                );
            }
        }
        Self {
            weather: weather.clone(),
            anomaly_k: means
                .iter()
                .zip(&season)
                .map(|(mean, season)| mean - season)
                .collect(),
            clearness: days.clearness,
            course_k,
            temp_sd_k: spread.temp_daily_sd_k.map(|sd| sd.max(0.5)),
            clearness_sd: spread.clearness_daily_sd.map(|sd| sd.max(0.02)),
        }
    }

    /// The file's day that gives the hours of a drawn day.
    fn choose(&self, day: usize, drawn: &DrawnDay) -> usize {
        let month = month_of_day(day);
        let mut nearest = [(f64::MAX, day); NEIGHBOURS];
        for step in 0..=2 * SEASON_HALF_DAYS {
            let other = (day + DAYS_PER_YEAR + step - SEASON_HALF_DAYS) % DAYS_PER_YEAR;
            let temp = (self.anomaly_k[other] - drawn.anomaly_k) / self.temp_sd_k[month];
            let clear = self.clearness[other].map_or(0.0, |clearness| {
                (clearness - drawn.clearness) / self.clearness_sd[month]
            });
            let mut found = (temp * temp + clear * clear, other);
            for place in &mut nearest {
                if found.0 < place.0 {
                    std::mem::swap(&mut found, place);
                }
            }
        }
        let [first, second, third] = nearest;
        if drawn.swing < -THIRD {
            second.1
        } else if drawn.swing > THIRD {
            third.1
        } else {
            first.1
        }
    }

    /// The hours of one year; `days` with their padding, `cover` the 365 days' snow.
    pub fn hours(&self, frame: &Frame, days: &[DrawnDay], cover: &[f64]) -> Weather {
        let chosen: Vec<usize> = days
            .iter()
            .enumerate()
            .map(|(at, drawn)| self.choose(day_of_year(at), drawn))
            .collect();
        let mut year = Weather::with_capacity(HOURS_PER_YEAR);
        year.temp_air_c = self.temps_c(days, &chosen);
        for day in 0..DAYS_PER_YEAR {
            let own = chosen[day + PAD_DAYS];
            self.day_sunlight(frame, day, own, days[day + PAD_DAYS].clearness, &mut year);
            for clock in 0..HOURS_PER_DAY {
                let from = own * HOURS_PER_DAY + clock;
                let weather = &self.weather;
                let warmth = kelvin(year.temp_air_c[day * HOURS_PER_DAY + clock])
                    / kelvin(weather.temp_air_c[from]);
                year.relative_humidity_pct
                    .push(weather.relative_humidity_pct[from]);
                year.wind_m_s.push(weather.wind_m_s[from]);
                // The same sky over warmer or colder air.
                let black = STEFAN_BOLTZMANN_W_M2K4 * kelvin(weather.temp_air_c[from]).powi(4);
                let sky = weather.sky_long_wave_w_m2[from].min(black);
                year.sky_long_wave_w_m2.push(sky * warmth.powi(4));
                year.pressure_pa.push(weather.pressure_pa[from]);
                year.ground_reflectance.push(snow::reflectance(cover[day]));
                let snows = year.temp_air_c[day * HOURS_PER_DAY + clock] < snow::SNOW_BELOW_C;
                year.snowfall_mm.push(if snows {
                    weather.snowfall_mm[from]
                } else {
                    0.0
                });
            }
        }
        year
    }

    /// Hourly temperature: the drawn days' smooth course and the chosen days' swing about it, joined at midnight.
    fn temps_c(&self, days: &[DrawnDay], chosen: &[usize]) -> Vec<f64> {
        let mut swing: Vec<f64> = chosen
            .iter()
            .flat_map(|&own| &self.course_k[own * HOURS_PER_DAY..(own + 1) * HOURS_PER_DAY])
            .copied()
            .collect();
        for day in 1..chosen.len() {
            let midnight = day * HOURS_PER_DAY;
            let step = swing[midnight] - swing[midnight - 1];
            let half = (step - step.clamp(-NATURAL_STEP_K, NATURAL_STEP_K)) / 2.0;
            for hour in 0..JOINT_HOURS {
                let share = 1.0 - hour as f64 / JOINT_HOURS as f64;
                swing[midnight - 1 - hour] += half * share;
                swing[midnight + hour] -= half * share;
            }
        }
        let gap = |at: usize| {
            let hours = &swing[at * HOURS_PER_DAY..(at + 1) * HOURS_PER_DAY];
            days[at].temp_c - hours.iter().sum::<f64>() / HOURS_PER_DAY as f64
        };
        let mut temps = Vec::with_capacity(HOURS_PER_YEAR);
        for at in PAD_DAYS..PAD_DAYS + DAYS_PER_YEAR {
            let smooth = within_day([gap(at - 2), gap(at - 1), gap(at), gap(at + 1), gap(at + 2)]);
            for clock in 0..HOURS_PER_DAY {
                let (from, to) = (clock as f64 / 24.0, (clock + 1) as f64 / 24.0);
                temps.push(swing[at * HOURS_PER_DAY + clock] + smooth.mean_between(from, to));
            }
        }
        temps
    }

    /// Adds a day's sun: the chosen day's passing clouds under the drawn day's clearness.
    fn day_sunlight(
        &self,
        frame: &Frame,
        day: usize,
        own: usize,
        clearness: f64,
        year: &mut Weather,
    ) {
        let here = day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY;
        let there = own * HOURS_PER_DAY..(own + 1) * HOURS_PER_DAY;
        let outside = &frame.outside_w_m2[here.clone()];
        let own_outside = &frame.outside_w_m2[there.clone()];
        let own_ghi = &self.weather.ghi_w_m2[there.clone()];
        let own_dhi = &self.weather.dhi_w_m2[there];
        let mut ghi = [0.0; HOURS_PER_DAY];
        for hour in 0..HOURS_PER_DAY {
            let through = if own_outside[hour] > 0.0 {
                (own_ghi[hour] / own_outside[hour]).min(1.0)
            } else {
                clearness
            };
            ghi[hour] = through * outside[hour];
        }
        scale_to_day(
            &mut ghi,
            outside,
            clearness * frame.outside_day_wh_m2[day],
            clearness,
        );
        for (hour, &global) in ghi.iter().enumerate() {
            let sun = &frame.sun.hours[here.start + hour];
            let (beam, diffuse) = if own_ghi[hour] > 0.0 && sun.cos_zenith > LOWEST_SUN_COSINE {
                let share = (own_dhi[hour] / own_ghi[hour]).clamp(0.0, 1.0);
                (global * (1.0 - share) / sun.cos_zenith, global * share)
            } else {
                split_beam_diffuse(sun, outside[hour], global)
            };
            year.dni_w_m2.push(beam);
            year.dhi_w_m2.push(diffuse);
        }
        year.ghi_w_m2.extend_from_slice(&ghi);
    }
}
