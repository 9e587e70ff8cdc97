//! One crop in one bed climate, day by day: all that the growth of a day asks for, worked out before any sowing.

use super::class::Class;
use super::plant::{DayGrowth, Plant};
use super::{frost, light, start, warmth};
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY};
use crate::crops::bed_days::{BedDay, BedDays, DaySteps, Ladder, chills_c};
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
    /// Name of the bed climate.
    pub bed: String,
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
        let mut days = Vec::with_capacity(bed.len());
        let mut emergence = Vec::with_capacity(if sown { bed.len() } else { 0 });
        for (at, year) in bed.years().iter().enumerate() {
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
            bed: bed.name.clone(),
            years: bed.years().len(),
            shortest_day: bed.shortest_day,
            best_k: crop.best_k(),
            best_gain_g_m2: closed_gain(&steady(crop, best_leaf_c(crop)).growth),
            direct: OfWay::of(crop, Way::Direct),
            tray: OfWay::of(crop, Way::Tray),
            best_emergence_days: crop.best_emergence_days(),
            bed_days: bed.clone(),
            days,
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
        const NONE: &CropDay = &CropDay {
            growth: DayGrowth {
                leafing: 0.0,
                supply_g_m2: 0.0,
                upkeep: 0.0,
                leaf_m2_g: 0.0,
            },
            warmth_k_d: 0.0,
            leaf_lost: 0.0,
            organ_lost: 0.0,
            cold: 0.0,
            flower_after_cold: 0.0,
            flower: 0.0,
            organ: 0.0,
            set: 0.0,
            chill_kh: 0.0,
            fresh_kg_g: 0.0,
            kills: false,
            thaws: false,
            ripens: false,
        };
        self.days.get(self.index(year, day)).unwrap_or(NONE)
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

/// Middle of the best temperatures, °C.
pub fn best_leaf_c(crop: &Crop) -> f64 {
    let temperature = &crop.temperature;
    temperature.best_c.middle().min(temperature.upper_c)
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
        root_zone_c: f64::INFINITY,
        coldest_c: leaf_c,
        hottest_c: leaf_c,
        ..BedDay::default()
    };
    gains(crop, crop.best_k(), &today, warmth, h)
}

