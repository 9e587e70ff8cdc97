//! Hours of weather years from monthly normals alone.

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

use super::daily::{Chance, DrawnDay, Laws, lognormal_factor};
use crate::air;
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY};
use crate::site::course::{PAD_DAYS, Swing, TempDay, day_of_year, hourly_temp_c};
use crate::site::hours::{SkyDay, assemble, humidity_pct};
use crate::site::interpolate::months_to_days;
use crate::site::normals::Monthly;
use crate::site::solar_frame::Frame;
use crate::site::statistics::month_mean;
use crate::site::typical::{Figures, LEAST_K, monthly_extremes};
use crate::site::weather::{Weather, daily_means};

/// Years of the pilot that adjusts daily extremes and humidity.
const PILOT_YEARS: usize = 8;
/// Rounds of that adjustment.
const ROUNDS: usize = 4;
/// Seed of the pilot; the person's seed does not enter.
const PILOT_SEED: u64 = 0x5EED_0F00_40A5;

/// Spread of the daily mean wind over its season's mean (own figure, from 12 open weather files, rounded).
const WIND_CV: f64 = 0.38;
/// Spread of the daily humidity, in logits (own figure, as above).
const HUMIDITY_SPREAD: f64 = 0.5;
/// Share of that which follows clearness, dry when clear (own figure, as above).
const HUMIDITY_CLEAR: f64 = 0.55;

/// What hours are made with, besides the days drawn.
#[derive(Clone, Debug)]
pub struct HourLaws {
    swing: Swing,
    humidity_logit: Vec<f64>,
    wind_m_s: Vec<f64>,
}

impl HourLaws {
    /// Adjusts daily extremes and humidity until a pilot's months give back the normals.
    pub fn new(frame: &Frame, figures: &Figures, laws: &Laws) -> Self {
        let (goal_above, goal_below) = figures.swings_k();
        let (mut above, mut below) = (goal_above, goal_below);
        let mut humidity = figures.relative_humidity_pct;
        let mut made = Self::of(frame, figures, &above, &below, &humidity);
        let pilots = pilot_days(laws);
        for _round in 0..ROUNDS {
            let seen = Seen::of(frame, laws, &made, &pilots);
            for month in 0..12 {
                above[month] =
                    (above[month] + goal_above[month] - seen.above_k[month]).max(LEAST_K);
                below[month] =
                    (below[month] + goal_below[month] - seen.below_k[month]).max(LEAST_K);
                humidity[month] = (humidity[month] + figures.relative_humidity_pct[month]
                    - seen.humidity_pct[month])
                    .clamp(2.0, 99.5);
            }
            made = Self::of(frame, figures, &above, &below, &humidity);
        }
        made
    }

    fn of(
        frame: &Frame,
        figures: &Figures,
        above: &Monthly,
        below: &Monthly,
        humidity: &Monthly,
    ) -> Self {
        Self {
            swing: Swing::new(frame, above, below),
            humidity_logit: months_to_days(&humidity.map(|value| {
                let share = (value / 100.0).clamp(0.02, 0.995);
                (share / (1.0 - share)).ln()
            })),
            wind_m_s: months_to_days(&figures.wind_m_s),
        }
    }

    fn temps_c(&self, frame: &Frame, laws: &Laws, days: &[DrawnDay]) -> Vec<f64> {
        let factor =
            |at: usize| lognormal_factor(laws.days[day_of_year(at)].range_cv, days[at].swing);
        let days: Vec<TempDay> = (0..days.len())
            .map(|at| {
                let today = factor(at);
                TempDay {
                    mean_c: days[at].temp_c,
                    day_factor: today,
                    // The night before is as clear as the days on both its sides.
                    night_factor: (today + factor(at.saturating_sub(1))) / 2.0,
                }
            })
            .collect();
        hourly_temp_c(frame, &self.swing, &days)
    }

    fn vapour_kpa(&self, day: usize, drawn: &DrawnDay) -> f64 {
        let rest = (1.0 - HUMIDITY_CLEAR * HUMIDITY_CLEAR).sqrt();
        let logit = self.humidity_logit[day]
            + HUMIDITY_SPREAD * (rest * drawn.humidity - HUMIDITY_CLEAR * drawn.clear);
        air::saturation_vapour_pressure_kpa(drawn.temp_c) / (1.0 + (-logit).exp())
    }

