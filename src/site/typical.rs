//! A typical year: normals spread over days and hours, without chance.

use super::course::{Swing, TempDay, hourly_temp_c};
use super::hours::{SkyDay, assemble, humidity_pct, pad};
use super::interpolate::months_to_days;
use super::normals::{Monthly, Normals};
use super::snow;
use super::solar_frame::Frame;
use super::statistics::{days_of_month, month_mean};
use super::weather::{Weather, daily_means};
use crate::air;
use crate::calendar::{DAYS_IN_MONTH, DAYS_PER_YEAR, HOURS_PER_DAY, month_of_day};
use crate::numbers;

/// Rounds in which hourly values are drawn to the monthly figures.
const ROUNDS: usize = 8;

/// The typical year of a place, from its monthly normals.
///
/// Monthly means of the daily maxima, minima, of global radiation and humidity come back. `year` fixes the sun's
/// course only. Normals that lack columns are to be completed first ([`Normals::complete`]); a missing wind or
/// humidity counts as the stated default.
pub fn typical_year(normals: &Normals, year: i32) -> Weather {
    let frame = Frame::new(&normals.place, year);
    let figures = Figures::new(normals, &frame);
    let means = months_to_days(&figures.temp_mean_c);
    let temps = typical_temps(&frame, &figures, &means);
    let clearness = daily_clearness(&frame, &figures.clearness);
    let vapour = daily_vapour_kpa(&figures.relative_humidity_pct, &means, &temps);
    let wind = months_to_days(&figures.wind_m_s);
    let days: Vec<SkyDay> = (0..DAYS_PER_YEAR)
        .map(|day| SkyDay {
            clearness: clearness[day],
            vapour_kpa: vapour[day],
            wind_m_s: wind[day].max(0.0),
        })
        .collect();
    let cover = snow::daily_cover(&means);
    assemble(&frame, temps, &pad(&days), &cover, None)
}

/// Monthly figures as the generators need them: every column there, sun as clearness.
#[derive(Clone, Debug)]
pub(super) struct Figures {
    pub temp_mean_c: Monthly,
    pub temp_max_c: Monthly,
    pub temp_min_c: Monthly,
    /// Monthly sum over that outside the atmosphere; [`NO_SUN_CLEARNESS`] in a month without sun.
    pub clearness: Monthly,
    pub wind_m_s: Monthly,
    pub relative_humidity_pct: Monthly,
}

/// Wind where nothing is known, m/s (own assumption; open country).
pub(super) const DEFAULT_WIND_M_S: f64 = 3.0;
/// Humidity where nothing is known, % (own assumption).
pub(super) const DEFAULT_HUMIDITY_PCT: f64 = 70.0;
/// Clearness where there is no sun to tell it: half a cloudy sky (own assumption).
const NO_SUN_CLEARNESS: f64 = 0.4;
/// Largest monthly clearness: what a year of cloudless days at height would have.
const CLEAREST_MONTH: f64 = 0.82;
/// A month's extremes stay at least this far from its mean, K.
pub(super) const LEAST_K: f64 = 0.05;
/// Days with less sun than this outside the atmosphere fix no clearness, Wh/m2.
const LEAST_OUTSIDE_WH_M2: f64 = 10.0;

impl Figures {
    pub fn new(normals: &Normals, frame: &Frame) -> Self {
        let mut clearness = [NO_SUN_CLEARNESS; 12];
        for month in 0..12 {
            let outside = month_mean(&frame.outside_day_wh_m2, month);
            if outside > LEAST_OUTSIDE_WH_M2 {
                clearness[month] = if let Some(ghi) = normals.ghi_kwh_m2_day {
                    ghi[month] * 1000.0 / outside
                } else if let Some(hours) = normals.sun_hours_day {
                    let day_h = month_mean(&frame.sun.day_length_h, month).max(0.1);
                    angstrom_prescott_clearness(hours[month] / day_h)
                } else {
                    NO_SUN_CLEARNESS
                }
                .clamp(0.0, CLEAREST_MONTH);
            }
        }
        Self {
            temp_mean_c: normals.monthly_mean_c(),
            temp_max_c: normals.temp_max_c,
            temp_min_c: normals.temp_min_c,
            clearness,
            wind_m_s: normals.wind_m_s.unwrap_or([DEFAULT_WIND_M_S; 12]),
            relative_humidity_pct: normals
                .relative_humidity_pct
                .unwrap_or([DEFAULT_HUMIDITY_PCT; 12]),
        }
    }

