//! The hourly table put together from days: humidity, wind, sunlight, sky and ground.

use super::course::{PAD_DAYS, day_of_year};
use super::snow;
use super::solar_frame::{Frame, cloud_share, day_ghi_w_m2, split_beam_diffuse};
use super::weather::{Weather, daily_means};
use crate::air;
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY, HOURS_PER_YEAR};

/// What a day has besides its temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SkyDay {
    /// Global horizontal radiation over that outside the atmosphere, 0 to 1.
    pub clearness: f64,
    /// Vapour pressure of the day, kPa; it persists through the hours.
    pub vapour_kpa: f64,
    /// Mean wind speed, m/s.
    pub wind_m_s: f64,
}

/// Wind blows more by day: half of the daily swing as a share of the day's mean (own figure, from the hours of 12
/// open weather files, rounded).
const WIND_DAILY_SWING: f64 = 0.2;

/// Puts the hourly table together. `temps_c` are the 8760 hours; `days` the 365 days with [`PAD_DAYS`] before and
/// after; `cover` the share of white ground, 365 days; `unrest` the hours' factors on clearness, 8760, if any.
pub fn assemble(
    frame: &Frame,
    temps_c: Vec<f64>,
    days: &[SkyDay],
    cover: &[f64],
    unrest: Option<&[[f64; HOURS_PER_DAY]]>,
) -> Weather {
    let mut ghi = Vec::with_capacity(HOURS_PER_YEAR);
    for day in 0..DAYS_PER_YEAR {
        let factors = unrest.and_then(|all| all.get(day));
        let clearness = days[day + PAD_DAYS].clearness;
        day_ghi_w_m2(frame, day, clearness, factors, &mut ghi);
    }
    let by_day = |of: &dyn Fn(&SkyDay) -> f64| days.iter().map(of).collect::<Vec<f64>>();
    let clouds = by_day(&|day| cloud_share(day.clearness, frame.clear_sky_clearness));
    let dew_points = by_day(&|day| air::dew_point_c(day.vapour_kpa));
    let winds = by_day(&|day| day.wind_m_s);
    let mut weather = Weather::with_capacity(HOURS_PER_YEAR);
    let means = daily_means(&temps_c);
    for hour in 0..HOURS_PER_YEAR {
        let at = Moment::of(hour);
        let temp = temps_c[hour];
        let dew = at.between(&dew_points).min(temp);
        let (beam, diffuse) =
            split_beam_diffuse(&frame.sun.hours[hour], frame.outside_w_m2[hour], ghi[hour]);
        let noon = frame.warmest_h[at.day];
        let daily =
            1.0 + WIND_DAILY_SWING * ((at.clock_h - noon) * std::f64::consts::TAU / 24.0).cos();
        weather.relative_humidity_pct.push(humidity_pct(temp, dew));
        weather.wind_m_s.push(at.between(&winds) * daily);
        weather.dni_w_m2.push(beam);
        weather.dhi_w_m2.push(diffuse);
        weather
            .sky_long_wave_w_m2
            .push(air::sky_long_wave_w_m2(temp, dew, at.between(&clouds)));
        weather.pressure_pa.push(frame.pressure_pa);
        weather
            .ground_reflectance
            .push(snow::reflectance(cover[at.day]));
        let sunlit = frame.outside_day_wh_m2[at.day] > 0.0;
        let clearness = sunlit.then(|| days[at.day + PAD_DAYS].clearness);
        weather
            .snowfall_mm
            .push(snow::likely_mm_h(means[at.day], clearness));
    }
    weather.temp_air_c = temps_c;
    weather.ghi_w_m2 = ghi;
    weather
}

/// Relative humidity over water, %, of air at a temperature with a dew point (°C).
pub fn humidity_pct(temp_c: f64, dew_c: f64) -> f64 {
    let vapour = air::saturation_vapour_pressure_kpa(dew_c);
    (100.0 * vapour / air::saturation_vapour_pressure_kpa(temp_c)).clamp(0.0, 100.0)
}

/// An hour between the noons of two days.
struct Moment {
    /// Day of the year.
    day: usize,
    /// Clock at the middle of the hour.
    clock_h: f64,
    /// Padded index of the day whose noon came last.
    before: usize,
    /// How far on to the next noon, 0 to 1.
    share: f64,
}

impl Moment {
    fn of(hour: usize) -> Self {
        let (day, clock) = (hour / HOURS_PER_DAY, hour % HOURS_PER_DAY);
        let clock_h = clock as f64 + 0.5;
        let since_noon = clock_h - 12.0;
        let (before, share) = if since_noon < 0.0 {
            (day + PAD_DAYS - 1, (since_noon + 24.0) / 24.0)
        } else {
            (day + PAD_DAYS, since_noon / 24.0)
        };
        Self {
            day,
            clock_h,
            before,
            share,
        }
    }

    fn between(&self, daily: &[f64]) -> f64 {
        daily[self.before] * (1.0 - self.share) + daily[self.before + 1] * self.share
    }
}

/// A yearly series of days, with [`PAD_DAYS`] of its own other end put before and after.
pub fn pad<T: Copy>(days: &[T]) -> Vec<T> {
    (0..days.len() + 2 * PAD_DAYS)
        .map(|padded| days[day_of_year(padded)])
        .collect()
}
