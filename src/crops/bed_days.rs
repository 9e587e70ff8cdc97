//! Days of a bed climate as every crop meets them; made once, read by all crops.

use super::growth::warmth;
use super::{Crop, Prepared, hardening};
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY};
use crate::profile::{BedClimate, highest, lowest, mean};
use rayon::prelude::*;
use std::sync::Arc;

/// One day of a bed, whatever grows in it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BedDay {
    /// Mean of the leaves, °C.
    pub leaf_c: f64,
    /// Coldest hour of the leaves, °C.
    pub leaf_min_c: f64,
    /// Hottest hour of the leaves, °C.
    pub leaf_max_c: f64,
    /// Mean of the three coldest hours of the leaves, °C.
    pub coldest_c: f64,
    /// Mean of the three hottest hours of the leaves, °C.
    pub hottest_c: f64,
    /// True if leaves thaw by day and can be cut.
    pub thaws: bool,
    /// Degree of hardening in the morning, 0 to 1.
    pub hardening: f64,
    /// Mean root zone, °C.
    pub root_zone_c: f64,
    /// Coldest hour of the root zone, °C.
    pub root_zone_min_c: f64,
    /// Mean air, °C.
    pub air_c: f64,
    /// Coldest hour of the air, °C.
    pub air_min_c: f64,
    /// Hottest hour of the air, °C.
    pub air_max_c: f64,
    /// Light, mol/m2/day.
    pub light_mol_m2_day: f64,
    /// Mean light of the week that ends with the day, mol/m2/day.
    pub week_light_mol_m2_day: f64,
    /// Mean air of the month that ends with the day, °C: warmth in which what is eaten ripens.
    pub month_air_c: f64,
    /// Mean of the leaves over the same week, °C.
    pub week_leaf_c: f64,
    /// Dry mass that a gram of any plant loses to upkeep, 1/day.
    pub upkeep: f64,
    /// Day length, h.
    pub day_length_h: f64,
    /// Mean relative humidity, %.
    pub humidity_pct: f64,
}

/// Daily figures of a bed climate that do not depend on the crop, and its hours ready to be looked up.
#[derive(Clone, Debug, PartialEq)]
pub struct BedDays<'a> {
    /// The climate they are made from.
    pub(super) climate: &'a BedClimate,
    /// All days of all years.
    pub(super) days: Arc<[BedDay]>,
    /// Day of the year with the shortest day, from 0; none where the days are about as long all year.
    pub(super) shortest_day: Option<usize>,
    /// Hour by hour, the place of leaf and root zone on the ladder of temperatures.
    pub(super) leaf_steps: Vec<u16>,
    pub(super) root_zone_steps: Vec<u16>,
    /// Share of the day's sun in each hour, day by day of the year; each day's sum to 1.
    pub(super) sun_share: Vec<[f32; HOURS_PER_DAY]>,
}

/// The ladder of temperatures on which a crop's curves are tabulated.
pub(super) struct Ladder;

impl Ladder {
    /// Lowest step, °C: no bed is colder.
    const FROM_C: f64 = -70.0;
    /// Steps in a kelvin.
    const PER_K: f64 = 4.0;
    /// Steps: up to 90 °C.
    pub(super) const STEPS: usize = 641;

    /// The nearest step.
    fn step(temp_c: f64) -> u16 {
        let step = (temp_c - Self::FROM_C) * Self::PER_K + 0.5;
        step.clamp(0.0, (Self::STEPS - 1) as f64) as u16
    }

    /// The temperatures of all steps, °C.
    pub(super) fn temperatures_c() -> impl Iterator<Item = f64> {
        (0..Self::STEPS).map(|step| Self::FROM_C + step as f64 / Self::PER_K)
    }
}

impl<'a> BedDays<'a> {
    /// Works out the days of a bed climate.
    pub fn of(climate: &'a BedClimate) -> Self {
        let mut days: Vec<BedDay> = (0..climate.years.len())
            .flat_map(|year| (0..DAYS_PER_YEAR).map(move |day| bed_day(climate, year, day)))
            .collect();
        let minima: Vec<f64> = days.iter().map(|day| day.leaf_min_c).collect();
        for (day, degree) in days.iter_mut().zip(hardening::degrees(&minima)) {
            day.hardening = degree;
        }
        let light = means_to(&days, LEAF_DAYS, |day| day.light_mol_m2_day);
        let leaf = means_to(&days, LEAF_DAYS, |day| day.leaf_c);
        let air = means_to(&days, RIPENING_DAYS, |day| day.air_c);
        for (index, day) in days.iter_mut().enumerate() {
            day.week_light_mol_m2_day = light[index];
            day.week_leaf_c = leaf[index];
            day.month_air_c = air[index];
        }
        let steps = |column: fn(&crate::profile::BedYear) -> &Vec<f64>| -> Vec<u16> {
            let hours = climate.years.iter().flat_map(column);
            hours.map(|&temp_c| Ladder::step(temp_c)).collect()
        };
        BedDays {
            climate,
            days: days.into(),
            shortest_day: shortest_day(&climate.day_length_h),
            leaf_steps: steps(|year| &year.leaf_c),
            root_zone_steps: steps(|year| &year.root_zone_c),
            sun_share: climate.day_length_h.iter().map(|&h| sun_share(h)).collect(),
        }
    }

