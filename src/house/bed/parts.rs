//! Conductances and sources of a bed.

use super::{Bed, BedHour};
use crate::house::affine::{AIR, Affine, GROUND, NUMBER, RADIANT, Room, VAPOUR};
use crate::house::film::{level_face_convection_w_m2k, radiation_w_m2k};
use crate::house::prepare::Hour;
use crate::house::soil::Port;
use crate::house::vapour::{Saturation, canopy_conductance_kg_m2_s_kpa};

/// Long-wave emissivity of leaves and soil (textbook, from memory).
pub(super) const EMISSIVITY: f64 = 0.95;
/// Extinction of a canopy for long-wave radiation (De Zwart 1996, as used by Vanthoor 2011; from memory).
const LONG_WAVE_EXTINCTION: f64 = 0.94;
/// Convection from one side of a leaf, W/m2K (De Zwart 1996, as used by Vanthoor 2011; from memory).
const LEAF_CONVECTION_W_M2K: f64 = 5.0;
/// Leaf area index below which a bed has leaves in name only; their temperature is still computed.
const LEAST_LEAF_AREA: f64 = 0.01;

/// Share of the long-wave view upward from the soil that leaves of an area fill.
pub(crate) fn leaf_view(leaf_area: f64) -> f64 {
    1.0 - (-LONG_WAVE_EXTINCTION * leaf_area.max(LEAST_LEAF_AREA)).exp()
}

/// Water that a face gives off: heat = known + by_temp T - by_vapour e, W/m2.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct FaceWater {
    pub(super) known: f64,
    pub(super) by_temp: f64,
    pub(super) by_vapour: f64,
}

impl FaceWater {
    /// `conductance` kg/m2s per kPa; saturation `at` the latest temperature, taken as its tangent there.
    pub(super) fn new(conductance: f64, latent_heat: f64, temp_c: f64, at: &Saturation) -> Self {
        let heat = conductance * latent_heat;
        Self {
            known: heat * (at.kpa - at.slope * temp_c),
            by_temp: heat * at.slope,
            by_vapour: heat,
        }
    }
}

/// Conductances of a bed.
pub(super) struct Parts {
    pub(super) leaf_view: f64,
    pub(super) soil_view: f64,
    pub(super) leaf_air: f64,
    pub(super) soil_air: f64,
    leaf_sun: f64,
    soil_sun: f64,
    pub(super) leaf_water: FaceWater,
    pub(super) soil_water: FaceWater,
    pub(super) soil_loss: f64,
    pub(super) latent_heat: f64,
}

impl Parts {
    #[inline(always)]
    pub(super) fn new<const N: usize>(
        bed: &Bed<N>,
        hour: &BedHour,
        port: &Port,
        room: &Room,
        covered: bool,
    ) -> Self {
        let area = hour.leaf_area.max(LEAST_LEAF_AREA);
        let leaf_view = hour.leaf_view;
        let (near_air, near_vapour) = if covered {
            (bed.air_c, bed.vapour_kpa)
        } else {
            (room.air_c, room.vapour_kpa)
        };
        let soil_air = level_face_convection_w_m2k(bed.face_c - near_air);
        let latent_heat = crate::air::latent_heat_vaporization_j_kg(near_air);
        let per_pressure = crate::air::WATER_TO_AIR_MOLE_MASS / hour.pressure_kpa;
        let mut leaf_water = FaceWater::default();
        if hour.transpires && hour.leaf_area > LEAST_LEAF_AREA {
            let at_leaf = Saturation::at(bed.leaf_c);
            let conductance = canopy_conductance_kg_m2_s_kpa(
                hour.leaf_area,
                hour.leaf_sun,
                (at_leaf.kpa - near_vapour).max(0.0),
                hour.density,
                per_pressure,
                LEAF_CONVECTION_W_M2K,
            );
            leaf_water = FaceWater::new(conductance, latent_heat, bed.leaf_c, &at_leaf);
        }
        // Heat and vapour leave a wet face through the same film (Lewis number 1).
        let soil_conductance = hour.wet_share * (1.0 - leaf_view) * soil_air
            / crate::house::vapour::SPECIFIC_HEAT_AIR_J_KGK
            * per_pressure;
        let mut soil_water = FaceWater::default();
        if soil_conductance > 0.0 {
            let at_face = Saturation::at(bed.face_c);
            soil_water = FaceWater::new(soil_conductance, latent_heat, bed.face_c, &at_face);
        }
        Self {
            leaf_view,
            soil_view: 1.0 - leaf_view,
            leaf_air: 2.0 * area * LEAF_CONVECTION_W_M2K,
            soil_air,
            leaf_sun: hour.leaf_sun,
            soil_sun: hour.soil_sun,
            leaf_water,
            soil_water,
            soil_loss: port.conductance,
            latent_heat,
        }
    }

