//! The laws of the days, adjusted until a pilot run gives back the monthly statistics.
//!
//! Standard deviation and correlation told from one month's days about that month's own mean are smaller than
//! those of the process, since 30 days that remember each other hold few independent ones. The pilot takes the
//! same statistics from its own months, so that bias drops out; so does the seasonal drift within a month.

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::daily::{Chance, ClearBounds, DayLaw, Laws, State};
use crate::calendar::{DAYS_IN_MONTH, DAYS_PER_YEAR, month_of_day};
use crate::numbers::{lowest, mean};
use crate::site::interpolate::months_to_days;
use crate::site::normals::{DesignTemps, Monthly, Spread};
use crate::site::solar_frame::Frame;
use crate::site::statistics::{WithinMonth, days_of_month};
use crate::site::typical::Figures;

/// Years of the pilot run; half of them are the others' mirror, so that its means carry no chance.
const PILOT_YEARS: usize = 100;
/// Rounds of adjustment, each over the same chances.
const ROUNDS: usize = 18;
/// Seed of the pilot's chances; the person's seed does not enter, so the laws are the place's own.
const PILOT_SEED: u64 = 0x5EED_0F00_DA75;

/// Standard deviation of a month's mean from year to year over that of its days within the month.
///
/// Own assumption: 0.5 to 0.65 in long records of cold and temperate places (from memory).
const YEAR_TO_YEAR_SHARE: f64 = 0.57;

/// Clearness of neighbouring days where nothing is known: Richardson (1981), lag-1 of radiation (from memory).
const DEFAULT_CLEAR_LAG1: f64 = 0.25;
/// Temperature range and clearness where nothing is known, from Richardson's lag-0 correlations of maximum and
/// minimum (0.633), maximum and radiation (0.186), minimum and radiation (-0.193) (from memory):
/// (0.186 + 0.193) / sqrt(2 (1 - 0.633)).
const DEFAULT_RANGE_CLEAR: f64 = 0.44;
/// Temperature and clearness, from the same figures: (0.186 - 0.193) / sqrt(2 (1 + 0.633)).
const DEFAULT_TEMP_CLEAR: f64 = 0.0;
/// Spread of the daily range where nothing is known (own figure, from 12 open weather files, rounded).
const DEFAULT_RANGE_CV: f64 = 0.4;

/// Darkest daily clearness (own figure, from 12 open weather files, rounded).
const DARKEST_DAY: f64 = 0.03;
/// A day of very clear air lies this much above the clear sky of the formula (own figure, as above).
const CLEARER_THAN_FORMULA: f64 = 0.04;

/// The coldest hour that can be where neither yearly extremes nor a spread with a bound are known, °C (own assumption; polar air over snow).
const DEFAULT_FLOOR_C: f64 = -55.0;
/// Room from a season's mean to its warmest day: the less of these many standard deviations of the month's days
/// (own assumption: hardly felt) and ...
const WARM_ROOM_DEVIATIONS: f64 = 4.5;
/// ... this, K (own assumption: the warmest winter air of the coldest places).
const WARM_ROOM_K: f64 = 30.0;
/// Least room from a season's mean to its coldest day, in standard deviations of the month's days.
const LEAST_ROOM_DEVIATIONS: f64 = 2.5;

/// Correlation of wind and temperature anomaly in midwinter: cold snaps are calm (own figure: mean of the winter
/// months of 12 open weather files; -0.1 to 0.64, in summer about 0).
const WINTER_WIND_TEMP: f64 = 0.3;

/// Longest memory from day to day that a law may have; beyond it yesterday is mixed in.
const LONGEST_MEMORY: f64 = 0.86;
/// Largest share of yesterday that is mixed in.
const LARGEST_MIX: f64 = 0.7;
/// Shortest memory; below 0 warm days tend to follow cold ones.
const SHORTEST_MEMORY: f64 = -0.3;
/// Strongest correlation of innovations.
const STRONGEST_JOINT: f64 = 0.93;
/// Smallest scale of the temperature anomaly, K.
const LEAST_SCALE_K: f64 = 0.2;

/// The twelve monthly knobs that the pilot turns.
#[derive(Clone, Debug)]
struct Knobs {
    temp_scale_k: Monthly,
    /// Up to [`LONGEST_MEMORY`] the memory, what is above it the mix.
    temp_memory: Monthly,
    temp_lift_k: Monthly,
    /// Above 0 the scale of the slow anomaly, squared, over the month's variance; below 0 what is forgotten.
    slow: Monthly,
    clear_memory: Monthly,
    joint: Monthly,
    clear_centre: Monthly,
    clear_scale: Monthly,
}

