//! The strip of floor along the outer walls, and the rest of it.
//!
//! The ties sideways of a column are those of the whole floor (see the module above). Under a warm floor on cold ground the
//! heat does not leave evenly: where the floor and the land beside it are the two faces of a half-space, the ground's
//! temperature at a point is that of the land for the share of its view upward that the land fills (potential theory: the
//! harmonic measure of the half-plane, the angle over pi; textbook, from memory). With x from the wall, z deep, under an
//! endless floor of breadth B' whose walls keep floor and land e apart:
//!
//! ```text
//! share(x, z) = (atan(z / (x + e)) + atan(z / (B' - x + e))) / pi
//! ```
//!
//! Its mean over the strip, over its mean over the floor, is by what the strip's ties are larger; those of the rest are
//! smaller, so that the floor as a whole loses what it did. e is half the wall, and behind a skirt the thickness of soil
//! that insulates like it besides.

use super::Mesh;
use crate::house::{Floor, FloorPart};
use crate::site::UndisturbedGround;

/// The layers of each part of the floor.
#[derive(Clone, Debug)]
pub(in crate::house) struct Meshes {
    rest: Mesh,
    strip: Option<Mesh>,
    at_edge: Vec<bool>,
}

impl Meshes {
    /// Layers of a floor and its parts; the rest as [`Mesh::new`].
    pub fn new(
        floor: &Floor,
        parts: &[FloorPart],
        store_depths_m: &[f64],
        ground: &UndisturbedGround,
        stage_s: f64,
    ) -> Self {
        let at_edge: Vec<bool> = std::iter::once(false)
            .chain(parts.iter().map(|part| part.at_edge))
            .collect();
        let mesh = |ties: &dyn Fn(f64) -> f64| {
            Mesh::with_ties(floor, store_depths_m, ground, stage_s, ties)
        };
        if !at_edge.contains(&true) {
            return Self {
                rest: mesh(&|_| 1.0),
                strip: None,
                at_edge,
            };
        }
        let edge_m2: f64 = parts
            .iter()
            .filter(|part| part.at_edge)
            .map(|part| part.area_m2)
            .sum();
        let strip_m = floor
            .strip_m
            .max(edge_m2 / floor.perimeter_m.max(f64::MIN_POSITIVE));
        let ties = |depth: f64| strip_ties(floor, strip_m, depth);
        let share = (edge_m2 / floor.area_m2).min(1.0);
        let rest_ties = |depth: f64| {
            let left = (1.0 - share * ties(depth)) / (1.0 - share);
            if left.is_finite() { left.max(0.0) } else { 1.0 }
        };
        Self {
            rest: mesh(&rest_ties),
            strip: Some(mesh(&ties)),
            at_edge,
        }
    }

    /// The layers under a part of the floor, the bare middle first.
    pub fn of(&self, part: usize) -> &Mesh {
        match &self.strip {
            Some(strip) if self.at_edge.get(part) == Some(&true) => strip,
            _ => &self.rest,
        }
    }

    /// Number of layers.
    pub fn len(&self) -> usize {
        self.rest.len()
    }
}

/// Ties of a strip `strip_m` wide along the outer walls over those of the whole floor, at a depth.
fn strip_ties(floor: &Floor, strip_m: f64, depth_m: f64) -> f64 {
    let breadth_m = 2.0 * floor.area_m2 / floor.perimeter_m;
    if !breadth_m.is_finite() {
        return 1.0;
    }
    let width_m = strip_m.min(0.5 * breadth_m);
    let skirt = floor.skirt.filter(|skirt| depth_m < skirt.depth_m);
    let behind_m = skirt.map_or(0.0, |s| s.resistance_m2k_w * floor.soil.conductivity_w_mk);
    let apart_m = 0.5 * floor.wall_thickness_m + behind_m;
    // Integral of atan(z / u) over u.
    let whole = |u: f64| u * depth_m.atan2(u) + 0.5 * depth_m * (u * u + depth_m * depth_m).ln();
    let between = |from: f64, to: f64| whole(to + apart_m) - whole(from + apart_m);
    let of_strip = between(0.0, width_m) + between(breadth_m - width_m, breadth_m);
    let of_floor = 2.0 * between(0.0, breadth_m);
    (of_strip / width_m) / (of_floor / breadth_m)
}
