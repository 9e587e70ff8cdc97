//! Days of a bed climate as every crop meets them; made once, read by all crops.

use super::growth::warmth;
use super::{Crop, Prepared, hardening};
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY};
use crate::profile::{BedClimate, BedHours, highest, lowest, mean};
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
    /// Photosynthesis in this air's carbon dioxide against outdoor air, share.
    pub carbon_share: f64,
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

/// One year of a bed: the figures of its days, and its hours as places on the ladder. What a day owes to those before it is worked
/// out when the years stand in a row ([`BedDays`]).
#[derive(Clone, Debug, PartialEq)]
pub struct YearOfDays {
    days: Vec<DayFigures>,
    pub(super) leaf: Vec<DaySteps>,
    pub(super) root_zone: Vec<DaySteps>,
    /// Chilling day by day, K h, below each of the temperatures asked after.
    chill_kh: Vec<(f64, Vec<f32>)>,
}

/// Figures of one day by itself, as in [`BedDay`], in half the room: to a ten-thousandth of a kelvin and better.
#[derive(Clone, Copy, Debug, PartialEq)]
struct DayFigures {
    leaf_c: f32,
    leaf_min_c: f32,
    leaf_max_c: f32,
    coldest_c: f32,
    hottest_c: f32,
    /// Told as it is where a seed bed or a bed for plants is too cold.
    root_zone_c: f64,
    root_zone_min_c: f32,
    air_c: f32,
    air_min_c: f32,
    air_max_c: f32,
    light_mol_m2_day: f32,
    carbon_share: f32,
    humidity_pct: f32,
}

/// What a day owes to those before it, as in [`BedDay`], and its upkeep.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Past {
    hardening: f32,
    week_light_mol_m2_day: f32,
    week_leaf_c: f32,
    month_air_c: f32,
    upkeep: f32,
}

/// Places of a day's hours on the ladder: the lowest, and how far each lies above it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct DaySteps {
    lowest: u16,
    above: [u8; HOURS_PER_DAY],
}

impl DaySteps {
    /// Hours of temperature, °C, on the ladder; more than 63 K above the coldest are taken as 63.
    fn of(hours_c: &[f64]) -> Self {
        let step = |hour: usize| hours_c.get(hour).map_or(0, |temp_c| Ladder::step(*temp_c));
        let steps: [u16; HOURS_PER_DAY] = std::array::from_fn(step);
        let lowest = steps.iter().copied().min().unwrap_or(0);
        Self {
            lowest,
            above: steps.map(|step| u8::try_from(step - lowest).unwrap_or(u8::MAX)),
        }
    }

    /// What a table of the ladder says at each hour; a table has [`Ladder::ROOM`] entries.
    #[inline]
    pub(super) fn at<'t, T>(&'t self, table: &'t [T]) -> impl Iterator<Item = &'t T> {
        // No hour lies farther up than a byte can say: one look at the table's end a day.
        const REACH: usize = 256;
        let from = table.get(usize::from(self.lowest)..);
        let within = from.and_then(|from| from.first_chunk::<REACH>());
        self.above
            .iter()
            .filter_map(move |above| Some(&within?[usize::from(*above)]))
    }
}

impl YearOfDays {
    /// Works out the days of a year; chilling below each of `chills_c`, °C.
    pub fn of(hours: &BedHours, chills_c: &[f64]) -> Self {
        let days = 0..DAYS_PER_YEAR;
        let steps = |column: &[f64]| -> Vec<DaySteps> {
            let days = days.clone();
            days.map(|day| DaySteps::of(BedClimate::hours(column, day)))
                .collect()
        };
        let chill = |chill_c: f64| {
            let days = days.clone();
            days.map(|day| chill_kh(chill_c, BedClimate::hours(hours.air_c, day)))
                .collect()
        };
        Self {
            days: days.clone().map(|day| day_figures(hours, day)).collect(),
            leaf: steps(hours.leaf_c),
            root_zone: steps(hours.root_zone_c),
            chill_kh: chills_c
                .iter()
                .map(|&chill_c| (chill_c, chill(chill_c)))
                .collect(),
        }
    }