/// What a pilot's months show.
#[derive(Clone, Debug, Default)]
struct Seen {
    temp: [WithinMonth; 12],
    clear: [WithinMonth; 12],
    monthly_anomaly_squares: [f64; 12],
    monthly_anomaly_sum: [f64; 12],
    sun: [f64; 12],
    outside: [f64; 12],
    products: [f64; 12],
}

/// The monthly statistics that are to come back, and the means they stand about.
#[derive(Clone, Debug)]
pub struct Targets<'a> {
    /// Monthly means.
    pub figures: &'a Figures,
    /// Spread within months.
    pub spread: &'a Spread,
    /// Design temperatures, where known: their yearly extremes bound the cold.
    pub design: Option<DesignTemps>,
}

impl Targets<'_> {
    /// The coldest hour that can be, °C.
    fn floor_c(&self) -> f64 {
        self.design
            .and_then(|design| design.coldest_possible_c())
            .or(self.spread.coldest_possible_c)
            .unwrap_or(DEFAULT_FLOOR_C)
    }

    /// Room from each month's mean down to its coldest day, K.
    fn cold_room_k(&self) -> Monthly {
        let floor = self.floor_c();
        std::array::from_fn(|month| {
            let coldest_day =
                floor + self.figures.temp_mean_c[month] - self.figures.temp_min_c[month];
            (self.figures.temp_mean_c[month] - coldest_day)
                .max(LEAST_ROOM_DEVIATIONS * self.spread.temp_daily_sd_k[month])
                .max(1.0)
        })
    }

    /// Correlation of wind and temperature: [`WINTER_WIND_TEMP`] in the coldest month, 0 from the year's mean on.
    fn wind_temp(&self) -> Monthly {
        let temps = &self.figures.temp_mean_c;
        let (mean, coldest) = (mean(temps), lowest(temps));
        temps.map(|temp| WINTER_WIND_TEMP * ((mean - temp) / (mean - coldest).max(0.1)).max(0.0))
    }
}

/// The laws of a place's days.
pub fn laws(frame: &Frame, targets: &Targets) -> Laws {
    let season = months_to_days(&targets.figures.temp_mean_c);
    let bounds = bounds(frame, targets);
    let mut rng = ChaCha8Rng::seed_from_u64(PILOT_SEED);
    let chances = Chance::draw_days(PILOT_YEARS / 2 * DAYS_PER_YEAR, &mut rng);
    let mut knobs = first_knobs(targets, bounds);
    let mut laws = laws_of(targets, &season, bounds, &knobs);
    for _round in 0..ROUNDS {
        let seen = pilot(frame, &laws, &season, &chances);
        turn(&mut knobs, targets, &season, bounds, &seen);
        laws = laws_of(targets, &season, bounds, &knobs);
    }
    laws
}

/// Bounds wide enough for each month's mean and spread.
fn bounds(frame: &Frame, targets: &Targets) -> ClearBounds {
    const SPREADS_ABOVE: f64 = 1.5;
    let needed = (0..12)
        .map(|month| {
            targets.figures.clearness[month]
                + SPREADS_ABOVE * targets.spread.clearness_daily_sd[month]
        })
        .fold(0.0, f64::max);
    let clear = frame.clear_sky_clearness + CLEARER_THAN_FORMULA;
    ClearBounds {
        low: DARKEST_DAY,
        high: clear.max(needed.min(0.88)),
    }
}

fn first_knobs(targets: &Targets, bounds: ClearBounds) -> Knobs {
    let spread = targets.spread;
    let joint = joint_of(spread);
    Knobs {
        temp_scale_k: spread.temp_daily_sd_k,
        temp_memory: spread.temp_daily_lag1.map(|lag| lag.clamp(0.0, 0.9)),
        temp_lift_k: [0.0; 12],
        slow: [0.0; 12],
        clear_memory: clear_lag1(spread).map(|lag| lag.clamp(-0.3, 0.9)),
        joint: joint.map(|value| value.clamp(-STRONGEST_JOINT, STRONGEST_JOINT)),
        clear_centre: targets.figures.clearness.map(|mean| bounds.logit(mean)),
        clear_scale: std::array::from_fn(|month| {
            spread.clearness_daily_sd[month] / bounds.slope(targets.figures.clearness[month])
        }),
    }
}

