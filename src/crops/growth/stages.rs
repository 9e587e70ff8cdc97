//! Stages that have a clock of their own: running to seed, heads and curds, bulbs.

use super::days::CropDay;
use super::start::TRAY_C;
use crate::crops::response::{flowering_degrees, long_day};
use crate::crops::{Bolting, Cause, Crop, Loss, Prepared, Way};

/// How far a plant has gone towards flower.
pub struct Flowering {
    /// Cold met, days.
    pub cold: f32,
    /// Cold that calls, days; without end where nothing runs to seed.
    cold_days: f32,
    /// Share of the way from the call to a crop past use.
    flowered: f32,
}

impl Flowering {
    /// A stand at its start; plants from a tray have seen its days, which are as long as those outside.
    ///
    /// Source: spinach raised under long days bolts soon after setting out, raised under short days it does not (Chun et al.
    /// 2000, Kim et al. 2001, read).
    pub fn new(
        crop: &Crop,
        prepared: &Prepared,
        (year, from_day): (usize, usize),
        way: Way,
        cold: f32,
    ) -> Self {
        let bolting = crop
            .bolting
            .filter(|_| way == Way::Tray && crop.emergence.is_some());
        let flowered = bolting.map_or(0.0, |bolting| {
            in_tray(crop, prepared, (year, from_day), &bolting)
        });
        // A strawberry's trusses use the same figures of the day for their own ends.
        let seeds = crop
            .bolting
            .filter(|_| crop.growth.class != super::class::Class::Berry);
        Self {
            cold,
            cold_days: seeds.map_or(f32::INFINITY, |bolting| bolting.cold_days as f32),
            flowered: if seeds.is_some() {
                flowered as f32
            } else {
                f32::NEG_INFINITY
            },
        }
    }

    /// A day of cold and day length for a plant past its youth or not; true once it is past use.
    #[inline]
    pub fn day(&mut self, today: &CropDay, past_youth: bool) -> bool {
        if past_youth {
            self.cold += today.cold;
        }
        self.flowered += if self.cold >= self.cold_days {
            today.flower_after_cold
        } else {
            today.flower
        };
        self.flowered >= 1.0
    }
}

/// Way to flower made by young plants in a tray, which stands in daylight at a room's warmth and meets no cold.
fn in_tray(
    crop: &Crop,
    prepared: &Prepared,
    (year, from_day): (usize, usize),
    bolting: &Bolting,
) -> f64 {
    let (critical_h, days) = if bolting.cold_days <= 0.0 {
        (bolting.day_length_after_cold_h, bolting.days)
    } else {
        match bolting.days_without_cold {
            Some(days) => (bolting.day_length_h, days),
            None => return 0.0,
        }
    };
    let best = flowering_degrees(&crop.temperature, crop.best_leaf_c());
    let warmth = flowering_degrees(&crop.temperature, TRAY_C) / best;
    let up = crop.days_up(TRAY_C);
    let first = from_day.saturating_sub(crop.tray_days().saturating_sub(up));
    let call: f64 = (first..from_day)
        .map(|day| long_day(critical_h, prepared.bed_day(year, day).day_length_h))
        .sum();
    call * warmth / days
}

/// The loss of a crop that has run to seed.
pub fn bolted(crop: &Crop, prepared: &Prepared, year: usize, day: usize) -> Loss {
    let found = prepared.bed_day(year, day).day_length_h;
    let needed = crop.bolting.map_or(found, |bolting| bolting.day_length_h);
    Loss::above(day, Cause::Bolts, found, needed, "h")
}

/// Days of full cold after youth that begin a curd (Wurr et al. 1988, read, for the corners; days from memory).
const CURD_COLD_DAYS: f32 = 8.0;
/// A plant that has gone so many times its youth without beginning a curd is given up (own choice).
const LONGEST_YOUTH: f32 = 2.5;
/// Age at which bulbs can begin, K d since seedlings up (Lancaster et al. 1996, read), and what of it a tray gives.
const BULB_AGE_K_D: f32 = 600.0;
const BULB_TRAY_K_D: f32 = 200.0;

/// An organ that is not leaf: its place on the way from nothing to full, 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Organ {
    /// Nothing but leaves, roots or shafts, which are good at any age.
    None,
    /// A head of leaves, or a curd that waits for its cold.
    Head { met: f32, full: f32 },
    /// A bulb that waits for age, cold and long days; `seed` is the cold that a big plant has met, days, until some are called to
    /// seed, and then how old they were, K d.
    Bulb { met: f32, full: f32, seed: f32 },
}

