//! Water vapour in the house: transpiration and condensation.

use std::sync::LazyLock;

use crate::air::saturation_and_slope;

/// Specific heat of the air moved about, J/kgK: dry air with 5 g/kg of vapour (ASHRAE Fundamentals, from memory).
pub(super) const SPECIFIC_HEAT_AIR_J_KGK: f64 = 1015.0;
/// Resistance of the air at a leaf for vapour over that for heat: both pass the same layer, vapour the easier (Lewis number
/// 0.89 to the power 2/3; Monteith & Unsworth, textbook, from memory).
const VAPOUR_OVER_HEAT: f64 = 0.93;
/// Smallest resistance of the stomata, s/m (Stanghellini 1987, as used by Vanthoor 2011; from memory).
const STOMATA_LEAST_S_M: f64 = 82.0;
/// Light terms of the stomata, W/m2 (same source).
const STOMATA_LIGHT_HIGH_W_M2: f64 = 4.30;
/// W/m2.
const STOMATA_LIGHT_LOW_W_M2: f64 = 0.54;
/// Closing of the stomata in dry air: 1 + 0.11 exp(0.34 (D - 10)) with D in hPa (Boulard & Wang 2000, Agric. For. Meteorol.
/// 100:25-34, tomato in plastic houses; from memory). It begins where 1.5 kPa are missing. The form of Stanghellini (1987),
/// from humid glasshouses, closes fivefold at 1 kPa; in plastic houses at Beijing conductance stayed about the same all day
/// whatever the air (Liu, Shao & Yang 2023, Horticulturae 9:197, abstract read).
const STOMATA_DRY: f64 = 0.11;
/// 1/hPa.
const STOMATA_DRY_PER_HPA: f64 = 0.34;
/// hPa.
const STOMATA_DRY_FROM_HPA: f64 = 10.0;
/// Largest factor that dryness puts on the stomata (Stanghellini 1987, as used by Vanthoor 2011; from memory).
const STOMATA_DRY_MOST: f64 = 5.8;
/// hPa in a kPa.
const HPA_PER_KPA: f64 = 10.0;
/// Ratio of leaf transpiration written as 2 rho cp LAI / (lambda gamma (r_b + r_s)) to vapour-density form: see
/// [`canopy_conductance_kg_m2_s_kpa`].
const SIDES: f64 = 2.0;

/// Saturation over water and its slope.
#[derive(Clone, Copy, Debug)]
pub(super) struct Saturation {
    pub kpa: f64,
    /// kPa/K.
    pub slope: f64,
}

/// Lowest temperature of the table, °C.
const TABLE_FROM_C: f64 = -60.0;
/// Rows of the table in a kelvin.
const ROWS_PER_K: f64 = 8.0;
/// Rows of the table: up to 80 °C.
const ROWS: usize = 1120;

/// Cubics between the formula's values and slopes at the rows: number, and factors of the temperature above the row.
static TABLE: LazyLock<Box<[[f64; 4]; ROWS]>> = LazyLock::new(|| {
    let width_k = 1.0 / ROWS_PER_K;
    let row = |row: usize| {
        let at = |row: usize| saturation_and_slope(TABLE_FROM_C + row as f64 * width_k);
        let ((low, from), (high, to)) = (at(row), at(row + 1));
        let rise = (high - low) / width_k;
        [
            low,
            from,
            (3.0 * rise - 2.0 * from - to) / width_k,
            (from + to - 2.0 * rise) / (width_k * width_k),
        ]
    };
    Box::new(std::array::from_fn(row))
});

impl Saturation {
    /// At a temperature, °C.
    ///
    /// From a table of cubics, a third of the formula's cost: from -60 to 80 °C within 3e-10 of
    /// [`crate::air::saturation_vapour_pressure_kpa`] and 5e-8 of its slope, as shares; beyond by the formula.
    #[inline]
    pub fn at(temp_c: f64) -> Self {
        let place = (temp_c - TABLE_FROM_C) * ROWS_PER_K;
        // What is no number has no row.
        if !(place >= 0.0 && place < ROWS as f64) {
            let (kpa, slope) = saturation_and_slope(temp_c);
            return Self { kpa, slope };
        }
        let row = place as usize;
        let over_k = (place - row as f64) * (1.0 / ROWS_PER_K);
        let [number, line, square, cube] = TABLE[row];
        Self {
            kpa: number + over_k * (line + over_k * (square + over_k * cube)),
            slope: line + over_k * (2.0 * square + over_k * (3.0 * cube)),
        }
    }
}

/// Vapour pressure of air, kPa, from its temperature and relative humidity over water (0 to 100 %).
pub(super) fn vapour_kpa(temp_c: f64, relative_humidity_pct: f64) -> f64 {
    Saturation::at(temp_c).kpa * (0.01 * relative_humidity_pct.clamp(0.0, 100.0))
}

/// Relative humidity over water, %, 0 to 100.
pub(super) fn relative_humidity_pct(temp_c: f64, vapour_kpa: f64) -> f64 {
    (100.0 * vapour_kpa / Saturation::at(temp_c).kpa).clamp(0.0, 100.0)
}

/// Water that a canopy gives off per kPa of deficit between leaf and air, kg/m2s per m2 of floor.
///
/// 2 rho LAI 0.622 / (p (r_b + r_s)), which is the published 2 rho cp LAI / (lambda gamma (r_b + r_s)). The stomata open
/// with the light that the leaves keep and close in dry air; r_b is that of the heat which the leaves give to the air by
/// `leaf_w_m2k`, for vapour.
///
/// # Source
/// Stanghellini (1987), thesis Wageningen, as used by Vanthoor et al. (2011), Biosystems Engineering 110:363-377, with the
/// dryness term of Boulard & Wang (2000); from memory.
pub(super) fn canopy_conductance_kg_m2_s_kpa(
    leaf_area: f64,
    leaf_sun_w_m2: f64,
    deficit_kpa: f64,
    density_kg_m3: f64,
    ratio_per_kpa: f64,
    leaf_w_m2k: f64,
) -> f64 {
    let light = leaf_sun_w_m2 / leaf_area;
    let open = (light + STOMATA_LIGHT_HIGH_W_M2) / (light + STOMATA_LIGHT_LOW_W_M2);
    let deficit_hpa = HPA_PER_KPA * deficit_kpa;
    let dry = (1.0
        + STOMATA_DRY * (STOMATA_DRY_PER_HPA * (deficit_hpa - STOMATA_DRY_FROM_HPA)).exp())
    .min(STOMATA_DRY_MOST);
    let leaf_air = VAPOUR_OVER_HEAT * density_kg_m3 * SPECIFIC_HEAT_AIR_J_KGK / leaf_w_m2k;
    let resistance = leaf_air + STOMATA_LEAST_S_M * open * dry;
    SIDES * density_kg_m3 * leaf_area * ratio_per_kpa / resistance
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_follows_the_formula() {
        for step in -6500..9000 {
            let temp_c = 0.01 * f64::from(step) + 0.003;
            let (kpa, slope) = saturation_and_slope(temp_c);
            let table = Saturation::at(temp_c);
            assert!((table.kpa / kpa - 1.0).abs() < 3e-10, "{temp_c}");
            assert!((table.slope / slope - 1.0).abs() < 5e-8, "{temp_c}");
        }
        assert!(Saturation::at(f64::NAN).kpa.is_nan());
    }
}