fn joint_of(spread: &Spread) -> Monthly {
    spread
        .temp_clearness_correlation
        .unwrap_or([DEFAULT_TEMP_CLEAR; 12])
}

fn clear_lag1(spread: &Spread) -> Monthly {
    spread
        .clearness_daily_lag1
        .unwrap_or([DEFAULT_CLEAR_LAG1; 12])
}

/// Daily values on straight lines between the middles of the months.
fn between_months(monthly: &Monthly) -> Vec<f64> {
    let mut daily = Vec::with_capacity(DAYS_PER_YEAR);
    for month in 0..12 {
        let days = DAYS_IN_MONTH[month] as f64;
        for day in 0..DAYS_IN_MONTH[month] {
            let x = (day as f64 + 0.5) / days - 0.5;
            let other = if x < 0.0 {
                (month + 11) % 12
            } else {
                (month + 1) % 12
            };
            let length = (days + DAYS_IN_MONTH[other] as f64) / 2.0;
            let share = x.abs() * days / length;
            daily.push(monthly[month] * (1.0 - share) + monthly[other] * share);
        }
    }
    daily
}

/// Each day the value of its month.
fn by_month(monthly: &Monthly) -> Vec<f64> {
    (0..DAYS_PER_YEAR)
        .map(|day| monthly[month_of_day(day)])
        .collect()
}

fn laws_of(targets: &Targets, season: &[f64], bounds: ClearBounds, knobs: &Knobs) -> Laws {
    let spread = targets.spread;
    let scale = between_months(&knobs.temp_scale_k);
    // A step in memory shows nowhere, and a month's own is easier to give back than one shared with its neighbours.
    let memory = by_month(&knobs.temp_memory);
    let forget = between_months(&knobs.slow.map(|slow| (-slow).clamp(0.0, 0.95)));
    let slow_k: Monthly = std::array::from_fn(|month| {
        knobs.slow[month].max(0.0).sqrt() * spread.temp_daily_sd_k[month]
    });
    let season_scale = between_months(&slow_k);
    let lift = between_months(&knobs.temp_lift_k);
    let room = between_months(&targets.cold_room_k());
    let warm_room = between_months(
        &spread
            .temp_daily_sd_k
            .map(|sd| (WARM_ROOM_DEVIATIONS * sd).clamp(1.0, WARM_ROOM_K)),
    );
    let wind_temp = between_months(&targets.wind_temp());
    let clear_memory = by_month(&knobs.clear_memory);
    let joint = by_month(&knobs.joint);
    let centre = between_months(&knobs.clear_centre);
    let clear_scale = between_months(&knobs.clear_scale);
    let range_clear = between_months(
        &spread
            .range_clearness_correlation
            .unwrap_or([DEFAULT_RANGE_CLEAR; 12])
            .map(|value| value.clamp(-0.95, 0.95)),
    );
    let range_cv = between_months(&spread.range_daily_cv.unwrap_or([DEFAULT_RANGE_CV; 12]));
    let days = (0..DAYS_PER_YEAR)
        .map(|day| DayLaw {
            temp_c: season[day],
            temp_scale_k: scale[day],
            temp_memory: memory[day].min(LONGEST_MEMORY),
            temp_mix: (memory[day] - LONGEST_MEMORY).max(0.0),
            temp_forget: forget[day],
            season_scale_k: season_scale[day],
            temp_lift_k: lift[day],
            cold_room_k: room[day],
            warm_room_k: warm_room[day],
            wind_temp: wind_temp[day],
            clear_memory: clear_memory[day],
            joint: joint[day],
            clear_centre: centre[day],
            clear_scale: clear_scale[day],
            range_clear: range_clear[day],
            range_cv: range_cv[day],
        })
        .collect();
    Laws { days, bounds }
}

/// Runs the chances and their mirror, each half from rest.
fn pilot(frame: &Frame, laws: &Laws, season: &[f64], [plain, mirrored]: &[Vec<Chance>; 2]) -> Seen {
    let (mut seen, other) = rayon::join(
        || pilot_half(frame, laws, season, plain),
        || pilot_half(frame, laws, season, mirrored),
    );
    seen.merge(&other);
    seen
}

impl Seen {
    /// Adds what another run has shown.
    fn merge(&mut self, other: &Self) {
        for month in 0..12 {
            self.temp[month].merge(&other.temp[month]);
            self.clear[month].merge(&other.clear[month]);
            self.monthly_anomaly_squares[month] += other.monthly_anomaly_squares[month];
            self.monthly_anomaly_sum[month] += other.monthly_anomaly_sum[month];
            self.sun[month] += other.sun[month];
            self.outside[month] += other.outside[month];
            self.products[month] += other.products[month];
        }
    }
}