    /// Right side of the leaves' balance, `by_air` and `by_vapour` what the room's air adds.
    #[inline(always)]
    pub(super) fn leaf_right<const N: usize>(
        &self,
        up: &Upward,
        by_air: f64,
        by_vapour: f64,
    ) -> Affine<N> {
        up.right(self.leaf_sun - self.leaf_water.known, by_air, by_vapour)
    }

    /// Right side of the soil face's balance.
    #[inline(always)]
    pub(super) fn soil_right<const N: usize>(
        &self,
        up: &Upward,
        by_air: f64,
        by_vapour: f64,
    ) -> Affine<N> {
        let mut right = up.right(self.soil_sun - self.soil_water.known, by_air, by_vapour);
        right.0[GROUND] = 1.0;
        right
    }
}

/// Radiation from a face upward: to inner faces, sky and surroundings outside, or to the radiant node.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Upward {
    /// Sum of conductances, W/m2K.
    pub(super) loss: f64,
    /// Conductance to inner faces or radiant node, W/m2K.
    faces: f64,
    /// Temperature of the inner faces = known + by_air times the air's, °C.
    faces_known_c: f64,
    faces_by_air: f64,
    outside: f64,
    outside_seen: f64,
    /// The part of `outside` that the U value already holds: what would go to outdoors at air temperature.
    included: f64,
    outdoor_c: f64,
}

impl Upward {
    #[inline(always)]
    pub(super) fn new<const N: usize>(view: f64, temp_c: f64, above: &Hour, room: &Room) -> Self {
        let seen = view * EMISSIVITY;
        if N > RADIANT {
            let faces = seen * radiation_w_m2k(temp_c, room.radiant_c);
            return Self {
                loss: faces,
                faces,
                ..Self::default()
            };
        }
        let open = above.sky_share + above.outdoor_share;
        let faces_c = above.faces_known_c + above.faces_by_air * room.air_c;
        let faces = seen * (1.0 - open) * radiation_w_m2k(temp_c, faces_c);
        let (mut outside, mut outside_w, mut included) = (0.0, 0.0, 0.0);
        if open > 0.0 {
            let outdoor = radiation_w_m2k(temp_c, above.outdoor_c);
            let sky = seen * above.sky_share * radiation_w_m2k(temp_c, above.sky_c);
            let round = seen * above.outdoor_share * outdoor;
            outside = sky + round;
            outside_w = sky * above.sky_c + round * above.outdoor_c;
            included = seen * open * outdoor;
        }
        Self {
            loss: faces + outside,
            faces,
            faces_known_c: above.faces_known_c,
            faces_by_air: above.faces_by_air,
            outside,
            outside_seen: outside_w,
            included,
            outdoor_c: above.outdoor_c,
        }
    }

    /// Gain from what is seen.
    #[inline(always)]
    pub(super) fn gain<const N: usize>(&self) -> Affine<N> {
        let mut gain = Affine::number(self.faces * self.faces_known_c + self.outside_seen);
        gain.0[AIR] = self.faces * self.faces_by_air;
        if N > RADIANT {
            gain.0[RADIANT] = self.faces;
        }
        gain
    }

    /// Right side of a face's balance: this gain, a known flow, and what the room's air adds.
    #[inline(always)]
    fn right<const N: usize>(&self, known: f64, by_air: f64, by_vapour: f64) -> Affine<N> {
        let mut right = self.gain::<N>();
        right.0[NUMBER] += known;
        right.0[AIR] += by_air;
        right.0[VAPOUR] = by_vapour;
        right
    }

    /// What air or radiant node get of this radiation = credit of the face's temperature, and an affine rest.
    #[inline(always)]
    pub(super) fn credit(&self) -> f64 {
        self.faces + self.included
    }

    /// Takes that rest away from what air and radiant node get.
    #[inline(always)]
    pub(super) fn take_rest<const N: usize>(
        &self,
        to_air: &mut Affine<N>,
        to_radiant: &mut Affine<N>,
    ) {
        if N > RADIANT {
            to_radiant.0[RADIANT] -= self.faces;
        } else {
            to_air.0[NUMBER] -= self.faces * self.faces_known_c + self.included * self.outdoor_c;
            to_air.0[AIR] -= self.faces * self.faces_by_air;
        }
    }

    /// What comes straight through the glazing: a number, W/m2, and how it grows with the face's temperature.
    #[inline(always)]
    pub(super) fn through(&self) -> (f64, f64) {
        (
            self.outside_seen - self.included * self.outdoor_c,
            self.included - self.outside,
        )
    }
}
