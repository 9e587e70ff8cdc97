//! Faces and heavy things that hold heat: chains of cells from the outside to the room.

use super::affine::Room;
use super::film::{
    OUTER_FILM_M2K_W, inner_film_m2k_w, measured_radiation_w_m2k, reference_film_w_m2k,
    through_w_m2k,
};
use super::scheme::STAGE_S;
use super::{HeavyNode, Layer, Make, OuterFilm, Surface, SurfaceKind};

/// Cells are at most this share of the depth that an hour's heat reaches, sqrt(a x 1 h).
const CELL_SHARE: f64 = 0.6;
/// Most cells of a layer.
const MOST_CELLS: usize = 12;
/// Heat capacity below which a layer is taken to be without mass, J/m2K.
const MASSLESS_J_M2K: f64 = 1.0;
/// Conductance that stands for contact, W/m2K, where a resistance is zero.
const CONTACT_W_M2K: f64 = 1.0e6;

/// What a wall is made of, whole area.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct WallShape {
    pub area_m2: f64,
    /// Tilt of the outward normal, degrees.
    pub tilt_deg: f64,
    /// Resistance between the outer face and the first cell (or the inner face), m2K/W.
    pub outer_m2k_w: f64,
    /// Heat capacity of each cell, J/K, from outside to inside.
    pub capacity: Vec<f64>,
    /// Conductance from each cell to the next, the last to the inner face, W/K.
    pub inward: Vec<f64>,
    /// Film to the room, W/m2K, where it is fixed.
    pub film_w_m2k: f64,
    /// Emissivity of the inner face.
    pub emissivity: f64,
    /// Is there a way out at all?
    pub has_outside: bool,
    /// Its place among the walls to the room beside, where it is one.
    pub shared: Option<usize>,
}

impl WallShape {
    /// A surface as a chain. The outer film is not part of it.
    pub fn of_surface(surface: &Surface) -> Self {
        let inner_film = inner_film_m2k_w(surface.tilt_deg);
        let mut shape = Self {
            area_m2: surface.area_m2,
            tilt_deg: surface.tilt_deg,
            film_w_m2k: 1.0 / inner_film,
            emissivity: surface.emissivity_inside,
            has_outside: surface.behind != super::Behind::Nothing,
            ..Self::default()
        };
        match &surface.make {
            Make::AirToAir {
                u_w_m2k,
                inner_capacity_j_m2k,
            } => {
                let series = Series::of_u(*u_w_m2k, inner_film, OUTER_FILM_M2K_W);
                shape.film_w_m2k = 1.0 / series.inner_m2k_w;
                shape.end_with_capacity(series.core_m2k_w, *inner_capacity_j_m2k);
            }
            Make::FaceToFace {
                resistance_m2k_w,
                inner_capacity_j_m2k,
            } => shape.end_with_capacity(*resistance_m2k_w, *inner_capacity_j_m2k),
            Make::Layers(layers) => shape.end_with_layers(layers),
        }
        shape
    }

    /// A heavy thing as a chain of one cell without outside.
    pub fn of_heavy(node: &HeavyNode) -> Self {
        Self {
            area_m2: node.area_m2,
            tilt_deg: 90.0,
            capacity: vec![node.capacity_j_k],
            inward: vec![CONTACT_W_M2K * node.area_m2],
            film_w_m2k: node.film_w_m2k,
            emissivity: 0.9,
            ..Self::default()
        }
    }

    fn end_with_capacity(&mut self, resistance: f64, capacity: f64) {
        self.outer_m2k_w = resistance;
        if capacity > 0.0 {
            self.capacity.push(capacity * self.area_m2);
            self.inward.push(CONTACT_W_M2K * self.area_m2);
        }
    }

