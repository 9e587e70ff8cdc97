//! One crop in one bed climate, as daily sums.

use super::{Crop, hardening, response};
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY};
use crate::profile::BedClimate;

/// One day of a crop in a bed climate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CropDay {
    /// Growing degrees above the base, before light, K d.
    pub growth_k_d: f64,
    /// Share of growth that light allows, 0 to 1.
    pub light_factor: f64,
    /// Share of growth that the root zone allows, 0 to 1.
    pub root_factor: f64,
    /// Progress to emergence, 1 = up.
    pub emergence: f64,
    /// The same times the share of seeds that make a sound seedling at each hour's root zone.
    pub seedlings: f64,
    /// Coldest hour of the leaves, °C.
    pub leaf_min_c: f64,
    /// Hottest hour of the leaves, °C.
    pub leaf_max_c: f64,
    /// Leaf temperature that kills in the day's state of hardening, °C.
    pub kill_c: f64,
    /// Degree of hardening, 0 to 1.
    pub hardening: f64,
    /// True if leaves thaw by day and can be cut.
    pub thaws: bool,
    /// Chilling, K h.
    pub chill_kh: f64,
    /// Mean root zone, °C.
    pub root_zone_c: f64,
    /// Mean air, °C.
    pub air_c: f64,
    /// Coldest hour of the air, °C.
    pub air_min_c: f64,
    /// Hottest hour of the air, °C.
    pub air_max_c: f64,
    /// Light, mol/m2/day.
    pub light_mol_m2_day: f64,
    /// Day length, h.
    pub day_length_h: f64,
    /// Cold that calls to flower, days.
    pub vernalization: f64,
    /// Progress of flowering in a called plant, days at best temperature.
    pub flowering: f64,
    /// Share of flowers that set.
    pub set: f64,
    /// True if the night damages flowers and the eaten part.
    pub frosted: bool,
    /// Mean relative humidity, %.
    pub humidity_pct: f64,
}

impl CropDay {
    /// A day on which nothing happens.
    const NONE: Self = Self {
        growth_k_d: 0.0,
        light_factor: 0.0,
        root_factor: 0.0,
        emergence: 0.0,
        seedlings: 0.0,
        leaf_min_c: 0.0,
        leaf_max_c: 0.0,
        kill_c: 0.0,
        hardening: 0.0,
        thaws: false,
        chill_kh: 0.0,
        root_zone_c: 0.0,
        air_c: 0.0,
        air_min_c: 0.0,
        air_max_c: 0.0,
        light_mol_m2_day: 0.0,
        day_length_h: 0.0,
        vernalization: 0.0,
        flowering: 0.0,
        set: 0.0,
        frosted: false,
        humidity_pct: 0.0,
    };

    /// Growth that counts: degrees times light times root zone, K d.
    pub fn sum_k_d(&self) -> f64 {
        self.growth_k_d * self.light_factor * self.root_factor
    }
}

/// Daily figures over all years of a bed climate for one crop; made once, read by every sowing.
#[derive(Clone, Debug, PartialEq)]
pub struct Prepared {
    /// Name of the bed climate.
    pub bed: String,
    /// Years held.
    pub years: usize,
    /// Day of the year with the shortest day, from 0; none where the days are about as long all year.
    pub shortest_day: Option<usize>,
    days: Vec<CropDay>,
}

impl Prepared {
    /// Day `day` counted from 1 January of year `year`; years past the last wrap round.
    pub fn day(&self, year: usize, day: usize) -> &CropDay {
        static NO_DAY: CropDay = CropDay::NONE;
        let index = year * DAYS_PER_YEAR + day;
        // Dividing costs more than the rest of a day's growth, and most days lie within the years held.
        let index = if index < self.days.len() {
            Some(index)
        } else {
            index.checked_rem(self.days.len())
        };
        index
            .and_then(|index| self.days.get(index))
            .unwrap_or(&NO_DAY)
    }

    /// Mean of a daily figure over `count` days that end with day `day` (days before the first wrap round).
    pub fn mean_to(
        &self,
        year: usize,
        day: usize,
        count: usize,
        figure: impl Fn(&CropDay) -> f64,
    ) -> f64 {
        // A whole round of the years keeps the subtraction from going below nought.
        let end = year + self.years;
        let sum: f64 = (0..count)
            .map(|back| figure(self.day(0, (end * DAYS_PER_YEAR + day).saturating_sub(back))))
            .sum();
        sum / count.max(1) as f64
    }
}

