//! The days of weather years: a small stochastic process, continuous from year to year.
//!
//! Temperature and clearness are autoregressive with correlated innovations, after Richardson (1981), *Stochastic
//! simulation of daily precipitation, temperature, and solar radiation*, Water Resources Research 17:182-190; with
//! clearness mapped from a Gaussian to a bounded, skewed distribution as in Graham, Hollands & Huget (1988), *A
//! time-series model for Kt*, Solar Energy 40:83-92 (both from memory).

use rand::RngExt;
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

use crate::calendar::DAYS_PER_YEAR;
use crate::site::course::day_of_year;

/// Days over which the running mean forgets that takes the slow part out of a stubborn month.
const FORGET_DAYS: f64 = 20.0;
/// Days over which the difference between one winter and another lasts (own assumption: about a season).
const SEASON_DAYS: f64 = 60.0;
/// Correlation of neighbouring days' wind (own figure, from the days of 12 open weather files, rounded).
const WIND_LAG1: f64 = 0.35;
/// Correlation of neighbouring days' humidity beyond what clearness explains (own figure, as above).
const HUMIDITY_LAG1: f64 = 0.5;

/// What governs the process on one day of the year.
#[derive(Clone, Copy, Debug)]
pub struct DayLaw {
    /// Seasonal mean temperature, °C.
    pub temp_c: f64,
    /// Scale of the temperature anomaly, K.
    pub temp_scale_k: f64,
    /// Autoregression of the temperature.
    pub temp_memory: f64,
    /// How much of yesterday's anomaly is mixed into today's, 0 to 1: brings neighbouring days together where
    /// memory alone would make whole months drift.
    pub temp_mix: f64,
    /// Share of its own running mean that is taken out of the anomaly, 0 to 1.
    pub temp_forget: f64,
    /// Scale of the slow anomaly that makes winters differ, K.
    pub season_scale_k: f64,
    /// What the bounds on cold and warm days add to the mean, taken back, K.
    pub temp_lift_k: f64,
    /// Distance from the season's mean down to the coldest day that can be, K, above 0.
    pub cold_room_k: f64,
    /// Distance from the season's mean up to the warmest day that can be, K, above 0.
    pub warm_room_k: f64,
    /// Correlation of the day's wind with its temperature anomaly.
    pub wind_temp: f64,
    /// Autoregression of clearness.
    pub clear_memory: f64,
    /// Correlation of the innovations of temperature and clearness.
    pub joint: f64,
    /// Centre of the clearness in logits.
    pub clear_centre: f64,
    /// Scale of the clearness in logits.
    pub clear_scale: f64,
    /// Correlation of the daily range with clearness.
    pub range_clear: f64,
    /// Standard deviation of the daily range over its mean.
    pub range_cv: f64,
}

/// The chances of one day, all standard normal: temperature, clearness, season, range, humidity, wind.
#[derive(Clone, Copy, Debug, Default)]
pub struct Chance([f64; 6]);

impl Chance {
    /// Draws them.
    pub fn draw(rng: &mut ChaCha8Rng) -> Self {
        Self(std::array::from_fn(|_| rng.sample(StandardNormal)))
    }

    /// Those of so many days, and the opposite ones.
    pub fn draw_days(count: usize, rng: &mut ChaCha8Rng) -> [Vec<Self>; 2] {
        let plain: Vec<Self> = (0..count).map(|_| Self::draw(rng)).collect();
        let opposite = |chance: &Self| Self(chance.0.map(|normal| -normal));
        let mirrored = plain.iter().map(opposite).collect();
        [plain, mirrored]
    }
}

/// Where the process stands.
#[derive(Clone, Copy, Debug, Default)]
pub struct State {
    temp: f64,
    temp_mixed: f64,
    temp_mean: f64,
    season: f64,
    clear: f64,
    humidity: f64,
    wind: f64,
}

/// A day drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct DrawnDay {
    /// Mean temperature, °C.
    pub temp_c: f64,
    /// Its departure from the season, K.
    pub anomaly_k: f64,
    /// Clearness index.
    pub clearness: f64,
    /// Clearness as a standard normal.
    pub clear: f64,
    /// Daily range of temperature against its season, standard normal.
    pub swing: f64,
    /// Humidity against its season, standard normal.
    pub humidity: f64,
    /// Wind against its season, standard normal.
    pub wind: f64,
}

/// Lower and upper bound of the daily clearness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClearBounds {
    /// Darkest day.
    pub low: f64,
    /// Clearest day.
    pub high: f64,
}

impl ClearBounds {
    /// Clearness at a logit.
    pub fn at(&self, logit: f64) -> f64 {
        self.low + (self.high - self.low) / (1.0 + (-logit).exp())
    }

    /// How clearness grows with its logit near a mean.
    pub fn slope(&self, mean: f64) -> f64 {
        let span = self.high - self.low;
        let share = ((mean - self.low) / span).clamp(0.05, 0.95);
        span * share * (1.0 - share)
    }

