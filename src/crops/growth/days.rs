//! One crop in one bed climate, day by day: all that the growth of a day asks for, worked out before any sowing.

use super::curves::Curves;
use super::plant::{DayGrowth, Plant};
use super::{light, start, warmth};
use crate::calendar::DAYS_PER_YEAR;
use crate::crops::bed_days::{BedDay, BedDays, chills_c};
use crate::crops::{Crop, Way, response};
use crate::profile::BedClimate;

/// One day of a crop in a bed climate.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CropDay {
    /// What it offers to a stand and asks of it.
    pub growth: DayGrowth,
    /// Warmth that ages the crop, K d.
    pub warmth_k_d: f32,
    /// Share of the leaf that cold and heat take.
    pub leaf_lost: f32,
    /// Share of heads, fruit and open flowers that cold takes.
    pub organ_lost: f32,
    /// Cold that calls to flower, to a curd or to a bulb, days; of strawberries, hours of chill.
    pub cold: f32,
    /// Way to flower made by a plant that has met its cold, and by one that has not, whole way 1; of strawberries, trusses
    /// begun under short days, and under any.
    pub flower_after_cold: f32,
    /// The same for a plant that has not met its cold.
    pub flower: f32,
    /// Way to a filled bulb, whole way 1; of crops that bear fruit, degrees that ripen, K d.
    pub organ: f32,
    /// Share of flowers that set.
    pub set: f32,
    /// Chilling, K h.
    pub chill_kh: f32,
    /// Fresh mass of what is eaten for a gram of dry mass, kg/g.
    pub fresh_kg_g: f32,
    /// True if the night kills the plant, or the heat of the day.
    pub kills: bool,
    /// True if leaves thaw by day and can be cut.
    pub thaws: bool,
    /// True if fruit ripens, and flowers are open for pollen.
    pub ripens: bool,
}

/// Daily figures over all years of a bed climate for one crop; made once, read by every sowing.
#[derive(Clone, Debug, PartialEq)]
pub struct Prepared {
    /// Years held.
    pub years: usize,
    /// Day of the year with the shortest day, from 0; none where the days are about as long all year.
    pub shortest_day: Option<usize>,
    /// Growing degrees of a day at best temperature, K d.
    pub(super) best_k: f64,
    /// Net gain of a closed stand on a best day, g/m2.
    best_gain_g_m2: f32,
    /// What is alike in every sowing by one way.
    direct: OfWay,
    tray: OfWay,
    /// Days to emergence at best.
    pub(in crate::crops) best_emergence_days: f64,
    bed_days: BedDays,
    days: Vec<CropDay>,
    /// The day of a bed without years.
    none: CropDay,
    /// Progress to emergence, 1 = up, and the same times the share of seeds that make a sound seedling.
    emergence: Vec<[f32; 2]>,
}

/// What is alike in every sowing of a crop by one way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OfWay {
    /// Days to harvest in the bed: the least of the published ones, their middle, the most.
    pub days: [f64; 3],
    /// Share of the way to harvest that is gone at setting out.
    pub tray_share: f64,
    /// Leaves and mass of a stand just up or just set out.
    pub young: Plant,
}

impl OfWay {
    fn of(crop: &Crop, way: Way) -> Self {
        Self {
            days: [0.0, 0.5, 1.0].map(|share| crop.days_to_harvest(way, share)),
            tray_share: crop.tray_share(way),
            young: match way {
                Way::Direct => start::seedlings(crop),
                Way::Tray => start::transplants(crop),
            },
        }
    }
}

impl Prepared {
    /// What is alike in every sowing by a way.
    #[inline]
    pub fn of_way(&self, way: Way) -> &OfWay {
        match way {
            Way::Direct => &self.direct,
            Way::Tray => &self.tray,
        }
    }

    /// Works out the daily figures of a crop from the days of a bed climate.
    pub fn new(crop: &Crop, bed: &BedDays) -> Self {
        let curves = Curves::of(crop);
        let best_k = crop.best_k();
        let sown = crop.ways.contains(&Way::Direct) && crop.emergence.is_some();
        let mut days = Vec::with_capacity(bed.past.len());
        let mut emergence = Vec::with_capacity(if sown { bed.past.len() } else { 0 });
        for (at, year) in bed.years.iter().enumerate() {
            let begun = days.len();
            let hours = year.leaf.iter().zip(bed.sun_share.iter());
            let of_year = bed.of_year(at).zip(hours);
            days.extend(of_year.map(|(today, (leaf, sun))| {
                let sums = curves.sums(leaf, sun);
                curves.day(crop, best_k, &today, sums)
            }));
            if let Some(chill_kh) = crop.cold.chill_c.and_then(|chill_c| year.chill_kh(chill_c)) {
                for (day, chill_kh) in days[begun..].iter_mut().zip(chill_kh) {
                    day.chill_kh = *chill_kh;
                }
            }
            if sown {
                emergence.extend(year.root_zone.iter().map(|day| curves.up(day)));
            }
        }
        Prepared {
            years: bed.years.len(),
            shortest_day: bed.shortest_day,
            best_k: crop.best_k(),
            best_gain_g_m2: closed_gain(&steady(crop, crop.best_leaf_c()).growth),
            direct: OfWay::of(crop, Way::Direct),
            tray: OfWay::of(crop, Way::Tray),
            best_emergence_days: crop.best_emergence_days(),
            bed_days: bed.clone(),
            days,
            none: CropDay::default(),
            emergence,
        }
    }

