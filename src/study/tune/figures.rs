//! What each factor acts on, in one figure that a person knows.

use crate::file::check::{air_change_per_h, part_losses};
use crate::house::{House, Make};

/// The figure behind a factor, by its place in [`crate::house::Tuned::NAMES`], and its unit; 0 where the building has
/// nothing of the kind.
///
/// Air change at the usual wind, 1/h; heat loss of all faces, W/K; heat held by walls, slab and heavy things, kJ/K; edge
/// of the floor, m; air through the store, m3/s.
pub fn figure(house: &House, place: usize) -> (f64, &'static str) {
    const J_PER_KJ: f64 = 1000.0;
    match place {
        0 => (air_change_per_h(house), "1/h"),
        1 => (
            part_losses(house).iter().map(|part| part.loss_w_k).sum(),
            "W/K",
        ),
        2 => (heavy_j_k(house) / J_PER_KJ, "kJ/K"),
        3 => (
            house.floor.as_ref().map_or(0.0, |floor| floor.perimeter_m),
            "m",
        ),
        _ => (
            house.store.as_ref().map_or(0.0, |store| store.flow_m3_s),
            "m3/s",
        ),
    }
}

fn heavy_j_k(house: &House) -> f64 {
    let walls: f64 = house
        .surfaces
        .iter()
        .map(|surface| surface.area_m2 * capacity_j_m2k(&surface.make))
        .sum();
    let slab = house.floor.as_ref().map_or(0.0, |floor| {
        let slab = floor
            .slab
            .map(|slab| slab.thickness_m * slab.density_kg_m3 * slab.heat_capacity_j_kgk);
        floor.area_m2 * slab.unwrap_or(0.0)
    });
    let things: f64 = house.heavy.iter().map(|heavy| heavy.capacity_j_k).sum();
    walls + slab + things
}

fn capacity_j_m2k(make: &Make) -> f64 {
    match make {
        Make::AirToAir {
            inner_capacity_j_m2k,
            ..
        }
        | Make::FaceToFace {
            inner_capacity_j_m2k,
            ..
        } => *inner_capacity_j_m2k,
        Make::Layers(layers) => layers
            .iter()
            .map(|layer| layer.thickness_m * layer.density_kg_m3 * layer.heat_capacity_j_kgk)
            .sum(),
    }
}