    /// The inverse of [`Self::at`]; values at the bounds are taken a little inside.
    pub fn logit(&self, clearness: f64) -> f64 {
        let share = ((clearness - self.low) / (self.high - self.low)).clamp(0.01, 0.99);
        (share / (1.0 - share)).ln()
    }
}

impl State {
    /// Goes on by a day.
    pub fn step(&mut self, law: &DayLaw, bounds: ClearBounds, chance: &Chance) -> DrawnDay {
        let [temp, clear, season, range, humidity, wind] = chance.0;
        let fresh = |memory: f64| (1.0 - memory * memory).sqrt();
        let joint_rest = (1.0 - law.joint * law.joint).sqrt();
        let clear_chance = law.joint * temp + joint_rest * clear;
        self.temp = law.temp_memory * self.temp + fresh(law.temp_memory) * temp;
        self.temp_mixed = law.temp_mix * self.temp_mixed + (1.0 - law.temp_mix) * self.temp;
        self.temp_mean += (self.temp_mixed - self.temp_mean) / FORGET_DAYS;
        let season_memory = 1.0 - 1.0 / SEASON_DAYS;
        self.season = season_memory * self.season + fresh(season_memory) * season;
        self.clear = law.clear_memory * self.clear + fresh(law.clear_memory) * clear_chance;
        self.humidity = HUMIDITY_LAG1 * self.humidity + fresh(HUMIDITY_LAG1) * humidity;
        self.wind = WIND_LAG1 * self.wind + fresh(WIND_LAG1) * wind;

        let free_k = law.temp_scale_k * (self.temp_mixed - law.temp_forget * self.temp_mean)
            + law.season_scale_k * self.season;
        let anomaly_k = bounded(free_k, law.cold_room_k, law.warm_room_k) + law.temp_lift_k;
        let range_rest = (1.0 - law.range_clear * law.range_clear).sqrt();
        let swing = law.range_clear * self.clear + range_rest * range;
        DrawnDay {
            temp_c: law.temp_c + anomaly_k,
            anomaly_k,
            clearness: bounds.at(law.clear_centre + law.clear_scale * self.clear),
            clear: self.clear,
            swing,
            humidity: self.humidity,
            wind: law.wind_temp * self.temp
                + (1.0 - law.wind_temp * law.wind_temp).sqrt() * self.wind,
        }
    }
}

/// An anomaly bent so that it stays within the room there is on its side; small ones stay as they are.
///
/// Polar air over snow cools until its heat rays balance those of the sky: cold days are bounded, and a Gaussian
/// with the spread of a cold month is not.
fn bounded(anomaly_k: f64, cold_room_k: f64, warm_room_k: f64) -> f64 {
    let room_k = if anomaly_k < 0.0 {
        cold_room_k
    } else {
        warm_room_k
    };
    anomaly_k / (1.0 + (anomaly_k / room_k).powi(2)).sqrt()
}

/// A positive factor of mean 1 with a coefficient of variation, from a standard normal: log-normal.
pub fn lognormal_factor(cv: f64, normal: f64) -> f64 {
    let scale = (1.0 + cv * cv).ln().sqrt();
    (scale * normal - scale * scale / 2.0).exp()
}

/// The laws of the 365 days.
#[derive(Clone, Debug)]
pub struct Laws {
    /// One for each day.
    pub days: Vec<DayLaw>,
    /// Bounds of the daily clearness.
    pub bounds: ClearBounds,
}

impl Laws {
    /// Runs the last `count` days of a year from a settled state.
    pub fn run_in(&self, count: usize, rng: &mut ChaCha8Rng) -> (State, Vec<DrawnDay>) {
        let mut state = State {
            temp: rng.sample(StandardNormal),
            season: rng.sample(StandardNormal),
            clear: rng.sample(StandardNormal),
            ..State::default()
        };
        let days = (0..count)
            .map(|day| {
                let law = &self.days[(DAYS_PER_YEAR * 2 - count + day) % DAYS_PER_YEAR];
                state.step(law, self.bounds, &Chance::draw(rng))
            })
            .collect();
        (state, days)
    }

    /// Runs the first `count` days of a year.
    pub fn run(&self, state: &mut State, count: usize, rng: &mut ChaCha8Rng) -> Vec<DrawnDay> {
        self.days[..count]
            .iter()
            .map(|law| state.step(law, self.bounds, &Chance::draw(rng)))
            .collect()
    }

    /// Runs a year with its padding from given chances and from rest.
    pub fn run_padded(&self, chances: &[Chance]) -> Vec<DrawnDay> {
        let mut state = State::default();
        chances
            .iter()
            .enumerate()
            .map(|(at, chance)| state.step(&self.days[day_of_year(at)], self.bounds, chance))
            .collect()
    }
}