/// Share of a bulb below which short days turn the plant back to leaves (bulbing can be turned back: Heath & Holdsworth 1948, as told
/// by Brewster, from memory; the share is own choice).
const BULB_STAYS: f32 = 0.35;
/// Age from which an onion hears cold, K d, and days of cold that call it to seed (from memory).
const SEED_AGE_K_D: f32 = 900.0;
const SEED_COLD_DAYS: f32 = 60.0;
/// Share of a stand that runs to seed where it has just that age, and what older stands lose more, 1/(K d), to the most (own choice;
/// that early sowings run to seed and late ones hardly is Wellesbourne's and New Hampshire's: Sideman et al. 2014, HortTechnology
/// 24:655, abstract read; early August many bolters in Britain, after early September plants too small, read).
const SEED_SHARE: f32 = 0.2;
const SEED_SHARE_PER_K_D: f32 = 0.001;
const SEED_SHARE_MOST: f32 = 0.8;

/// What a day did to an organ.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    /// Grows on.
    On,
    /// Began today.
    Begins,
    /// Will not come: too hot or too cold to begin.
    Never,
    /// A bulb whose days have become too short before it was full.
    Stopped,
    /// Some of the bulbs are called to seed.
    Seeds,
}

impl Organ {
    /// Of a crop at its start; a clove has met its cold (days) in the ground too.
    pub fn new(crop: &Crop, cold: f32) -> Self {
        if crop.bulbing.is_some() {
            Organ::Bulb {
                met: cold,
                full: 0.0,
                seed: 0.0,
            }
        } else if crop.growth.fill_k_d.is_some() {
            Organ::Head {
                met: 0.0,
                full: 0.0,
            }
        } else {
            Organ::None
        }
    }

    /// Share of its full size, 0 to 1; 1 where there is no organ.
    pub fn full(&self) -> f32 {
        match self {
            Organ::None => 1.0,
            Organ::Head { full, .. } | Organ::Bulb { full, .. } => *full,
        }
    }

    /// Share of the stand that has not been called to seed.
    pub fn not_seeding(&self) -> f32 {
        match self {
            Organ::Bulb { seed, .. } if *seed >= SEED_AGE_K_D => {
                let older = SEED_SHARE_PER_K_D * (seed - SEED_AGE_K_D);
                1.0 - (SEED_SHARE + older).min(SEED_SHARE_MOST)
            }
            _ => 1.0,
        }
    }

    /// Share of the wish for leaves that is left.
    pub fn leaf_share(&self) -> f32 {
        match self {
            Organ::Bulb { full, .. } => (1.0 - 1.5 * full).max(0.0),
            _ => 1.0,
        }
    }

    /// One day at an age, K d.
    #[inline]
    pub fn day(&mut self, crop: &Crop, today: &CropDay, age_k_d: f32, way: Way) -> Step {
        match self {
            Organ::None => Step::On,
            Organ::Head { met, full } => head(crop, today, age_k_d, (met, full)),
            Organ::Bulb { met, full, seed } => {
                *met += today.cold;
                let credit = if way == Way::Tray { BULB_TRAY_K_D } else { 0.0 };
                let cold_days = crop.bulbing.map_or(0.0, |bulb| bulb.cold_days) as f32;
                // What needs cold to fill, as garlic does, is not called to seed by it.
                let age = age_k_d + credit;
                if cold_days <= 0.0 && age >= SEED_AGE_K_D && *seed < SEED_COLD_DAYS && *full <= 0.0
                {
                    *seed += today.cold;
                    if *seed >= SEED_COLD_DAYS {
                        *seed = age;
                        return Step::Seeds;
                    }
                }
                if age_k_d + credit < BULB_AGE_K_D || *met < cold_days {
                    return Step::On;
                }
                let before = *full;
                *full = (before + today.organ).min(1.0);
                if before > 0.0 && before < 1.0 && today.organ <= 0.0 && *met >= cold_days {
                    if before >= BULB_STAYS {
                        return Step::Stopped;
                    }
                    *full = 0.0;
                }
                if before == 0.0 && *full > 0.0 {
                    return Step::Begins;
                }
                Step::On
            }
        }
    }
}

fn head(crop: &Crop, today: &CropDay, age_k_d: f32, (met, full): (&mut f32, &mut f32)) -> Step {
    let juvenile_k_d = crop.growth.juvenile_k_d.unwrap_or(0.0) as f32;
    let fill_k_d = crop.growth.fill_k_d.unwrap_or(1.0) as f32;
    if age_k_d < juvenile_k_d {
        return Step::On;
    }
    let waits = crop.curd_none_above_c.is_some();
    if waits && *met < CURD_COLD_DAYS {
        *met += today.cold;
        if *met >= CURD_COLD_DAYS {
            return Step::Begins;
        }
        if age_k_d > LONGEST_YOUTH * juvenile_k_d {
            return Step::Never;
        }
        return Step::On;
    }
    let before = *full;
    *full = (before + today.warmth_k_d / fill_k_d).min(1.0);
    if !waits && before == 0.0 {
        Step::Begins
    } else {
        Step::On
    }
}