    fn end_with_layers(&mut self, layers: &[Layer]) {
        let mut resistance = 0.0;
        for layer in layers {
            let whole = layer.thickness_m / layer.conductivity_w_mk;
            let volumetric = layer.density_kg_m3 * layer.heat_capacity_j_kgk;
            if volumetric * layer.thickness_m < MASSLESS_J_M2K {
                resistance += whole;
                continue;
            }
            let reach = (layer.conductivity_w_mk / volumetric * 3600.0).sqrt();
            let cells =
                ((layer.thickness_m / (CELL_SHARE * reach)).ceil() as usize).clamp(1, MOST_CELLS);
            let half = 0.5 * whole / cells as f64;
            for _ in 0..cells {
                resistance += half;
                if self.capacity.is_empty() {
                    self.outer_m2k_w = resistance;
                } else {
                    self.inward.push(self.area_m2 / resistance);
                }
                self.capacity
                    .push(volumetric * layer.thickness_m / cells as f64 * self.area_m2);
                resistance = half;
            }
        }
        if self.capacity.is_empty() {
            self.outer_m2k_w = resistance;
        } else {
            let last = (1.0 / resistance).min(CONTACT_W_M2K);
            self.inward.push(last * self.area_m2);
        }
    }
}

/// How heat passes a face without heat capacity from air to air.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Series {
    /// Inner film, m2K/W.
    pub inner_m2k_w: f64,
    /// Between the films, m2K/W.
    pub core_m2k_w: f64,
    /// Outer film at standard or reference wind, m2K/W.
    pub outer_m2k_w: f64,
    /// Long-wave that passes beside them straight through, W/m2K; 0 where the films' U value holds it.
    pub through_w_m2k: f64,
}

impl Series {
    /// Resistance from air to air of what conducts, m2K/W.
    pub fn whole_m2k_w(&self) -> f64 {
        self.inner_m2k_w + self.core_m2k_w + self.outer_m2k_w
    }

    /// A surface's films and core. Where the outer film grows with the wind, long-wave that passes through film stands
    /// beside them, for no wind carries it, and the outer film is that of the reference wind, so that U holds there.
    pub fn of_surface(surface: &Surface, outer_film: OuterFilm) -> Self {
        let inner = inner_film_m2k_w(surface.tilt_deg);
        match (&surface.make, outer_film, &surface.kind) {
            (Make::AirToAir { u_w_m2k, .. }, OuterFilm::Wind, SurfaceKind::Glazed(face)) => {
                let through_w_m2k = through_w_m2k(*u_w_m2k, face.long_wave_transmittance);
                let outer =
                    1.0 / reference_film_w_m2k(face.emissivity_outside, measured_radiation_w_m2k());
                Self {
                    through_w_m2k,
                    ..Self::of_u(*u_w_m2k - through_w_m2k, inner, outer)
                }
            }
            (Make::AirToAir { u_w_m2k, .. }, ..) => Self::of_u(*u_w_m2k, inner, OUTER_FILM_M2K_W),
            (core, ..) => Self {
                inner_m2k_w: inner,
                core_m2k_w: core.resistance_m2k_w(),
                outer_m2k_w: OUTER_FILM_M2K_W,
                through_w_m2k: 0.0,
            },
        }
    }

    /// Films and core of a U value from air to air. Films shrink alike where the whole is less than the standard films
    /// (thin film, whose U was measured with livelier air).
    fn of_u(u_w_m2k: f64, inner_film_m2k_w: f64, outer_film_m2k_w: f64) -> Self {
        let whole = 1.0 / u_w_m2k;
        let films = inner_film_m2k_w + outer_film_m2k_w;
        let (of, over) = if whole > films {
            (1.0, 1.0)
        } else {
            (whole, films)
        };
        Self {
            inner_m2k_w: of * inner_film_m2k_w / over,
            core_m2k_w: (whole - films).max(0.0),
            outer_m2k_w: of * outer_film_m2k_w / over,
            through_w_m2k: 0.0,
        }
    }
}