    /// Chilling day by day below a temperature, or below the nearest of those that were asked after.
    pub(super) fn chill_kh(&self, chill_c: f64) -> Option<&[f32]> {
        let off = |(known_c, _): &&(f64, Vec<f32>)| (known_c - chill_c).abs();
        let nearest = self
            .chill_kh
            .iter()
            .min_by(|a, b| off(a).total_cmp(&off(b)));
        nearest.map(|(_, days)| &days[..])
    }
}

/// The temperatures below which crops count their chilling, °C, each once.
pub fn chills_c<'c>(crops: impl IntoIterator<Item = &'c Crop>) -> Vec<f64> {
    let asked = crops.into_iter().filter_map(|crop| crop.cold.chill_c);
    let mut chills_c: Vec<f64> = asked.collect();
    chills_c.sort_by(f64::total_cmp);
    chills_c.dedup();
    chills_c
}

/// Days of a bed climate that do not depend on the crop, and its hours ready to be looked up. A copy shares the years.
#[derive(Clone, Debug, PartialEq)]
pub struct BedDays {
    /// Name of the bed climate.
    pub name: String,
    /// The years held.
    pub years: Arc<[Arc<YearOfDays>]>,
    /// A day each, of all years.
    pub(super) past: Arc<[Past]>,
    /// Day length through the year, h.
    pub day_length_h: Arc<[f64]>,
    /// Day of the year with the shortest day, from 0; none where the days are about as long all year.
    pub(super) shortest_day: Option<usize>,
    /// Share of the day's sun in each hour, day by day of the year; each day's sum to 1.
    pub(super) sun_share: Arc<[[f32; HOURS_PER_DAY]]>,
}

/// The ladder of temperatures on which a crop's curves are tabulated.
pub(super) struct Ladder;

impl Ladder {
    /// Lowest step, °C: no bed is colder.
    const FROM_C: f64 = -70.0;
    /// Steps in a kelvin.
    const PER_K: f64 = 4.0;
    /// Steps: up to 90 °C.
    const STEPS: usize = 641;
    /// Entries of a table over them: as many more at its end as an hour can lie above the lowest of its day.
    pub(super) const ROOM: usize = Self::STEPS + 256;

    /// The nearest step.
    fn step(temp_c: f64) -> u16 {
        let step = (temp_c - Self::FROM_C) * Self::PER_K + 0.5;
        step.clamp(0.0, (Self::STEPS - 1) as f64) as u16
    }

    /// A table of a figure over all steps.
    pub(super) fn table<T: Copy + Default>(of: impl Fn(f64) -> T) -> Vec<T> {
        let temp_c = |step: usize| Self::FROM_C + step as f64 / Self::PER_K;
        let mut table: Vec<T> = (0..Self::STEPS).map(|step| of(temp_c(step))).collect();
        table.resize(Self::ROOM, T::default());
        table
    }
}

impl BedDays {
    /// Works out the days of a bed climate; chilling below each of `chills_c`, °C (see [`chills_c`]).
    pub fn of(climate: &BedClimate, chills_c: &[f64]) -> Self {
        let years = climate.years.iter();
        let years = years.map(|year| Arc::new(YearOfDays::of(&year.as_hours(), chills_c)));
        Self::in_a_row(&climate.name, years.collect(), &climate.day_length_h)
    }

    /// The days of consecutive years, of which the first follows on the last.
    pub fn in_a_row(name: &str, years: Vec<Arc<YearOfDays>>, day_length_h: &[f64]) -> Self {
        let days: Vec<&DayFigures> = years.iter().flat_map(|year| &year.days).collect();
        let minima: Vec<f64> = days.iter().map(|day| f64::from(day.leaf_min_c)).collect();
        let light = means_to(&days, LEAF_DAYS, |day| day.light_mol_m2_day);
        let leaf = means_to(&days, LEAF_DAYS, |day| day.leaf_c);
        let air = means_to(&days, RIPENING_DAYS, |day| day.air_c);
        let degrees = hardening::degrees(&minima).into_iter().enumerate();
        let past = degrees.map(|(index, hardening)| Past {
            hardening: hardening as f32,
            week_light_mol_m2_day: light[index] as f32,
            week_leaf_c: leaf[index] as f32,
            month_air_c: air[index] as f32,
            upkeep: warmth::upkeep(f64::from(days[index].leaf_c)) as f32,
        });
        Self {
            name: name.to_owned(),
            past: past.collect(),
            shortest_day: shortest_day(day_length_h),
            sun_share: day_length_h.iter().map(|&h| sun_share(h)).collect(),
            day_length_h: day_length_h.into(),
            years: years.into(),
        }
    }

