//! What a logger taught of a building: factors on the figures that nobody can measure with a rule.

use super::{Behind, Floor, House, Layer, Make, Schedule, Surface};

/// Declares the factors once: fields, names and array in one order.
macro_rules! factors {
    ($($(#[$about:meta])* $factor:ident,)*) => {
        /// Factors on uncertain figures of a building, all 1 for the building as described.
        #[derive(Clone, Copy, Debug, PartialEq)]
        pub struct Tuned { $($(#[$about])* pub $factor: f64,)* }

        impl From<[f64; Tuned::COUNT]> for Tuned {
            fn from([$($factor),*]: [f64; Tuned::COUNT]) -> Self {
                Self { $($factor),* }
            }
        }

        impl Tuned {
            /// Number of factors.
            pub const COUNT: usize = [$(stringify!($factor)),*].len();
            /// Names of the factors, as the project file has them under `tuned`.
            pub const NAMES: [&'static str; Self::COUNT] = [$(stringify!($factor)),*];

            /// The factors in the order of [`Tuned::NAMES`].
            pub fn factors(&self) -> [f64; Tuned::COUNT] {
                [$(self.$factor),*]
            }
        }
    };
}

factors! {
    /// On leaks: every term of the infiltration.
    air_change,
    /// On the thermal transmittance of every outer face.
    heat_loss,
    /// On the heat capacity of heavy things, of walls inside their insulation, of a slab.
    heavy_mass,
    /// On the edge of the floor, through which the ground loses heat to the outdoors.
    edge_loss,
    /// On the air that the store's fan moves through its pipes.
    store_exchange,
}

impl Default for Tuned {
    fn default() -> Self {
        Self::from([1.0; Self::COUNT])
    }
}

impl Tuned {
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