/// What lies before the outer face in an hour.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct OuterSide {
    /// Equivalent temperature (air, sun, sky), °C.
    pub temp_c: f64,
    /// Resistance of the outer film, m2K/W.
    pub film_m2k_w: f64,
}

/// Heat that an inner face gives to the air and to the radiant node, W: number, by air, by radiant temperature.
#[derive(Clone, Copy, Debug)]
pub(super) struct FaceHeat {
    pub to_air: [f64; 3],
    pub to_radiant: [f64; 3],
}

/// One wall in time.
#[derive(Clone, Debug)]
pub(super) struct Wall {
    /// Temperature of each cell, °C.
    pub temp_c: Vec<f64>,
    start: Vec<f64>,
    known: Vec<f64>,
    inverse: Vec<f64>,
    solved: Vec<f64>,
    /// Outer conductance for which the chain was factored, W/K.
    factored_w_k: f64,
    outer_w_k: f64,
    /// Outer film for which the outer conductance was worked out, m2K/W.
    outer_film_m2k_w: f64,
    /// Inner face = number + by_air T + by_radiant Tr, °C.
    face: [f64; 3],
    /// Temperature of the inner face, °C.
    pub face_c: f64,
}

impl Wall {
    /// A wall at one temperature.
    pub fn new(shape: &WallShape, temp_c: f64) -> Self {
        let count = shape.capacity.len();
        Self {
            temp_c: vec![temp_c; count],
            start: vec![temp_c; count],
            known: vec![temp_c; count],
            inverse: vec![0.0; count],
            solved: vec![0.0; count],
            factored_w_k: f64::NAN,
            outer_w_k: 0.0,
            outer_film_m2k_w: f64::NAN,
            face: [0.0; 3],
            face_c: temp_c,
        }
    }

    /// Begins a step.
    pub fn begin(&mut self) {
        // Walls have few cells: a loop is cheaper than two calls.
        for ((start, known), temp) in self.start.iter_mut().zip(&mut self.known).zip(&self.temp_c) {
            (*start, *known) = (*temp, *temp);
        }
    }

    /// Turns to the second stage of a step.
    pub fn extrapolate(&mut self, factor: f64) {
        for ((known, start), temp) in self.known.iter_mut().zip(&self.start).zip(&self.temp_c) {
            *known = start + factor * (temp - start);
        }
    }

    /// Heat gained since the step began, J.
    pub fn gained(&self, shape: &WallShape) -> f64 {
        shape
            .capacity
            .iter()
            .zip(&self.temp_c)
            .zip(&self.start)
            .map(|((capacity, temp), start)| capacity * (temp - start))
            .sum()
    }

    /// Takes the wall out of the room's equations: `sun_w` falls on the inner face; `convection` and `radiation` (W/K)
    /// lead from it to air and radiant node. Gives its heat.
    pub fn reduce(
        &mut self,
        shape: &WallShape,
        outer: OuterSide,
        sun_w: f64,
        convection_w_k: f64,
        radiation_w_k: f64,
    ) -> FaceHeat {
        if self.outer_film_m2k_w != outer.film_m2k_w {
            self.outer_film_m2k_w = outer.film_m2k_w;
            self.outer_w_k = if shape.has_outside {
                shape.area_m2 / (outer.film_m2k_w + shape.outer_m2k_w).max(1.0 / CONTACT_W_M2K)
            } else {
                0.0
            };
        }
        let count = shape.capacity.len();
        let (chain_w_k, chain_w) = if count == 0 {
            (self.outer_w_k, self.outer_w_k * outer.temp_c)
        } else {
            self.eliminate(shape, outer.temp_c)
        };
        let inverse = 1.0 / (chain_w_k + convection_w_k + radiation_w_k);
        let number = (chain_w + sun_w) * inverse;
        let (by_air, by_radiant) = (convection_w_k * inverse, radiation_w_k * inverse);
        self.face = [number, by_air, by_radiant];
        FaceHeat {
            to_air: [
                convection_w_k * number,
                convection_w_k * (by_air - 1.0),
                convection_w_k * by_radiant,
            ],
            to_radiant: [
                radiation_w_k * number,
                radiation_w_k * by_air,
                radiation_w_k * (by_radiant - 1.0),
            ],
        }
    }