fn pilot_half(frame: &Frame, laws: &Laws, season: &[f64], chances: &[Chance]) -> Seen {
    let mut seen = Seen::default();
    let mut state = State::default();
    let mut temps = vec![0.0; DAYS_PER_YEAR];
    let mut clear = vec![0.0; DAYS_PER_YEAR];
    for year in chances.chunks_exact(DAYS_PER_YEAR) {
        for (day, chance) in year.iter().enumerate() {
            let drawn = state.step(&laws.days[day], laws.bounds, chance);
            temps[day] = drawn.temp_c;
            clear[day] = drawn.clearness;
        }
        for month in 0..12 {
            let days = days_of_month(month);
            seen.temp[month].add(&temps[days.clone()]);
            seen.clear[month].add(&clear[days.clone()]);
            let temp_mean = mean(&temps[days.clone()]);
            let clear_mean = mean(&clear[days.clone()]);
            let season_mean = mean(&season[days.clone()]);
            seen.monthly_anomaly_squares[month] += (temp_mean - season_mean).powi(2);
            seen.monthly_anomaly_sum[month] += temp_mean - season_mean;
            for day in days {
                seen.sun[month] += clear[day] * frame.outside_day_wh_m2[day];
                seen.outside[month] += frame.outside_day_wh_m2[day];
                seen.products[month] += (temps[day] - temp_mean) * (clear[day] - clear_mean);
            }
        }
    }
    seen
}

fn turn(knobs: &mut Knobs, targets: &Targets, season: &[f64], bounds: ClearBounds, seen: &Seen) {
    let spread = targets.spread;
    let years = PILOT_YEARS as f64;
    let clear_lag = clear_lag1(spread);
    let joint = joint_of(spread);
    for month in 0..12 {
        let days = days_of_month(month);
        let drift_square = WithinMonth::of(&season[days.clone()]).sd().powi(2);
        let goal = spread.temp_daily_sd_k[month].powi(2);
        let got = seen.temp[month].sd().powi(2);
        let room = (goal - drift_square).max(0.02 * goal);
        let factor = (room / (got - drift_square).max(1e-6)).sqrt();
        knobs.temp_scale_k[month] =
            (knobs.temp_scale_k[month] * factor.clamp(0.5, 2.0)).max(LEAST_SCALE_K);
        let lag_off = spread.temp_daily_lag1[month] - seen.temp[month].lag1();
        knobs.temp_memory[month] = (knobs.temp_memory[month] + 0.8 * lag_off)
            .clamp(SHORTEST_MEMORY, LONGEST_MEMORY + LARGEST_MIX);
        knobs.temp_lift_k[month] -= seen.monthly_anomaly_sum[month] / years;
        let monthly_goal = YEAR_TO_YEAR_SHARE * YEAR_TO_YEAR_SHARE;
        let monthly_got = seen.monthly_anomaly_squares[month] / years / goal.max(1e-6);
        knobs.slow[month] =
            (knobs.slow[month] + 0.7 * (monthly_goal - monthly_got)).clamp(-0.95, 2.0);

        let (clear_sd, clear_goal) = (seen.clear[month].sd(), spread.clearness_daily_sd[month]);
        if seen.outside[month] <= 0.0 || clear_sd <= 0.0 {
            continue;
        }
        knobs.clear_scale[month] *= (clear_goal / clear_sd).clamp(0.5, 2.0);
        knobs.clear_scale[month] = knobs.clear_scale[month].clamp(0.01, 8.0);
        knobs.clear_memory[month] = (knobs.clear_memory[month]
            + 0.8 * (clear_lag[month] - seen.clear[month].lag1()))
        .clamp(-0.4, 0.95);
        let mean = targets.figures.clearness[month];
        knobs.clear_centre[month] +=
            (mean - seen.sun[month] / seen.outside[month]) / bounds.slope(mean);
        knobs.clear_centre[month] = knobs.clear_centre[month].clamp(-9.0, 9.0);
        let freedom = (days.len() - 1) as f64 * years;
        let correlation = seen.products[month] / freedom / (got.sqrt() * clear_sd).max(1e-9);
        knobs.joint[month] = (knobs.joint[month] + 0.8 * (joint[month] - correlation))
            .clamp(-STRONGEST_JOINT, STRONGEST_JOINT);
    }
}
