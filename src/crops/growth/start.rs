//! From seed or tray to a young stand in its bed.

use super::class::Class;
use super::outcome::{EventKind, Growth, Sowing};
use super::plant::Plant;
use crate::calendar::{DAYS_PER_WEEK, DAYS_PER_YEAR};
use crate::crops::{Cause, Crop, Hardiness, Loss, Prepared, Way};

/// A seed that is not up after so many days is taken for lost (common practice, no source).
const LONGEST_EMERGENCE_DAYS: usize = 100;
/// The same for the seed of a tender crop, which rots in cold soil (common practice, no source; the slowest of the tabulated
/// days is 43, tomato at 10 °C).
const LONGEST_TENDER_EMERGENCE_DAYS: usize = 45;
/// The same of cloves and tubers, which lie in cold ground until spring (common practice, no source).
const LONGEST_PIECE_EMERGENCE_DAYS: usize = 210;
/// Days of root zone that are looked at before setting out.
const SETTING_OUT_DAYS: usize = 5;
/// Days that plants ready in their trays are held back for a bed that is still too cold (common practice, no source: a week or
/// two, longer makes them leggy).
const HELD_BACK_DAYS: usize = 14;
/// Temperature of trays indoors, °C (common practice, no source).
pub const TRAY_C: f64 = 20.0;

/// A young stand on its first day in the bed.
pub struct Young {
    /// Day on which it is up, or set out.
    pub day: usize,
    /// Its leaves and mass.
    pub plant: Plant,
    /// Warmth of the root zone that it still needs to root, K d.
    pub rooting_k_d: f32,
    /// Cold that it has met before, days.
    pub cold: f32,
}

/// Warmth of the root zone over 0 °C that a plant set out needs to root, K d (own choice: four days at 20 °C).
pub const ROOTING_K_D: f64 = 80.0;
/// Share of its pace in full light that a plant keeps in a tray (own choice, no source).
const TRAY_PACE: f64 = 0.7;
/// Largest leaf area at setting out: leaf crops, and what is grown on, m2 a plant (class figures from memory). Fruiting crops are
/// grown on, and cabbages of all kinds, which take six to eight weeks to five to seven true leaves (Utah State Univ. vegetable
/// guide, transplant production, read).
const TRAY_LEAF_M2: f64 = 25e-4;
const GROWN_ON_LEAF_M2: f64 = 100e-4;
/// Mass at setting out against that of its leaves alone (roots and stems; own choice).
const TRAY_MASS: f64 = 1.5;

/// The young stand of a sowing, or why there is none.
///
/// # Errors
/// The loss, with its day.
pub fn start(
    crop: &Crop,
    prepared: &Prepared,
    year: usize,
    sowing: Sowing,
    growth: &mut Growth,
) -> Result<Young, Loss> {
    in_season(crop, prepared, sowing)?;
    match sowing.way {
        Way::Direct => emerge(crop, prepared, year, sowing.day, growth),
        Way::Tray => set_out(crop, prepared, year, sowing.day, growth),
    }
}

/// Leaves and mass of a stand just up, or of its pieces just planted.
pub fn seedlings(crop: &Crop) -> Plant {
    let leaf = crop.spacing.plants_per_m2 * crop.growth.seed_leaf_m2;
    Plant {
        leaf_m2_m2: leaf as f32,
        mass_g_m2: (leaf / crop.growth.leaf_m2_g) as f32,
    }
}

/// Leaves and mass of a stand just set out.
pub fn transplants(crop: &Crop) -> Plant {
    let figures = &crop.growth;
    let days_in_leaf = crop.tray_days().saturating_sub(crop.days_up(TRAY_C)) as f64;
    let warmth = super::warmth::growing_degrees(&crop.temperature, TRAY_C) / crop.best_k();
    let grown = (TRAY_PACE * figures.leaf_rate_per_day * warmth * days_in_leaf).exp();
    let heads = matches!(figures.class, Class::Head | Class::Curd);
    let most_m2 = if heads || crop.habit == crate::crops::Habit::Fruit {
        GROWN_ON_LEAF_M2
    } else {
        TRAY_LEAF_M2
    };
    // Pieces and bought plants are as big as they are.
    let one_m2 = if crop.emergence.is_none() {
        figures.seed_leaf_m2
    } else {
        (figures.seed_leaf_m2 * grown).min(most_m2)
    };
    let leaf = crop.spacing.plants_per_m2 * one_m2;
    Plant {
        leaf_m2_m2: leaf as f32,
        mass_g_m2: (TRAY_MASS * leaf / figures.leaf_m2_g) as f32,
    }
}

