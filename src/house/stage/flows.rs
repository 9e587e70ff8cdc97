//! What an hour did, as means over it.

use crate::house::FLOOR_PARTS_MAX;

/// Means over an hour.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Flows {
    pub air_c: f64,
    pub vapour_kpa: f64,
    /// By part of the floor, the bare middle first.
    pub leaf_c: [f64; FLOOR_PARTS_MAX],
    pub bed_air_c: [f64; FLOOR_PARTS_MAX],
    pub bed_kpa: [f64; FLOOR_PARTS_MAX],
    pub root_c: [f64; FLOOR_PARTS_MAX],
    pub face_c: f64,
    pub store_c: f64,
    pub sun_w: f64,
    pub gains_w: f64,
    pub lamp_w: f64,
    pub fan_heat_w: f64,
    pub fan_w: f64,
    pub heater_w: f64,
    pub cooler_w: f64,
    pub unmet_w: f64,
    pub glazing_w: f64,
    pub sky_w: f64,
    pub walls_w: f64,
    /// From the room beside, through walls and with air.
    pub beside_w: f64,
    pub leaks_w: f64,
    pub vents_w: f64,
    pub ground_w: f64,
    pub latent_w: f64,
    pub floor_w: f64,
    pub store_w: f64,
    pub duty: f64,
    pub vent_m3_s: f64,
    pub leak_per_h: f64,
    pub condensation_kg_s: f64,
    pub evaporation_kg_s: f64,
    /// Heat gained by all nodes, J (a sum, not a mean).
    pub stored_j: f64,
}
