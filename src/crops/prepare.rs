//! One crop in one bed climate, as daily sums.

use super::bed_days::BedDays;
use super::curve::Curve;
use super::{Crop, Way, response};
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
    /// Progress to emergence, 1 = up; 0 for a crop that is never sown in the bed.
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
    /// Cold that calls to flower, to head or to bulb, days.
    pub vernalization: f64,
    /// Progress of flowering in a fully called plant, days at best temperature.
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
    pub(super) const NONE: Self = Self {
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
    /// Works out the daily figures of a crop from the days of a bed climate.
    pub fn new(crop: &Crop, bed: &BedDays) -> Self {
        let mut curves = Curves::of(crop);
        Prepared {
            bed: bed.climate.name.clone(),
            years: bed.climate.years.len(),
            shortest_day: bed.shortest_day,
            days: (0..bed.days.len())
                .map(|index| crop_day(crop, &mut curves, bed, index))
                .collect(),
        }
    }

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

/// Works out the daily figures of a crop in a bed climate; for many crops see [`BedDays`].
pub fn prepare(crop: &Crop, climate: &BedClimate) -> Prepared {
    Prepared::new(crop, &BedDays::of(climate))
}

fn crop_day(crop: &Crop, curves: &mut Curves, bed: &BedDays, index: usize) -> CropDay {
    let (columns, day) = bed.climate.at(index / DAYS_PER_YEAR, index % DAYS_PER_YEAR);
    let today = bed.days[index];
    let air_c = BedClimate::hours(&columns.air_c, day);
    let per_hour = 1.0 / HOURS_PER_DAY as f64;
    let degrees = |&temp_c: &f64| response::growing_degrees(&crop.temperature, temp_c);
    let growth_k_d = air_c.iter().map(degrees).sum::<f64>() * per_hour;
    let (emergence, seedlings) = curves.emergence(BedClimate::hours(&columns.root_zone_c, day));
    let chill_kh = crop.cold.chill_c.map_or(0.0, |chill| {
        air_c.iter().map(|&temp_c| (chill - temp_c).max(0.0)).sum()
    });
    // Frost on open flowers costs the fruit they would have set.
    let frosted = crop
        .cold
        .damage_from_c
        .is_some_and(|from| today.leaf_min_c < from);
    let vernalization = crop
        .bolting
        .map(|bolting| bolting.cold_max_c)
        .filter(|&max| max > 0.0);
    let bulb_cold = crop
        .bulbing
        .filter(|bulbing| bulbing.cold_days > 0.0)
        .map(|_| BULB_COLD_MAX_C);
    let head_max_c = crop.heading.map(|heading| heading.max_c);
    let tender_c = crop.cold.kill_unhardened_c;
    CropDay {
        growth_k_d,
        light_factor: response::light_factor(&crop.light, today.light_mol_m2_day),
        root_factor: response::root_zone_factor(crop.root_zone_min_c, today.root_zone_c),
        emergence,
        seedlings,
        kill_c: tender_c + today.hardening * (crop.cold.kill_c - tender_c),
        chill_kh,
        vernalization: vernalization
            .or(bulb_cold)
            .or(head_max_c)
            .map_or(0.0, |max| {
                air_c
                    .iter()
                    .map(|&temp_c| response::vernalization(max, temp_c))
                    .sum::<f64>()
                    * per_hour
            }),
        flowering: if crop.bolting.is_some() {
            let warmth = |&temp_c: &f64| response::flowering_degrees(&crop.temperature, temp_c);
            air_c.iter().map(warmth).sum::<f64>() * per_hour / crop.best_k()
        } else {
            0.0
        },
        set: match crop.fruit_set {
            _ if frosted => 0.0,
            Some(set) => set.share(today.air_min_c, today.air_max_c),
            None => 1.0,
        },
        frosted,
        ..today
    }
}

/// A crop's curves over the root zone, with the pieces read last; none for a crop that is never sown in the bed.
struct Curves<'c> {
    rate_per_day: Option<&'c Curve>,
    sound: Option<&'c Curve>,
    pieces: [usize; 2],
}

impl<'c> Curves<'c> {
    fn of(crop: &'c Crop) -> Self {
        let emergence = crop.emergence.as_ref();
        Curves {
            rate_per_day: emergence
                .filter(|_| crop.ways.contains(&Way::Direct))
                .map(|emergence| &emergence.rate_per_day),
            sound: crop.seedlings.as_ref().map(|seedlings| &seedlings.share),
            pieces: [0; 2],
        }
    }

    /// A day's progress to emergence, and the same times the share of seeds that make a sound seedling.
    fn emergence(&mut self, root_zone_c: &[f64]) -> (f64, f64) {
        let Some(rate_per_day) = self.rate_per_day else {
            return (0.0, 0.0);
        };
        let [piece, sound_piece] = &mut self.pieces;
        let (mut up, mut sound) = (0.0, 0.0);
        for &temp_c in root_zone_c {
            let rate = rate_per_day.at_near(temp_c, piece) / HOURS_PER_DAY as f64;
            let share = self
                .sound
                .map_or(1.0, |curve| curve.at_near(temp_c, sound_piece));
            up += rate;
            sound += rate * share;
        }
        (up, sound)
    }
}

/// Warmest temperature that counts as cold for bulbs, °C (garlic: cold under about 10 °C, from memory, Brewster).
const BULB_COLD_MAX_C: f64 = 10.0;
