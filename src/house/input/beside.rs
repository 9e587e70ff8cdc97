//! A second room that is simulated with the house: what it is, and how air passes between.

use super::{Behind, House, Layer, Make, Surface, SurfaceKind};
use crate::house::Schedule;

/// Most walls between a house and the room beside it: own choice, more than stand between two rooms.
pub const SHARED_WALLS_MAX: usize = 4;

/// A room beside the house, simulated with it.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Beside {
    /// Name as people say it.
    pub name: String,
    /// The room: its own faces, air, gains and heater. It has no beds and no room beside it; the walls between are those of
    /// the house from the other side, in the same order.
    pub room: House,
    /// A door between them.
    pub door: Option<Door>,
    /// A fan between them.
    pub fan: Option<PassageFan>,
    /// Is what its heater gives bought for the house? Not where the room is heated anyway.
    pub heat_paid: bool,
}

/// A door through which warm air goes at the top and cold air comes back below.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Door {
    /// Area, m2, above 0.
    pub area_m2: f64,
    /// Height, m, above 0.
    pub height_m: f64,
    /// Share of the time that it stands open, 0 to 1.
    pub open: Schedule,
}

/// A fan that moves air from one to the other; as much comes back.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct PassageFan {
    /// Flow, m3/s, above 0.
    pub flow_m3_s: f64,
    /// Electric power, W; it ends as heat in the house.
    pub power_w: f64,
    /// Share of the time that it may run, 0 to 1.
    pub on: Schedule,
    /// When it runs of that time.
    pub runs: FanRuns,
}

/// When a fan between two rooms runs, of the time that it may.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub enum FanRuns {
    /// Always.
    #[default]
    Always,
    /// While the room is warmer than the house, to warm the house.
    WarmingHouse(FanLimits),
    /// While the house is warmer than the room, to warm the room.
    WarmingRoom(FanLimits),
}

/// What a warming fan keeps to; it runs for the part of an hour that brings the air there.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct FanLimits {
    /// Runs while the air that it takes is at least so much warmer, K, at least 0.
    pub by_k: f64,
    /// And while the air that it warms is below this, °C.
    pub until_c: f64,
}

impl Surface {
    /// The same wall from the room behind it.
    pub fn other_side(&self) -> Self {
        const HALF_TURN_DEG: f64 = 180.0;
        const TURN_DEG: f64 = 360.0;
        let mut other = self.clone();
        other.behind = Behind::Beside;
        other.tilt_deg = HALF_TURN_DEG - self.tilt_deg;
        other.azimuth_deg = (self.azimuth_deg + HALF_TURN_DEG) % TURN_DEG;
        if let Make::Layers(layers) = &mut other.make {
            layers.reverse();
        }
        if let SurfaceKind::Opaque {
            absorptance_outside,
            emissivity_outside,
        } = &mut other.kind
        {
            std::mem::swap(absorptance_outside, &mut other.absorptance_inside);
            std::mem::swap(emissivity_outside, &mut other.emissivity_inside);
        }
        other
    }
}

impl Make {
    /// The same as layers without films, as a wall between two rooms needs it: a capacity at the inner face becomes a layer
    /// there. `films_m2k_w`: both films that a U value from air to air contains.
    pub fn into_layers(self, films_m2k_w: f64) -> Vec<Layer> {
        /// What is left to the core of a wall at least, m2K/W.
        const LEAST_M2K_W: f64 = 0.01;
        /// The layer that stands for a capacity: masonry, kg/m3, J/kgK and W/mK (handbook values, from memory).
        const DENSITY_KG_M3: f64 = 2000.0;
        const HEAT_J_KGK: f64 = 900.0;
        const CONDUCTIVITY_W_MK: f64 = 1.0;
        /// Thickness that stands for a layer known only by its resistance, m.
        const NOMINAL_M: f64 = 0.1;
        let (resistance, capacity) = match self {
            Self::Layers(layers) => return layers,
            Self::AirToAir {
                u_w_m2k,
                inner_capacity_j_m2k,
            } => (1.0 / u_w_m2k - films_m2k_w, inner_capacity_j_m2k),
            Self::FaceToFace {
                resistance_m2k_w,
                inner_capacity_j_m2k,
            } => (resistance_m2k_w, inner_capacity_j_m2k),
        };
        let thickness_m = capacity / (DENSITY_KG_M3 * HEAT_J_KGK);
        let core = (resistance - thickness_m / CONDUCTIVITY_W_MK).max(LEAST_M2K_W);
        let mut layers = vec![Layer {
            thickness_m: NOMINAL_M,
            conductivity_w_mk: NOMINAL_M / core,
            density_kg_m3: 0.0,
            heat_capacity_j_kgk: 0.0,
        }];
        if capacity > 0.0 {
            layers.push(Layer {
                thickness_m,
                conductivity_w_mk: CONDUCTIVITY_W_MK,
                density_kg_m3: DENSITY_KG_M3,
                heat_capacity_j_kgk: HEAT_J_KGK,
            });
        }
        layers
    }
}
