//! Water vapour in the house: transpiration and condensation.

use crate::air::saturation_and_slope;

/// Specific heat of the air moved about, J/kgK: dry air with 5 g/kg of vapour (ASHRAE Fundamentals, from memory).
pub(super) const SPECIFIC_HEAT_AIR_J_KGK: f64 = 1015.0;
/// Resistance of the air at a leaf, s/m (Stanghellini 1987, as used by Vanthoor 2011; from memory).
const LEAF_AIR_S_M: f64 = 275.0;
/// Smallest resistance of the stomata, s/m (same source).
const STOMATA_LEAST_S_M: f64 = 82.0;
/// Light terms of the stomata, W/m2 (same source).
const STOMATA_LIGHT_HIGH_W_M2: f64 = 4.30;
/// W/m2.
const STOMATA_LIGHT_LOW_W_M2: f64 = 0.54;
/// Dryness term of the stomata by day, 1/Pa2 (same source).
const STOMATA_DRY_DAY_PER_PA2: f64 = 4.3e-6;
/// By night, 1/Pa2 (same source).
const STOMATA_DRY_NIGHT_PER_PA2: f64 = 5.2e-6;
/// Largest factor that dryness puts on the stomata (same source: 5.8).
const STOMATA_DRY_MOST: f64 = 5.8;
/// Sun on the leaves that counts as day, W/m2 (same source).
const DAY_W_M2: f64 = 5.0;
/// Ratio of leaf transpiration written as 2 rho cp LAI / (lambda gamma (r_b + r_s)) to vapour-density form: see
/// [`canopy_conductance_kg_m2_s_kpa`].
const SIDES: f64 = 2.0;

/// Saturation over water and its slope.
#[derive(Clone, Copy, Debug)]
pub(super) struct Saturation {
    /// kPa.
    pub kpa: f64,
    /// kPa/K.
    pub slope: f64,
}

impl Saturation {
    /// At a temperature, °C.
    #[inline]
    pub fn at(temp_c: f64) -> Self {
        let (kpa, slope) = saturation_and_slope(temp_c);
        Self { kpa, slope }
    }
}

/// Water that a canopy gives off per kPa of deficit between leaf and air, kg/m2s per m2 of floor.
///
/// 2 rho LAI 0.622 / (p (r_b + r_s)), which is the published 2 rho cp LAI / (lambda gamma (r_b + r_s)). The stomata open
/// with the light that the leaves keep and close in dry air.
///
/// # Source
/// Stanghellini (1987), thesis Wageningen, as used by Vanthoor et al. (2011), Biosystems Engineering 110:363-377;
/// from memory.
pub(super) fn canopy_conductance_kg_m2_s_kpa(
    leaf_area: f64,
    leaf_sun_w_m2: f64,
    deficit_kpa: f64,
    density_kg_m3: f64,
    ratio_per_kpa: f64,
) -> f64 {
    let light = leaf_sun_w_m2 / leaf_area;
    let open = (light + STOMATA_LIGHT_HIGH_W_M2) / (light + STOMATA_LIGHT_LOW_W_M2);
    let per_pa2 = if light > DAY_W_M2 {
        STOMATA_DRY_DAY_PER_PA2
    } else {
        STOMATA_DRY_NIGHT_PER_PA2
    };
    let deficit_pa = 1000.0 * deficit_kpa;
    let dry = (1.0 + per_pa2 * deficit_pa * deficit_pa).min(STOMATA_DRY_MOST);
    let resistance = LEAF_AIR_S_M + STOMATA_LEAST_S_M * open * dry;
    SIDES * density_kg_m3 * leaf_area * ratio_per_kpa / resistance
}