    /// How far each month's extremes stand above and below its mean, K.
    pub fn swings_k(&self) -> (Monthly, Monthly) {
        let apart = |high: &Monthly, low: &Monthly| {
            std::array::from_fn(|month| (high[month] - low[month]).max(LEAST_K))
        };
        (
            apart(&self.temp_max_c, &self.temp_mean_c),
            apart(&self.temp_mean_c, &self.temp_min_c),
        )
    }
}

/// Clearness index from the share of possible bright sunshine (0 to 1).
///
/// # Source
/// Angstrom-Prescott formula with a = 0.25, b = 0.50: FAO-56 (Allen et al. 1998), eq. 35.
pub fn angstrom_prescott_clearness(sunshine_share: f64) -> f64 {
    0.25 + 0.50 * sunshine_share.clamp(0.0, 1.0)
}

/// Monthly mean of the daily largest and smallest hour.
pub(super) fn monthly_extremes(hourly: &[f64]) -> (Monthly, Monthly) {
    let (mut highest, mut lowest) = ([0.0; 12], [0.0; 12]);
    for (day, hours) in hourly.chunks_exact(HOURS_PER_DAY).enumerate() {
        let month = month_of_day(day);
        let share = 1.0 / DAYS_IN_MONTH[month] as f64;
        highest[month] += share * numbers::highest(hours);
        lowest[month] += share * numbers::lowest(hours);
    }
    (highest, lowest)
}

fn typical_temps(frame: &Frame, figures: &Figures, means: &[f64]) -> Vec<f64> {
    let days: Vec<TempDay> = means
        .iter()
        .map(|&mean_c| TempDay {
            mean_c,
            day_factor: 1.0,
            night_factor: 1.0,
        })
        .collect();
    let days = pad(&days);
    let (mut above, mut below) = figures.swings_k();
    let mut temps = hourly_temp_c(frame, &Swing::new(frame, &above, &below), &days);
    for _round in 0..ROUNDS {
        let (highest, lowest) = monthly_extremes(&temps);
        for month in 0..12 {
            above[month] = (above[month] + figures.temp_max_c[month] - highest[month]).max(LEAST_K);
            below[month] = (below[month] + lowest[month] - figures.temp_min_c[month]).max(LEAST_K);
        }
        temps = hourly_temp_c(frame, &Swing::new(frame, &above, &below), &days);
    }
    temps
}

/// Daily clearness whose sun gives each month's sum.
pub(super) fn daily_clearness(frame: &Frame, monthly: &Monthly) -> Vec<f64> {
    let mut knots = *monthly;
    let mut daily = months_to_days(&knots);
    for _round in 0..ROUNDS {
        for month in 0..12 {
            let days = days_of_month(month);
            let outside: f64 = frame.outside_day_wh_m2[days.clone()].iter().sum();
            let got: f64 = days
                .map(|day| daily[day] * frame.outside_day_wh_m2[day])
                .sum();
            if outside > LEAST_OUTSIDE_WH_M2 {
                knots[month] += monthly[month] - got / outside;
            }
        }
        daily = months_to_days(&knots)
            .into_iter()
            .map(|clearness| clearness.clamp(0.0, CLEAREST_MONTH))
            .collect();
    }
    daily
}

/// Daily vapour pressure, kPa, such that the hours' mean humidity is each month's.
fn daily_vapour_kpa(humidity_pct_by_month: &Monthly, means: &[f64], temps: &[f64]) -> Vec<f64> {
    let mut knots = *humidity_pct_by_month;
    let mut vapour = vapour_of_days(&knots, means);
    for _round in 0..ROUNDS {
        let hourly: Vec<f64> = temps
            .iter()
            .enumerate()
            .map(|(hour, &temp)| humidity_pct(temp, air::dew_point_c(vapour[hour / HOURS_PER_DAY])))
            .collect();
        let daily = daily_means(&hourly);
        for month in 0..12 {
            let missing = humidity_pct_by_month[month] - month_mean(&daily, month);
            knots[month] = (knots[month] + missing).clamp(1.0, 110.0);
        }
        vapour = vapour_of_days(&knots, means);
    }
    vapour
}

fn vapour_of_days(humidity_pct_by_month: &Monthly, means: &[f64]) -> Vec<f64> {
    /// Driest day, % (own assumption).
    const DRIEST_PCT: f64 = 1.0;
    months_to_days(humidity_pct_by_month)
        .into_iter()
        .zip(means)
        .map(|(humidity, &mean)| {
            air::saturation_vapour_pressure_kpa(mean) * humidity.max(DRIEST_PCT) / 100.0
        })
        .collect()
}