    /// Norton equivalent of the chain at its inner face: conductance and source.
    fn eliminate(&mut self, shape: &WallShape, outer_c: f64) -> (f64, f64) {
        let count = shape.capacity.len();
        let refactor = self.factored_w_k != self.outer_w_k;
        let (mut into_w_k, mut into_w) = (self.outer_w_k, self.outer_w_k * outer_c);
        for i in 0..count {
            let store = shape.capacity[i] / STAGE_S;
            let inward = shape.inward[i];
            if refactor {
                self.inverse[i] = 1.0 / (store + into_w_k + inward);
            }
            let inverse = self.inverse[i];
            self.solved[i] = (store * self.known[i] + into_w) * inverse;
            into_w = inward * self.solved[i];
            into_w_k = inward * (1.0 - inward * inverse);
        }
        self.factored_w_k = self.outer_w_k;
        (into_w_k, into_w)
    }

    /// Temperatures that follow from the room. Gives the heat from outside into the chain, W.
    pub fn finish(&mut self, shape: &WallShape, outer_c: f64, room: &Room) -> f64 {
        let [number, by_air, by_radiant] = self.face;
        self.face_c = number + by_air * room.air_c + by_radiant * room.radiant_c;
        let mut next = self.face_c;
        for i in (0..shape.capacity.len()).rev() {
            next = self.solved[i] + shape.inward[i] * self.inverse[i] * next;
            self.temp_c[i] = next;
        }
        self.outer_w_k * (outer_c - next)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn brick() -> WallShape {
        let surface = Surface {
            name: "wall".into(),
            area_m2: 10.0,
            tilt_deg: 90.0,
            azimuth_deg: 0.0,
            make: Make::Layers(vec![Layer {
                thickness_m: 0.2,
                conductivity_w_mk: 0.8,
                density_kg_m3: 1800.0,
                heat_capacity_j_kgk: 900.0,
            }]),
            behind: super::super::Behind::Outdoor,
            kind: super::super::SurfaceKind::Opaque {
                absorptance_outside: 0.6,
                emissivity_outside: 0.9,
            },
            emissivity_inside: 0.9,
            absorptance_inside: 0.6,
            outlook: crate::sun::Outlook::default(),
        };
        WallShape::of_surface(&surface)
    }

    #[test]
    fn a_layer_keeps_its_capacity_and_resistance() {
        let shape = brick();
        let capacity: f64 = shape.capacity.iter().sum();
        assert!((capacity / (0.2 * 1800.0 * 900.0 * 10.0) - 1.0).abs() < 1e-12);
        let resistance: f64 =
            shape.outer_m2k_w / 10.0 + shape.inward.iter().map(|g| 1.0 / g).sum::<f64>();
        assert!((resistance - 0.2 / 0.8 / 10.0).abs() < 1e-12);
    }

    #[test]
    fn a_steady_wall_loses_by_its_u_value() {
        let shape = brick();
        let mut wall = Wall::new(&shape, 10.0);
        let outer = OuterSide {
            temp_c: 0.0,
            film_m2k_w: 0.04,
        };
        let room = Room {
            air_c: 20.0,
            ..Room::default()
        };
        let mut inward_w = 0.0;
        for _ in 0..2000 {
            wall.begin();
            wall.reduce(&shape, outer, 0.0, 10.0 / 0.13, 0.0);
            inward_w = wall.finish(&shape, 0.0, &room);
        }
        let expected = -20.0 * 10.0 / (0.13 + 0.25 + 0.04);
        assert!((inward_w / expected - 1.0).abs() < 1e-9);
    }
}