/// Refuses what is not planted in the season of the sowing.
fn in_season(crop: &Crop, prepared: &Prepared, sowing: Sowing) -> Result<(), Loss> {
    let (Some(season), Some(shortest)) = (crop.planting_weeks, prepared.shortest_day) else {
        return Ok(());
    };
    let since = (sowing.day + DAYS_PER_YEAR - shortest) % DAYS_PER_YEAR;
    let weeks = since as f64 / DAYS_PER_WEEK as f64;
    let cause = Cause::NotAtHand;
    if weeks < season.low {
        Err(Loss::below(sowing.day, cause, weeks, season.low, "weeks"))
    } else if weeks > season.high {
        Err(Loss::above(sowing.day, cause, weeks, season.high, "weeks"))
    } else {
        Ok(())
    }
}

/// Seed in the bed: the day seedlings are up.
fn emerge(
    crop: &Crop,
    prepared: &Prepared,
    year: usize,
    sown: usize,
    growth: &mut Growth,
) -> Result<Young, Loss> {
    let (mut progress, mut sound) = (0.0, 0.0);
    let longest = match crop.hardiness {
        _ if crop.growth.from_piece => LONGEST_PIECE_EMERGENCE_DAYS,
        Hardiness::Tender => LONGEST_TENDER_EMERGENCE_DAYS,
        _ => LONGEST_EMERGENCE_DAYS,
    };
    let from_seed = crop.bolting.is_some_and(|b| b.juvenile_share <= 0.0)
        || crop.growth.from_piece && crop.bulbing.is_some();
    let mut cold = 0.0;
    let last = sown + longest;
    for day in sown..last {
        let (up, sound_up) = prepared.emergence(year, day);
        progress += up;
        sound += sound_up;
        if from_seed {
            cold += prepared.day(year, day).cold;
        }
        if progress >= 1.0 {
            // Thinning takes what is too many; what is too few stays a gap.
            let plants = sound / progress * crop.spacing.seeds_per_plant;
            growth.stand_share = plants.min(1.0);
            growth.emergence_day = Some(day + 1);
            growth.note(day + 1, EventKind::Emerged);
            return Ok(Young {
                day: day + 1,
                plant: prepared.of_way(Way::Direct).young,
                rooting_k_d: 0.0,
                cold,
            });
        }
    }
    let found = prepared.mean_to(year, last, longest, |day| day.root_zone_c);
    let curve = crop.emergence.as_ref();
    let needed = curve.map_or(found, |curve| curve.coldest_within(longest as f64));
    let limit = curve.map_or(f64::INFINITY, |curve| curve.none_above_c);
    Err(if found > needed {
        Loss::above(last, Cause::RootZoneHot, found, limit, "°C")
    } else {
        Loss::below(last, Cause::RootZoneCold, found, needed, "°C")
    })
}

/// Tray indoors: the day the plants are set out, as soon as the root zone is warm enough for them.
fn set_out(
    crop: &Crop,
    prepared: &Prepared,
    year: usize,
    sown: usize,
    growth: &mut Growth,
) -> Result<Young, Loss> {
    let days_up = crop.days_up(TRAY_C);
    if days_up > 0 {
        growth.emergence_day = Some(sown + days_up);
        growth.note(sown + days_up, EventKind::Emerged);
    }
    let ready = sown + crop.tray_days();
    let day = (ready..=ready + HELD_BACK_DAYS).find(|&day| can_set_out(crop, prepared, year, day));
    growth.bed_from_day = day.unwrap_or(ready + HELD_BACK_DAYS);
    let Some(day) = day else {
        let found = root_zone_c(prepared, year, ready);
        let needed = crop.root_zone_min_c.unwrap_or(found);
        let given_up = growth.bed_from_day;
        return Err(Loss::below(
            given_up,
            Cause::RootZoneCold,
            found,
            needed,
            "°C",
        ));
    };
    growth.transplant_day = Some(day);
    growth.note(day, EventKind::SetOut);
    Ok(Young {
        day,
        plant: prepared.of_way(Way::Tray).young,
        rooting_k_d: ROOTING_K_D as f32,
        cold: 0.0,
    })
}

/// True where nothing had to wait for the bed: sown in it, or set out within a week of the day on which the plants of the tray
/// were ready.
pub fn in_bed_on_time(crop: &Crop, sowing: Sowing, growth: &Growth) -> bool {
    match sowing.way {
        Way::Direct => true,
        Way::Tray => {
            let ready = sowing.day + crop.tray_days();
            growth
                .transplant_day
                .is_some_and(|day| day <= ready + DAYS_PER_WEEK)
        }
    }
}

fn root_zone_c(prepared: &Prepared, year: usize, day: usize) -> f64 {
    prepared.mean_to(year, day, SETTING_OUT_DAYS, |day| day.root_zone_c)
}

/// True if the root zone is warm enough for setting out on a day.
pub fn can_set_out(crop: &Crop, prepared: &Prepared, year: usize, day: usize) -> bool {
    let warm = |min| root_zone_c(prepared, year, day) >= min;
    crop.root_zone_min_c.is_none_or(warm)
}
