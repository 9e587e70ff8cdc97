//! What a logger taught of a building: factors on the figures that nobody can measure with a rule.

use super::{Behind, Floor, House, Layer, Make, Schedule, Surface};

/// Factors on uncertain figures of a building, all 1 for the building as described.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tuned {
    /// On leaks: every term of the infiltration.
    pub air_change: f64,
    /// On the thermal transmittance of every outer face.
    pub heat_loss: f64,
    /// On the heat capacity of heavy things, of walls inside their insulation, of a slab.
    pub heavy_mass: f64,
    /// On the edge of the floor, through which the ground loses heat to the outdoors.
    pub edge_loss: f64,
    /// On the air that the store's fan moves through its pipes.
    pub store_exchange: f64,
}

impl Default for Tuned {
    fn default() -> Self {
        Self::from([1.0; Self::COUNT])
    }
}

impl From<[f64; Tuned::COUNT]> for Tuned {
    fn from(factors: [f64; Tuned::COUNT]) -> Self {
        let [air_change, heat_loss, heavy_mass, edge_loss, store_exchange] = factors;
        Self {
            air_change,
            heat_loss,
            heavy_mass,
            edge_loss,
            store_exchange,
        }
    }
}

impl Tuned {
    /// Number of factors.
    pub const COUNT: usize = 5;
    /// Names of the factors, as the project file has them under `tuned`.
    pub const NAMES: [&'static str; Tuned::COUNT] = [
        "air_change",
        "heat_loss",
        "heavy_mass",
        "edge_loss",
        "store_exchange",
    ];

    /// The factors in the order of [`Tuned::NAMES`].
    pub fn factors(&self) -> [f64; Tuned::COUNT] {
        [
            self.air_change,
            self.heat_loss,
            self.heavy_mass,
            self.edge_loss,
            self.store_exchange,
        ]
    }

    /// These factors on top of earlier ones.
    pub fn times(&self, earlier: &Self) -> Self {
        let (own, before) = (self.factors(), earlier.factors());
        Self::from(std::array::from_fn(|at| own[at] * before[at]))
    }

    /// The building with its figures multiplied.
    pub fn apply(&self, house: &House) -> House {
        let mut house = house.clone();
        let leaks = &mut house.air.infiltration;
        leaks.constant_per_h = scaled(&leaks.constant_per_h, self.air_change);
        leaks.per_wind_s_m_h *= self.air_change;
        leaks.per_root_k_h *= self.air_change;
        // A wall to the room beside is the same on both its sides, and no outer face.
        let outer = |surface: &&mut Surface| surface.behind != Behind::Beside;
        for surface in house.surfaces.iter_mut().filter(outer) {
            surface.make = self.make(&surface.make);
        }
        for heavy in &mut house.heavy {
            heavy.capacity_j_k *= self.heavy_mass;
        }
        if let Some(floor) = &mut house.floor {
            self.floor(floor);
        }
        if let Some(store) = &mut house.store {
            store.flow_m3_s *= self.store_exchange;
        }
        house
    }

    fn make(&self, make: &Make) -> Make {
        match make {
            Make::AirToAir {
                u_w_m2k,
                inner_capacity_j_m2k,
            } => Make::AirToAir {
                u_w_m2k: u_w_m2k * self.heat_loss,
                inner_capacity_j_m2k: inner_capacity_j_m2k * self.heavy_mass,
            },
            Make::FaceToFace {
                resistance_m2k_w,
                inner_capacity_j_m2k,
            } => Make::FaceToFace {
                resistance_m2k_w: resistance_m2k_w / self.heat_loss,
                inner_capacity_j_m2k: inner_capacity_j_m2k * self.heavy_mass,
            },
            Make::Layers(layers) => {
                Make::Layers(layers.iter().map(|layer| self.layer(layer)).collect())
            }
        }
    }

    fn layer(&self, layer: &Layer) -> Layer {
        Layer {
            conductivity_w_mk: layer.conductivity_w_mk * self.heat_loss,
            density_kg_m3: layer.density_kg_m3 * self.heavy_mass,
            ..*layer
        }
    }

    fn floor(&self, floor: &mut Floor) {
        floor.perimeter_m *= self.edge_loss;
        if let Some(slab) = &mut floor.slab {
            slab.density_kg_m3 *= self.heavy_mass;
        }
    }
}

fn scaled(schedule: &Schedule, factor: f64) -> Schedule {
    match schedule {
        Schedule::Constant(value) => Schedule::Constant(value * factor),
        Schedule::Monthly(months) => Schedule::Monthly(months.map(|value| value * factor)),
        other => Schedule::Hourly(other.expand().iter().map(|value| value * factor).collect()),
    }
}