    /// Index of day `day` counted from 1 January of year `year`; years past the last wrap round.
    #[inline]
    fn index(&self, year: usize, day: usize) -> usize {
        let index = year * DAYS_PER_YEAR + day;
        // Dividing costs more than the rest of a day's growth, and most days lie within the years held.
        if index < self.days.len() {
            index
        } else {
            index.checked_rem(self.days.len()).unwrap_or(0)
        }
    }

    /// Day `day` counted from 1 January of year `year`; years past the last wrap round.
    #[inline]
    pub fn day(&self, year: usize, day: usize) -> &CropDay {
        self.days.get(self.index(year, day)).unwrap_or(&self.none)
    }

    /// The same day as the bed has it for any crop.
    pub fn bed_day(&self, year: usize, day: usize) -> BedDay {
        self.bed_days.day(self.index(year, day)).unwrap_or_default()
    }

    /// Progress to emergence on a day, 1 = up, and the same times the share of seeds that make a sound seedling.
    pub fn emergence(&self, year: usize, day: usize) -> (f64, f64) {
        let found = self.emergence.get(self.index(year, day));
        found.map_or((0.0, 0.0), |[up, sound]| {
            (f64::from(*up), f64::from(*sound))
        })
    }

    /// What a closed stand gains on a day against a best day, 0 to 1: the pace of a ready crop.
    pub fn pace(&self, year: usize, day: usize) -> f64 {
        let gain = closed_gain(&self.day(year, day).growth);
        f64::from(gain / self.best_gain_g_m2.max(f32::MIN_POSITIVE)).clamp(0.0, 1.0)
    }

    /// Mean of a daily figure of the bed over `count` days that end with day `day` (days before the first wrap round).
    pub fn mean_to(
        &self,
        year: usize,
        day: usize,
        count: usize,
        figure: impl Fn(&BedDay) -> f64,
    ) -> f64 {
        // A whole round of the years keeps the subtraction from going below nought.
        let end = (year + self.years) * DAYS_PER_YEAR + day;
        let sum: f64 = (0..count)
            .filter_map(|back| self.bed_days.day(self.index(0, end.saturating_sub(back))))
            .map(|day| figure(&day))
            .sum();
        sum / count.max(1) as f64
    }
}

/// Works out the daily figures of a crop in a bed climate; for many crops see [`BedDays`].
pub fn prepare(crop: &Crop, climate: &BedClimate) -> Prepared {
    Prepared::new(crop, &BedDays::of(climate, &chills_c([crop])))
}

/// Mass of a stand that just covers the ground, g/m2 (own choice: where upkeep no longer rises).
const CLOSED_G_M2: f32 = 150.0;

fn closed_gain(day: &DayGrowth) -> f32 {
    day.supply_g_m2 - day.upkeep * CLOSED_G_M2
}

/// A day at a steady temperature in full light, which published days and yields are taken to mean.
pub fn steady(crop: &Crop, leaf_c: f64) -> CropDay {
    let warmth = warmth::growing_degrees(&crop.temperature, leaf_c);
    let h = warmth::photosynthesis(crop.growth.class, leaf_c);
    let today = BedDay {
        leaf_c,
        upkeep: warmth::upkeep(leaf_c),
        week_leaf_c: leaf_c,
        week_light_mol_m2_day: light::FULL_LIGHT_MOL_M2_DAY,
        light_mol_m2_day: light::FULL_LIGHT_MOL_M2_DAY,
        carbon_share: 1.0,
        root_zone_c: f64::INFINITY,
        coldest_c: leaf_c,
        hottest_c: leaf_c,
        ..BedDay::default()
    };
    gains(crop, crop.best_k(), &today, warmth, h)
}

/// What any day gives to growth, from its mean warmth and the share of photosynthesis that temperature allows.
pub(super) fn gains(
    crop: &Crop,
    best_k: f64,
    today: &BedDay,
    warmth_k_d: f64,
    photosynthesis: f64,
) -> CropDay {
    let figures = &crop.growth;
    let root = response::root_zone_factor(crop.root_zone_min_c, today.root_zone_c);
    // One's own first harvests stretch leaf growth and age alike.
    let warmth_k_d = warmth_k_d / crop.timing.sum_factor;
    let leafing = (figures.leaf_rate_per_day / best_k * warmth_k_d * root).exp() - 1.0;
    let supply =
        light::supply_g_m2(today.light_mol_m2_day) * today.carbon_share * photosynthesis * root;
    let after_frost = if today.coldest_c < FROST_SLOWS_BELOW_C {
        AFTER_FROST
    } else {
        1.0
    };
    let dryness = if figures.class.is_leaves() {
        light::leaf_dryness(today.week_light_mol_m2_day, today.week_leaf_c)
    } else {
        1.0
    };
    CropDay {
        growth: DayGrowth {
            leafing: leafing as f32,
            supply_g_m2: (supply * after_frost) as f32,
            upkeep: today.upkeep as f32,
            leaf_m2_g: (figures.leaf_m2_g * warmth::thinness(today.leaf_c)) as f32,
        },
        warmth_k_d: warmth_k_d as f32,
        fresh_kg_g: (figures.harvest_index / (G_PER_KG * figures.dry_share * dryness)) as f32,
        ..CropDay::default()
    }
}

/// A night colder than this slows photosynthesis the next day (from memory), °C.
const FROST_SLOWS_BELOW_C: f64 = -2.0;
/// Share of photosynthesis left after such a night (own choice).
const AFTER_FROST: f64 = 0.7;
const G_PER_KG: f64 = 1000.0;