/// What any day gives to growth, from its mean warmth and the share of photosynthesis that temperature allows.
fn gains(
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
    let supply = light::supply_g_m2(today.light_mol_m2_day) * photosynthesis * root;
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
/// Half of heads, fruit and flowers are lost so far below the temperature at which damage begins, K (own choice).
const ORGAN_HALF_BELOW_K: f64 = 1.0;
/// Fruit ripens no further on a day with a colder mean, °C (own choice, no source).
const RIPENS_ABOVE_C: f64 = 8.0;
/// Strawberries' blossom gives no pollen on a day with a colder mean, °C (from memory: anthers open from about 12 °C on).
const BLOSSOM_ABOVE_C: f64 = 12.0;
/// Warmest and coldest leaf that fill a bulb, °C (class figure, no source).
const BULB_C: (f64, f64) = (5.0, 25.0);
/// Degrees over the coldest of them that fill a bulb once it has begun, K d: set so that storage onions ripen in late July
/// between 42 and 48 degrees north.
const BULB_FILL_K_D: f64 = 640.0;
/// Warmest temperature that counts as cold for bulbs, °C (garlic: cold under about 10 °C, from memory, Brewster).
const BULB_COLD_C: [f64; 4] = [-2.0, 0.0, 9.0, 10.0];
/// Least effect of a day on a curd that waits to begin, while the day's mean is below the next: warmth delays, heat forbids
/// (own choice; Wurr et al. 1990: heat delays the curd).
const CURD_COLD_LEAST: f32 = 0.05;
const CURD_HOT_C: f64 = 28.0;
/// Kelvins over which the call of cold to a curd falls from full to nothing: White Fox, a cauliflower, hears it fully up to 17 °C and
/// not above 24 (Wurr et al. 1988, read); broccoli, whose heads begin fastest at 20 °C (Tan et al. 2000, abstract read), up to 19.
const CURD_FALL_K: f64 = 7.0;
/// Base of trusses and berries, °C, and mean temperatures at which trusses begin, °C: June-bearing sorts, day-neutral sorts (Bradford et al. 2010, read; a nursery's page, read).
const BERRY_BASE_C: f64 = 4.0;
const SHORT_DAY_TRUSS_C: (f64, f64) = (8.0, 20.0);
const ANY_DAY_TRUSS_C: (f64, f64) = (10.0, 26.0);
/// Chill that breaks a strawberry's rest, °C.
const CHILL_C: (f64, f64) = (-1.0, 7.0);

/// A crop's curves on the ladder of temperatures.
struct Curves {
    /// Warmth, photosynthesis, cold, and the way to flower, bulb or ripe berry.
    leaf: Vec<[f32; 4]>,
    /// Progress to emergence in an hour, and that of sound seedlings.
    root_zone: Vec<[f32; 2]>,
}

impl Curves {
    fn of(crop: &Crop) -> Self {
        let class = crop.growth.class;
        let leaf = |leaf_c: f64| {
            let within = |(low, high): (f64, f64)| (leaf_c.min(high) - low).max(0.0);
            let last = match class {
                Class::Bulb => within(BULB_C),
                Class::Berry => within((BERRY_BASE_C, crop.temperature.ceiling_c)),
                _ if crop.bolting.is_some() => {
                    response::flowering_degrees(&crop.temperature, leaf_c)
                        / response::flowering_degrees(&crop.temperature, best_leaf_c(crop))
                }
                _ => 0.0,
            };
            let warmth = warmth::growing_degrees(&crop.temperature, leaf_c);
            [
                warmth as f32,
                warmth::photosynthesis(class, leaf_c) as f32,
                cold(crop, leaf_c) as f32,
                last as f32,
            ]
        };
        let root_zone = |temp_c: f64| {
            let rate = crop
                .emergence
                .as_ref()
                .map_or(0.0, |curve| curve.rate_per_day(temp_c))
                / HOURS_PER_DAY as f64;
            let sound = crop
                .seedlings
                .as_ref()
                .map_or(1.0, |seedlings| seedlings.share.at(temp_c));
            [rate as f32, (rate * sound) as f32]
        };
        Self {
            leaf: Ladder::table(leaf),
            root_zone: Ladder::table(root_zone),
        }
    }

    fn up(&self, root_zone: &DaySteps) -> [f32; 2] {
        let hours = root_zone.at(&self.root_zone);
        hours.fold([0.0; 2], |[up, sound], [rate, sound_rate]| {
            [up + rate, sound + sound_rate]
        })
    }

    /// Means of the curves over the hours of a day, photosynthesis by the sun's share of each.
    #[inline]
    fn sums(&self, leaf: &DaySteps, sun: &[f32; HOURS_PER_DAY]) -> [f32; 4] {
        const HOUR: f32 = 1.0 / HOURS_PER_DAY as f32;
        let mut sums = [0.0_f32; 4];
        for (at, &sun) in leaf.at(&self.leaf).zip(sun) {
            let shares = [HOUR, sun, HOUR, HOUR];
            for figure in 0..4 {
                sums[figure] += at[figure] * shares[figure];
            }
        }
        sums
    }

    /// The day made of them.
    fn day(&self, crop: &Crop, best_k: f64, today: &BedDay, sums: [f32; 4]) -> CropDay {
        let [warmth, photosynthesis, cold, last] = sums;
        let day = gains(
            crop,
            best_k,
            today,
            f64::from(warmth),
            f64::from(photosynthesis),
        );
        let day = CropDay {
            cold,
            thaws: today.thaws,
            ..day
        };
        organs(crop, today, last, harms(crop, today, day))
    }
}

/// Effect of an hour as cold that calls, 0 to 1; of strawberries, as chill, h a day.
fn cold(crop: &Crop, leaf_c: f64) -> f64 {
    if crop.growth.class == Class::Berry {
        let chills = leaf_c > CHILL_C.0 && leaf_c < CHILL_C.1;
        return if chills { HOURS_PER_DAY as f64 } else { 0.0 };
    }
    if let Some(curd) = crop.curd {
        let full_to_c = curd.none_above_c - CURD_FALL_K;
        return warmth::trapezoid([0.0, 5.0, full_to_c, curd.none_above_c], leaf_c);
    }
    if let Some(bolting) = crop.bolting.filter(|bolting| bolting.cold_days > 0.0) {
        let from_seed = bolting.juvenile_share <= 0.0;
        return warmth::vernalization(bolting.cold_max_c, from_seed, leaf_c);
    }
    match crop.bulbing {
        Some(_) => warmth::trapezoid(BULB_COLD_C, leaf_c),
        None => 0.0,
    }
}

/// What the night and the heat of the day take.
fn harms(crop: &Crop, today: &BedDay, day: CropDay) -> CropDay {
    let half_c = crop.cold.kill_at(today.hardening);
    let by_frost = frost::frost_share(today.coldest_c, half_c);
    let by_heat = frost::scorch_share(today.hottest_c);
    let crown_c = frost::crown_c(today.coldest_c, today.root_zone_min_c);
    let organ_lost = crop.cold.damage_from_c.map_or(0.0, |from_c| {
        frost::frost_share(today.coldest_c, from_c - ORGAN_HALF_BELOW_K)
    });
    CropDay {
        leaf_lost: (1.0 - (1.0 - by_frost) * (1.0 - by_heat)) as f32,
        organ_lost: organ_lost as f32,
        kills: frost::kills(crop, by_frost, crown_c, half_c)
            || today.leaf_max_c > frost::HEAT_KILL_C,
        ..day
    }
}

/// What the day does for flowers, fruit, bulbs and chilling; `last` is the mean of the crop's own last curve.
fn organs(crop: &Crop, today: &BedDay, last: f32, mut day: CropDay) -> CropDay {
    let class = crop.growth.class;
    day.ripens = today.leaf_c >= RIPENS_ABOVE_C;
    let within = |(low, high): (f64, f64)| today.leaf_c >= low && today.leaf_c <= high;
    match class {
        Class::Berry => {
            let short_day_h = crop.growth.short_day_h.unwrap_or(0.0);
            let begins = |is: bool| f32::from(u8::from(is));
            day.flower_after_cold =
                begins(today.day_length_h < short_day_h && within(SHORT_DAY_TRUSS_C));
            day.flower = begins(within(ANY_DAY_TRUSS_C))
                * light::set_share(light::least_for_set(class), today.week_light_mol_m2_day) as f32;
            // Trusses grow on in the cold; berries do not ripen in it (see `ripens`).
            day.organ = last;
        }
        Class::Bulb => {
            let dl_h = crop.bulbing.map_or(f64::INFINITY, |bulb| bulb.day_length_h);
            let over_h = today.day_length_h - dl_h;
            if over_h >= 0.0 {
                let call = (0.5 + 0.25 * over_h).min(1.0);
                // Long days call even where cold stands still.
                day.organ = (last * (call / BULB_FILL_K_D) as f32).max(f32::EPSILON);
            }
        }
        Class::Fruit | Class::Legume => {
            day.organ = day.warmth_k_d;
        }
        Class::Curd if today.leaf_c < CURD_HOT_C => {
            day.cold = day.cold.max(CURD_COLD_LEAST);
        }
        _ => {}
    }
    if let (Some(bolting), false) = (crop.bolting, class == Class::Berry) {
        // A bulb's own curve is of degrees.
        let pace = if class == Class::Bulb {
            last / (BULB_C.1 - BULB_C.0) as f32
        } else {
            last
        };
        let call = |critical_h, days| {
            pace * (response::long_day(critical_h, today.day_length_h) / days) as f32
        };
        day.flower_after_cold = call(bolting.day_length_after_cold_h, bolting.days);
        day.flower = if bolting.cold_days <= 0.0 {
            day.flower_after_cold
        } else {
            bolting
                .days_without_cold
                .map_or(0.0, |days| call(bolting.day_length_h, days))
        };
    }
    if let (Class::Fruit | Class::Legume | Class::Berry, true) = (class, day.organ_lost < 1.0) {
        let weather = crop
            .fruit_set
            .map_or(1.0, |set| set.share(today.air_min_c, today.air_max_c));
        let lit = light::set_share(light::least_for_set(class), today.week_light_mol_m2_day);
        // Where vents open the air stands at what they hold.
        let aired = crop
            .aired
            .filter(|(vents_c, _)| today.air_max_c >= vents_c - 0.1);
        let pollinated = aired.map_or(crop.pollinated, |(_, share)| share);
        day.set = (weather * lit * pollinated) as f32 * (1.0 - day.organ_lost);
        // In a cold house blossom stays shut, and nothing carries pollen (Purdue, Facts for Fancy Fruit, read: winter flowers
        // were mostly not pollinated).
        let opens_above_c = if class == Class::Berry {
            BLOSSOM_ABOVE_C
        } else {
            RIPENS_ABOVE_C
        };
        if today.leaf_c < opens_above_c {
            day.set = 0.0;
        }
    }
    day
}
