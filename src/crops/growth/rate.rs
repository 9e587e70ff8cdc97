//! The pace of leaf growth, solved from published days and yields: they still speak, and cannot force a nonsense.

use super::days::steady;
use super::light;
use super::stages::Organ;
use super::start::{ROOTING_K_D, seedlings, transplants};
use crate::calendar::DAYS_PER_WEEK;
use crate::crops::{Class, Crop, Habit, Way};
use crate::numbers::halved;
use crate::words::worded;

worded! {
    /// Where a rate comes from, in the words of crop figures.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
    pub enum RateFrom {
        /// Solved from the published days and yield.
        "solved from the published days and the low yield" => Solved,
        /// Published days ask for less than three quarters of the class's pace.
        "three quarters of the class's pace: the published days ask for a slower one" => LowBound,
        /// Published days ask for more than five quarters of the class's pace.
        "five quarters of the class's pace: the published days ask for a faster one" => HighBound,
        /// The class's pace: fruiting crops and herbs, whose yields say nothing of leaves.
        #[default]
        "class default" => Class,
        /// Given in the crop file.
        "given" => File,
    }
}

/// How far a solved pace may lie from its class's (own choice).
const BOUNDS: (f64, f64) = (0.75, 1.25);
/// Halvings of that range.
const HALVINGS: usize = 24;
/// Longest that is followed, days.
const LONGEST_DAYS: usize = 400;
/// A first cut is half of the whole plant that published days mean (as in the crop files' yields).
const WHOLE_PLANTS: f64 = 2.0;

/// The pace of leaf growth at best temperature, 1/day, with which the low published days bring the low yield.
pub fn solve(crop: &Crop) -> (f64, RateFrom) {
    let class = crop.growth.class;
    let middle = class.figures().rate_per_day;
    let bears_or_herb = matches!(
        class,
        Class::Herb | Class::Legume | Class::Fruit | Class::Berry
    );
    if bears_or_herb || crop.habit == Habit::Fruit {
        return (middle, RateFrom::Class);
    }
    let sown = crop.timing.days_from_sowing.is_some() && crop.emergence.is_some();
    let way = if sown { Way::Direct } else { Way::Tray };
    let published = crop.days_to_harvest(way, 0.0);
    let mut tried = crop.clone();
    // The published days are those of the crop, not of a person whose own harvests stretch them.
    tried.timing.sum_factor = 1.0;
    let mut in_time = |rate: f64| {
        tried.growth.leaf_rate_per_day = rate;
        days_to_mass(&tried, crop.best_leaf_c(), way).is_some_and(|days| days as f64 <= published)
    };
    let (low, high) = (BOUNDS.0 * middle, BOUNDS.1 * middle);
    if in_time(low) {
        return (low, RateFrom::LowBound);
    }
    if !in_time(high) {
        return (high, RateFrom::HighBound);
    }
    let (_, high) = halved((low, high), HALVINGS, |rate| !in_time(rate));
    (high, RateFrom::Solved)
}

/// Days in the bed, from seedlings up or setting out, until a stand left alone has its low yield.
fn days_to_mass(crop: &Crop, leaf_c: f64, way: Way) -> Option<usize> {
    let times = if crop.habit == Habit::Cut {
        WHOLE_PLANTS
    } else {
        1.0
    };
    let needed = (times * crop.yields.kg_m2.low) as f32;
    follow(crop, leaf_c, way, |mass, _| mass >= needed)
}

#[cfg(feature = "inner")]
/// Days from the bed to a first picking for a crop of either way, at a steady temperature in full light (nothing flowers,
/// freezes or is refused), heads and curds when they are full; none within 400 days.
pub fn steady_days(crop: &Crop, leaf_c: f64, way: Way) -> Option<usize> {
    if crop.growth.fill_k_d.is_some() {
        return follow(crop, leaf_c, way, |_, organ| organ >= 1.0);
    }
    days_to_mass(crop, leaf_c, way)
}

