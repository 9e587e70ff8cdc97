//! What a day does to a crop: its curves on the ladder of temperatures, and what they come to.

use super::class::Class;
use super::days::{CropDay, gains};
use super::{frost, light, warmth};
use crate::calendar::HOURS_PER_DAY;
use crate::crops::bed_days::{BedDay, DaySteps, Ladder};
use crate::crops::{Crop, response};

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
pub(super) struct Curves {
    /// Warmth, photosynthesis, cold, and the way to flower, bulb or ripe berry.
    leaf: Vec<[f32; 4]>,
    /// Progress to emergence in an hour, and that of sound seedlings.
    root_zone: Vec<[f32; 2]>,
}

impl Curves {
    pub(super) fn of(crop: &Crop) -> Self {
        let class = crop.growth.class;
        let leaf = |leaf_c: f64| {
            let within = |(low, high): (f64, f64)| (leaf_c.min(high) - low).max(0.0);
            let last = match class {
                Class::Bulb => within(BULB_C),
                Class::Berry => within((BERRY_BASE_C, crop.temperature.ceiling_c)),
                _ if crop.bolting.is_some() => {
                    response::flowering_degrees(&crop.temperature, leaf_c)
                        / response::flowering_degrees(&crop.temperature, crop.best_leaf_c())
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
            let emergence = crop.emergence.as_ref();
            let rate_per_day = emergence.map_or(0.0, |curve| curve.rate_per_day(temp_c));
            let rate = rate_per_day / HOURS_PER_DAY as f64;
            let seedlings = crop.seedlings.as_ref();
            let sound = seedlings.map_or(1.0, |share| share.at(temp_c));
            [rate as f32, (rate * sound) as f32]
        };
        Self {
            leaf: Ladder::table(leaf),
            root_zone: Ladder::table(root_zone),
        }
    }

    pub(super) fn up(&self, root_zone: &DaySteps) -> [f32; 2] {
        let hours = root_zone.at(&self.root_zone);
        hours.fold([0.0; 2], |[up, sound], [rate, sound_rate]| {
            [up + rate, sound + sound_rate]
        })
    }

    /// Means of the curves over the hours of a day, photosynthesis by the sun's share of each.
    #[inline]
    pub(super) fn sums(&self, leaf: &DaySteps, sun: &[f32; HOURS_PER_DAY]) -> [f32; 4] {
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
    pub(super) fn day(&self, crop: &Crop, best_k: f64, today: &BedDay, sums: [f32; 4]) -> CropDay {
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
    if let Some(none_above_c) = crop.curd_none_above_c {
        let full_to_c = none_above_c - CURD_FALL_K;
        return warmth::trapezoid([0.0, 5.0, full_to_c, none_above_c], leaf_c);
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
    let crown_c = frost::crown_c(crop, today.coldest_c, today.root_zone_min_c);
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