    /// A day counted from the first day of the first year; none past the last.
    #[inline]
    pub fn day(&self, index: usize) -> Option<BedDay> {
        let past = self.past.get(index)?;
        let of_year = index % DAYS_PER_YEAR;
        let own = self.years.get(index / DAYS_PER_YEAR)?.days.get(of_year)?;
        let day_length_h = self.day_length_h.get(of_year).copied();
        Some(bed_day(own, past, day_length_h.unwrap_or(0.0)))
    }

    /// The days of a year, from 0.
    pub(super) fn of_year(&self, year: usize) -> impl Iterator<Item = BedDay> {
        let past = self.past.iter().skip(year * DAYS_PER_YEAR);
        let own = self.years.get(year).into_iter().flat_map(|year| &year.days);
        let days = own.zip(past).zip(self.day_length_h.iter());
        days.map(|((own, past), day_length_h)| bed_day(own, past, *day_length_h))
    }
}

/// A day put together.
#[inline]
fn bed_day(own: &DayFigures, past: &Past, day_length_h: f64) -> BedDay {
    BedDay {
        leaf_c: f64::from(own.leaf_c),
        leaf_min_c: f64::from(own.leaf_min_c),
        leaf_max_c: f64::from(own.leaf_max_c),
        coldest_c: f64::from(own.coldest_c),
        hottest_c: f64::from(own.hottest_c),
        thaws: f64::from(own.leaf_max_c) > THAW_C,
        hardening: f64::from(past.hardening),
        root_zone_c: own.root_zone_c,
        root_zone_min_c: f64::from(own.root_zone_min_c),
        air_c: f64::from(own.air_c),
        air_min_c: f64::from(own.air_min_c),
        air_max_c: f64::from(own.air_max_c),
        light_mol_m2_day: f64::from(own.light_mol_m2_day),
        carbon_share: f64::from(own.carbon_share),
        week_light_mol_m2_day: f64::from(past.week_light_mol_m2_day),
        month_air_c: f64::from(past.month_air_c),
        week_leaf_c: f64::from(past.week_leaf_c),
        upkeep: f64::from(past.upkeep),
        day_length_h,
        humidity_pct: f64::from(own.humidity_pct),
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

fn day_figures(hours: &BedHours, day: usize) -> DayFigures {
    let air_c = BedClimate::hours(hours.air_c, day);
    let leaf_c = BedClimate::hours(hours.leaf_c, day);
    let root_zone_c = BedClimate::hours(hours.root_zone_c, day);
    let (coldest_c, hottest_c) = extremes(leaf_c);
    DayFigures {
        leaf_c: mean(leaf_c) as f32,
        leaf_min_c: lowest(leaf_c) as f32,
        leaf_max_c: highest(leaf_c) as f32,
        coldest_c: coldest_c as f32,
        hottest_c: hottest_c as f32,
        root_zone_c: mean(root_zone_c),
        root_zone_min_c: lowest(root_zone_c) as f32,
        air_c: mean(air_c) as f32,
        air_min_c: lowest(air_c) as f32,
        air_max_c: highest(air_c) as f32,
        light_mol_m2_day: hours.light_mol_m2_day.get(day).copied().unwrap_or(0.0) as f32,
        carbon_share: hours.carbon_share.get(day).copied().unwrap_or(1.0) as f32,
        humidity_pct: mean(BedClimate::hours(hours.relative_humidity_pct, day)) as f32,
    }
}

/// Chilling of a day, K h below the temperature of the air at which it begins.
fn chill_kh(chill_c: f64, air_c: &[f64]) -> f32 {
    let short = |temp_c: &f64| (chill_c - temp_c).max(0.0);
    air_c.iter().map(short).sum::<f64>() as f32
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
fn means_to(days: &[&DayFigures], span: usize, figure: impl Fn(&DayFigures) -> f32) -> Vec<f64> {
    let count = days.len();
    if count == 0 {
        return Vec::new();
    }
    let at = |day: usize| f64::from(figure(days[day % count]));
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
