//! The strip of floor along the outer walls, and the rest of it.
//!
//! The ties sideways of a column are those of the whole floor (see the module above). Under a warm floor on cold ground the
//! heat does not leave evenly: where the floor and the land beside it are the two faces of a half-space, held apart by the
//! wall, what leaves at x from the wall falls with the distance to both walls (potential theory; textbook, from memory; the
//! ground of the closed forms for floors):
//!
//! ```text
//! flux(x) ~ 1 / (x + e) + 1 / (B' - x + e)
//! ```
//!
//! Its mean over the strip, over its mean over the floor, is by what the strip's ties are larger; those of the rest are
//! smaller, so that the floor as a whole loses what it did. A column with ties is a fin, whose flux grows with their root:
//! so its ties are larger by the square of that. e is half the wall and the floor's film as soil, and behind a skirt the thickness of soil that
//! insulates like it besides, or the skirt's depth where the way round it is shorter. Against a two-dimensional solution
//! made apart from this program (B' 5.6 m, strip 1.2 m, wall 0.2 m, soil 1.5 W/mK, 10 °C over -5 °C): strip and rest lose
//! 13.7 and 5.2 W/m2 there, 12.9 and 5.3 by this rule; root zones 7.4 and 9.0 °C there, 7.5 and 9.0 by it.

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
    /// Layers of a floor and its parts.
    pub fn new(
        floor: &Floor,
        parts: &[FloorPart],
        store_depths_m: &[f64],
        ground: &UndisturbedGround,
    ) -> Self {
        let at_edge: Vec<bool> = std::iter::once(false)
            .chain(parts.iter().map(|part| part.at_edge))
            .collect();
        let mesh = |ties: f64| Mesh::new(floor, store_depths_m, ground, ties);
        if !at_edge.contains(&true) {
            return Self {
                rest: mesh(1.0),
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
        let more = strip_loss(floor, strip_m);
        let share = (edge_m2 / floor.area_m2).min(1.0);
        let less = ((1.0 - share * more) / (1.0 - share)).max(0.0);
        let less = if less.is_finite() { less } else { 1.0 };
        Self {
            rest: mesh(less * less),
            strip: Some(mesh(more * more)),
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

/// Film between floor and room, m2K/W (ISO 6946, level).
const FILM_M2K_W: f64 = 0.13;

/// Loss of a strip `strip_m` wide along the outer walls over that of the whole floor, per m2.
fn strip_loss(floor: &Floor, strip_m: f64) -> f64 {
    let breadth_m = 2.0 * floor.area_m2 / floor.perimeter_m;
    if !breadth_m.is_finite() {
        return 1.0;
    }
    /// Thinnest wall that holds floor and land apart, m: a sill (own choice).
    const WALL_LEAST_M: f64 = 0.05;
    let width_m = strip_m.min(0.5 * breadth_m);
    let behind_m = floor.skirt.map_or(0.0, |skirt| {
        (skirt.resistance_m2k_w * floor.soil.conductivity_w_mk).min(skirt.depth_m)
    });
    let film_m = FILM_M2K_W * floor.soil.conductivity_w_mk;
    let apart_m = 0.5 * floor.wall_thickness_m.max(WALL_LEAST_M) + film_m + behind_m;
    let between = |from: f64, to: f64| ((to + apart_m) / (from + apart_m)).ln();
    let of_strip = between(0.0, width_m) + between(breadth_m - width_m, breadth_m);
    let of_floor = 2.0 * between(0.0, breadth_m);
    (of_strip / width_m) / (of_floor / breadth_m)
}