/// Works out the daily figures of a crop in a bed climate.
pub fn prepare(crop: &Crop, climate: &BedClimate) -> Prepared {
    let mut days = Vec::with_capacity(climate.years.len() * DAYS_PER_YEAR);
    for year in 0..climate.years.len() {
        for day in 0..DAYS_PER_YEAR {
            days.push(crop_day(crop, climate, year, day));
        }
    }
    let minima: Vec<f64> = days.iter().map(|day| day.leaf_min_c).collect();
    for (day, degree) in days.iter_mut().zip(hardening::degrees(&minima)) {
        day.hardening = degree;
        day.kill_c =
            crop.cold.kill_unhardened_c + degree * (crop.cold.kill_c - crop.cold.kill_unhardened_c);
    }
    Prepared {
        bed: climate.name.clone(),
        years: climate.years.len(),
        shortest_day: shortest_day(&climate.day_length_h),
        days,
    }
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
pub fn prepare_all(crop: &Crop, climates: &[BedClimate]) -> Vec<Prepared> {
    climates
        .iter()
        .map(|climate| prepare(crop, climate))
        .collect()
}

/// Leaves count as thawed above this in the warmest hour of the day, °C.
const THAW_C: f64 = 0.0;

fn crop_day(crop: &Crop, climate: &BedClimate, year: usize, day: usize) -> CropDay {
    let (columns, day) = climate.at(year, day);
    let air_c = BedClimate::hours(&columns.air_c, day);
    let leaf_c = BedClimate::hours(&columns.leaf_c, day);
    let root_zone_c = BedClimate::hours(&columns.root_zone_c, day);
    let humidity_pct = BedClimate::hours(&columns.relative_humidity_pct, day);
    let per_hour = 1.0 / HOURS_PER_DAY as f64;
    let mean = |hours: &[f64]| hours.iter().sum::<f64>() * per_hour;
    let light_mol_m2_day = columns.light_mol_m2_day.get(day).copied().unwrap_or(0.0);
    let day_length_h = climate.day_length_h.get(day).copied().unwrap_or(0.0);
    let degrees = |&temp_c: &f64| response::growing_degrees(&crop.temperature, temp_c);
    let growth_k_d = air_c.iter().map(degrees).sum::<f64>() * per_hour;
    let (emergence, seedlings) = emergence(crop, root_zone_c);
    let chill_kh = crop.cold.chill_c.map_or(0.0, |chill| {
        air_c.iter().map(|&temp_c| (chill - temp_c).max(0.0)).sum()
    });
    let leaf_min_c = lowest(leaf_c);
    let leaf_max_c = highest(leaf_c);
    // Frost on open flowers costs the fruit they would have set.
    let frosted = crop
        .cold
        .damage_from_c
        .is_some_and(|from| leaf_min_c < from);
    let set = crop.fruit_set;
    let air_min_c = lowest(air_c);
    let air_max_c = highest(air_c);
    let root_mean_c = mean(root_zone_c);
    let vernalization = crop
        .bolting
        .map(|bolting| bolting.cold_max_c)
        .filter(|&max| max > 0.0);
    let bulb_cold = crop
        .bulbing
        .filter(|bulbing| bulbing.cold_days > 0.0)
        .map(|_| BULB_COLD_MAX_C);
    CropDay {
        growth_k_d,
        light_factor: response::light_factor(&crop.light, light_mol_m2_day),
        root_factor: response::root_zone_factor(crop.root_zone_min_c, root_mean_c),
        emergence,
        seedlings,
        leaf_min_c,
        leaf_max_c,
        thaws: leaf_max_c > THAW_C,
        chill_kh,
        root_zone_c: root_mean_c,
        air_c: mean(air_c),
        air_min_c,
        air_max_c,
        light_mol_m2_day,
        day_length_h,
        vernalization: vernalization.or(bulb_cold).map_or(0.0, |max| {
            air_c
                .iter()
                .map(|&temp_c| response::vernalization(max, temp_c))
                .sum::<f64>()
                * per_hour
        }),
        flowering: crop.bolting.map_or(0.0, |bolting| {
            let call = ((day_length_h - bolting.day_length_h) / FULL_CALL_H).clamp(0.0, 1.0);
            call * growth_k_d / crop.best_k()
        }),
        set: if frosted {
            0.0
        } else {
            set.map_or(1.0, |set| set.share(air_min_c, air_max_c))
        },
        frosted,
        humidity_pct: mean(humidity_pct),
        ..CropDay::NONE
    }
}

/// A day's progress to emergence, and the same times the share of seeds that make a sound seedling.
fn emergence(crop: &Crop, root_zone_c: &[f64]) -> (f64, f64) {
    let Some(curve) = &crop.emergence else {
        return (0.0, 0.0);
    };
    let (mut up, mut sound) = (0.0, 0.0);
    for &temp_c in root_zone_c {
        let rate = curve.rate_per_day(temp_c) / HOURS_PER_DAY as f64;
        let share = crop.seedlings.as_ref().map_or(1.0, |s| s.share(temp_c));
        up += rate;
        sound += rate * share;
    }
    (up, sound)
}

/// Warmest temperature that counts as cold for bulbs, °C (garlic: cold under about 10 °C, from memory, Brewster).
const BULB_COLD_MAX_C: f64 = 10.0;
/// Hours beyond the critical day length at which the call to flower is full; the crop files' days refer to it.
const FULL_CALL_H: f64 = 2.0;

fn lowest(hours: &[f64]) -> f64 {
    hours.iter().copied().fold(f64::INFINITY, f64::min)
}

fn highest(hours: &[f64]) -> f64 {
    hours.iter().copied().fold(f64::NEG_INFINITY, f64::max)
}