    /// The hours of one year; `days` with their padding, `cover` the 365 days' snow.
    pub fn hours(
        &self,
        frame: &Frame,
        laws: &Laws,
        days: &[DrawnDay],
        cover: &[f64],
        rng: &mut ChaCha8Rng,
    ) -> Weather {
        let temps = self.temps_c(frame, laws, days);
        let sky: Vec<SkyDay> = days
            .iter()
            .enumerate()
            .map(|(at, drawn)| {
                let day = day_of_year(at);
                SkyDay {
                    clearness: drawn.clearness,
                    vapour_kpa: self.vapour_kpa(day, drawn),
                    wind_m_s: self.wind_m_s[day].max(0.0) * lognormal_factor(WIND_CV, drawn.wind),
                }
            })
            .collect();
        let unrest: Vec<[f64; HOURS_PER_DAY]> = (0..DAYS_PER_YEAR)
            .map(|day| unrest(frame, day, days[day + PAD_DAYS].clearness, rng))
            .collect();
        assemble(frame, temps, &sky, cover, Some(&unrest))
    }
}

/// What a pilot's months show.
#[derive(Default)]
struct Seen {
    above_k: Monthly,
    below_k: Monthly,
    humidity_pct: Monthly,
}

impl Seen {
    fn of(frame: &Frame, laws: &Laws, made: &HourLaws, pilots: &[Vec<DrawnDay>]) -> Self {
        let share = 1.0 / pilots.len() as f64;
        let mut seen = Self::default();
        for days in pilots {
            let temps = made.temps_c(frame, laws, days);
            let (highest, lowest) = monthly_extremes(&temps);
            let means = daily_means(&temps);
            let humidity: Vec<f64> = (0..DAYS_PER_YEAR)
                .map(|day| {
                    let vapour = made.vapour_kpa(day, &days[day + PAD_DAYS]);
                    let dew = air::dew_point_c(vapour);
                    let hours = &temps[day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY];
                    // Every third hour tells the day's mean well enough.
                    let some = hours.iter().step_by(3);
                    let count = some.len() as f64;
                    some.map(|&temp| humidity_pct(temp, dew)).sum::<f64>() / count
                })
                .collect();
            for month in 0..12 {
                let mean = month_mean(&means, month);
                seen.above_k[month] += share * (highest[month] - mean);
                seen.below_k[month] += share * (mean - lowest[month]);
                seen.humidity_pct[month] += share * month_mean(&humidity, month);
            }
        }
        seen
    }
}

/// The pilot's years; every second one is the mirror of the one before, so that their means carry no chance.
fn pilot_days(laws: &Laws) -> Vec<Vec<DrawnDay>> {
    let mut rng = ChaCha8Rng::seed_from_u64(PILOT_SEED);
    (0..PILOT_YEARS / 2)
        .flat_map(|_| {
            let chances = Chance::draw_days(DAYS_PER_YEAR + 2 * PAD_DAYS, &mut rng);
            chances.map(|chances| laws.run_padded(&chances))
        })
        .collect()
}

/// How clouds pass: factors on the clearness of a day's hours.
///
/// # Source
/// Aguiar & Collares-Pereira (1992), *TAG: a time-dependent, autoregressive, Gaussian model for generating
/// synthetic hourly radiation*, Solar Energy 49:167-174 (coefficients from memory).
fn unrest(frame: &Frame, day: usize, clearness: f64, rng: &mut ChaCha8Rng) -> [f64; HOURS_PER_DAY] {
    /// Factors stay inside these.
    const BOUNDS: (f64, f64) = (0.05, 3.0);
    let amplitude = 0.14 * (-20.0 * (clearness - 0.35).powi(2)).exp();
    let steepness = 3.0 * (clearness - 0.45).powi(2) + 16.0 * clearness.powi(5);
    let memory = 0.38 + 0.06 * (7.4 * clearness - 2.5).cos();
    let fresh = (1.0 - memory * memory).sqrt();
    let mut passing = 0.0;
    let mut factors = [1.0; HOURS_PER_DAY];
    for (clock, factor) in factors.iter_mut().enumerate() {
        let sun = &frame.sun.hours[day * HOURS_PER_DAY + clock];
        if sun.up_share > 0.0 {
            passing = memory * passing + fresh * rng.sample::<f64, _>(StandardNormal);
            let spread = amplitude * (steepness * (1.0 - sun.cos_zenith)).exp();
            *factor = (1.0 + spread / clearness.max(0.05) * passing).clamp(BOUNDS.0, BOUNDS.1);
        }
    }
    factors
}