    /// The days of several bed climates.
    pub fn of_all(climates: &'a [BedClimate]) -> Vec<Self> {
        climates.par_iter().map(BedDays::of).collect()
    }
}

/// Leaves count as thawed above this in the warmest hour of the day, °C.
const THAW_C: f64 = 0.0;
/// Hours of the night, or of the afternoon, that hurt together: one hour alone does not (own choice).
const HURTING_HOURS: usize = 3;
/// Days over which light and warmth show in a leaf.
const LEAF_DAYS: usize = 7;
/// Days over which what is eaten ripens: the handbook's figures of warmth are those of months.
const RIPENING_DAYS: usize = 30;

fn bed_day(climate: &BedClimate, year: usize, day: usize) -> BedDay {
    let (columns, day) = climate.at(year, day);
    let air_c = BedClimate::hours(&columns.air_c, day);
    let leaf_c = BedClimate::hours(&columns.leaf_c, day);
    let root_zone_c = BedClimate::hours(&columns.root_zone_c, day);
    let leaf_max_c = highest(leaf_c);
    let (coldest_c, hottest_c) = extremes(leaf_c);
    let mean_leaf_c = mean(leaf_c);
    BedDay {
        leaf_c: mean_leaf_c,
        upkeep: warmth::upkeep(mean_leaf_c),
        leaf_min_c: lowest(leaf_c),
        leaf_max_c,
        coldest_c,
        hottest_c,
        thaws: leaf_max_c > THAW_C,
        root_zone_c: mean(root_zone_c),
        root_zone_min_c: lowest(root_zone_c),
        air_c: mean(air_c),
        air_min_c: lowest(air_c),
        air_max_c: highest(air_c),
        light_mol_m2_day: columns.light_mol_m2_day.get(day).copied().unwrap_or(0.0),
        day_length_h: climate.day_length_h.get(day).copied().unwrap_or(0.0),
        humidity_pct: mean(BedClimate::hours(&columns.relative_humidity_pct, day)),
        ..BedDay::default()
    }
}

/// Means of the coldest and of the hottest hours of a day.
fn extremes(hours: &[f64]) -> (f64, f64) {
    let mut coldest = [f64::INFINITY; HURTING_HOURS];
    let mut hottest = [f64::NEG_INFINITY; HURTING_HOURS];
    for &hour in hours {
        let (mut low, mut high) = (hour, hour);
        for slot in &mut coldest {
            (*slot, low) = (slot.min(low), slot.max(low));
        }
        for slot in &mut hottest {
            (*slot, high) = (slot.max(high), slot.min(high));
        }
    }
    if hours.len() < HURTING_HOURS {
        return (lowest(hours), highest(hours));
    }
    (mean(&coldest), mean(&hottest))
}

/// Mean of a figure over so many days that end with each day; the years go round.
fn means_to(days: &[BedDay], span: usize, figure: impl Fn(&BedDay) -> f64) -> Vec<f64> {
    let count = days.len();
    if count == 0 {
        return Vec::new();
    }
    let at = |day: usize| days.get(day % count).map_or(0.0, &figure);
    let rounds = span * count;
    let mut sum: f64 = (1..span).map(|back| at(rounds - back)).sum();
    let mut means = Vec::with_capacity(count);
    for day in 0..count {
        sum += at(day);
        means.push(sum / span as f64);
        sum -= at(rounds + day - (span - 1));
    }
    means
}

/// Share of the day's sun in each hour of the clock: a half sine from sunrise to sunset about noon.
fn sun_share(day_length_h: f64) -> [f32; HOURS_PER_DAY] {
    const NOON_H: f64 = 12.0;
    let half_h = (0.5 * day_length_h).max(0.5);
    let height = |hour: usize| {
        let from_noon_h = hour as f64 + 0.5 - NOON_H;
        (std::f64::consts::FRAC_PI_2 * from_noon_h / half_h)
            .clamp(-std::f64::consts::FRAC_PI_2, std::f64::consts::FRAC_PI_2)
            .cos()
            .max(0.0)
    };
    let sum: f64 = (0..HOURS_PER_DAY).map(height).sum();
    std::array::from_fn(|hour| (height(hour) / sum) as f32)
}

/// Day lengths that differ by less than this over the year make no winter, h (own choice, no source: within some 8
/// degrees of the equator).
const LEAST_SEASON_H: f64 = 1.0;

fn shortest_day(day_length_h: &[f64]) -> Option<usize> {
    let longest_h = highest(day_length_h);
    let (day, shortest_h) = day_length_h
        .iter()
        .enumerate()
        .min_by(|a, b| a.1.total_cmp(b.1))?;
    (longest_h - shortest_h >= LEAST_SEASON_H).then_some(day)
}

/// The daily figures of a crop in every bed climate.
pub fn prepare_all(crop: &Crop, beds: &[BedDays]) -> Vec<Prepared> {
    beds.iter().map(|bed| Prepared::new(crop, bed)).collect()
}
