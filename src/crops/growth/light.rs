//! What light gives: dry mass of a closed stand, and water in the leaves.

pub use crate::house::carbon::supply_g_m2;

/// Light in full sun, spring to summer, that published days to harvest are taken to mean, mol/m2/day (own choice).
pub const FULL_LIGHT_MOL_M2_DAY: f64 = 35.0;

/// Dry share of leaves against the food table's, by the light and warmth of the week before: dull and warm leaves are watery
/// (from memory).
pub fn leaf_dryness(light_mol_m2_day: f64, leaf_c: f64) -> f64 {
    let by_light = (0.7 + 0.3 * light_mol_m2_day / 20.0).clamp(0.75, 1.15);
    let by_warmth = (1.0 - 0.015 * (leaf_c - 18.0)).clamp(0.85, 1.0);
    by_light * by_warmth
}

/// Least light at which flowers still set, mol/m2/day, by what the plant is (from memory: trusses abort in dull weeks).
pub fn least_for_set(class: super::class::Class) -> f64 {
    use super::class::Class;
    match class {
        Class::Legume => 3.0,
        Class::Berry => 5.0,
        _ => 4.0,
    }
}

/// Share of flowers that set in a week's light, 0 to 1: none at the least, all at one and a half times it.
pub fn set_share(least_mol_m2_day: f64, light_mol_m2_day: f64) -> f64 {
    ((light_mol_m2_day - least_mol_m2_day) / (0.5 * least_mol_m2_day)).clamp(0.0, 1.0)
}

/// What a day's light gives against full light, 0 to 1.
pub fn light_share(light_mol_m2_day: f64) -> f64 {
    (supply_g_m2(light_mol_m2_day) / supply_g_m2(FULL_LIGHT_MOL_M2_DAY)).min(1.0)
}