/// Days until `is_ready` of fresh mass (kg/m2, organs taken as full) and organ's share.
fn follow(
    crop: &Crop,
    leaf_c: f64,
    way: Way,
    is_ready: impl Fn(f32, f32) -> bool,
) -> Option<usize> {
    let today = steady(crop, leaf_c);
    let (mut plant, rooting_days) = match way {
        Way::Direct => (seedlings(crop), 0),
        Way::Tray => {
            let days = (ROOTING_K_D / leaf_c.max(1.0)).ceil() as usize;
            (transplants(crop), days)
        }
    };
    let mut organ = Organ::new(crop, 0.0);
    let mut age_k_d = 0.0;
    let mut cold = today;
    cold.cold = 1.0;
    for day in rooting_days..LONGEST_DAYS {
        age_k_d += today.warmth_k_d;
        organ.day(crop, &cold, age_k_d, way);
        plant.grow(&today.growth, 1.0, crop.growth.leaf_m2_g as f32);
        if is_ready(plant.mass_g_m2 * today.fresh_kg_g, organ.full()) {
            return Some(day + 1);
        }
    }
    None
}

/// Bounds of the share of a day's gain that goes to fruit (from memory, Heuvelink, Marcelis: tomato and cucumber about 0.6
/// of all mass).
const FRUIT_SHARE: (f64, f64) = (0.2, 0.65);
/// Share of the light that a trained crop in full bearing catches (own choice).
const BEARING_COVER: f64 = 0.9;

/// Light of a usual day of picking, inside a plastic house in summer, mol/m2/d: some 36 outdoors, two thirds let in (computed from the
/// program's own tunnels at 36 to 47 degrees north).
const USUAL_LIGHT_MOL_M2_DAY: f64 = 24.0;
/// Mean of the weeks of picking against full bearing at best temperature: the way to full bearing 0.9; cool nights and hot noons 0.9
/// (own choice).
const USUAL_BEARING: f64 = 0.81;
/// Share of flowers that set where pollen must be carried (own choice: by hand).
const USUAL_SET: f64 = 0.9;

/// Share of a day's gain that goes to a full load of fruit with which a crop gives the middle of the published weeks in usual weeks of picking: published weeks are
/// seasons' yields over the weeks of their picking, good and bad ones.
pub fn fruit_share(crop: &Crop) -> f64 {
    if crop.habit != Habit::Fruit {
        return 0.0;
    }
    let warmth = super::warmth::photosynthesis(crop.growth.class, crop.best_leaf_c());
    let weeks = crop.yields.kg_m2;
    let (light_mol, bearing, week_kg) = match crop.growth.class {
        // Two trials of strawberries disagree fourfold (0.37 kg a plant, 0.9 kg/m2): the high week on a best day lies between them.
        Class::Berry => (light::FULL_LIGHT_MOL_M2_DAY, 1.0, weeks.high),
        _ => {
            let set = crop.pollinated.max(USUAL_SET);
            (USUAL_LIGHT_MOL_M2_DAY, set * USUAL_BEARING, weeks.middle())
        }
    };
    let supply = BEARING_COVER * warmth * light::supply_g_m2(light_mol);
    let upkeep = super::warmth::upkeep(crop.best_leaf_c()) * 150.0;
    let gain_g = (supply - upkeep).max(1.0);
    let week_g = week_kg * crop.growth.dry_share * 1000.0;
    let days = crop.timing.set_to_ripe_days.unwrap_or(1.0);
    let full_load = super::fruit::full_load(crop);
    let taken = week_g * full_load / (DAYS_PER_WEEK as f64 * days * gain_g);
    // What a usual load takes tells the pull of a full one.
    let pull = super::fruit::pull(taken.min(FRUIT_SHARE.1)) / bearing;
    (pull / (1.0 + pull)).clamp(FRUIT_SHARE.0, FRUIT_SHARE.1)
}
