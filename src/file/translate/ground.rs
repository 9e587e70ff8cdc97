//! The floor on the ground and the soil under it.

use super::envelope::Envelope;
use crate::file::section::Section;
use crate::file::soil;
use crate::house::{Floor, Layer, Skirt};

/// Concrete of a slab: conductivity, density and specific heat of the published heavy test box's slab.
const SLAB_CONDUCTIVITY_W_MK: f64 = 1.13;
const SLAB_DENSITY_KG_M3: f64 = 1400.0;
const SLAB_HEAT_CAPACITY_J_KGK: f64 = 1000.0;
/// Wall over the edge where surfaces are listed, m. Common practice, no source.
const USUAL_WALL_M: f64 = 0.15;
/// Strip along the outer walls where no bed says its width, m. Own choice.
const STRIP_M: f64 = 1.0;
const SIDES_OF_A_SQUARE: f64 = 4.0;

/// The floor, where the house stands on the ground.
pub fn floor(root: &Section<'_, '_>, envelope: &Envelope) -> Option<Floor> {
    let area_m2 = envelope.floor_m2?;
    let floor = root.table("floor");
    let perimeter_m = match (floor.number("perimeter"), &envelope.shape) {
        (Some(perimeter_m), _) => perimeter_m,
        (None, Some(shape)) => shape.perimeter_m(),
        (None, None) => {
            let square_m = SIDES_OF_A_SQUARE * area_m2.sqrt();
            floor.number_or("perimeter", square_m, "of a square of that area")
        }
    };
    let slab = floor.number("slab_thickness").map(|thickness_m| Layer {
        thickness_m,
        conductivity_w_mk: SLAB_CONDUCTIVITY_W_MK,
        density_kg_m3: SLAB_DENSITY_KG_M3,
        heat_capacity_j_kgk: SLAB_HEAT_CAPACITY_J_KGK,
    });
    floor.filled(Floor {
        area_m2,
        perimeter_m,
        wall_thickness_m: envelope.wall_thickness_m.unwrap_or(USUAL_WALL_M),
        soil: floor.filled(soil::find(&floor.word_or_default("soil")))?,
        skirt: skirt(&floor),
        slab,
        strip_m: STRIP_M,
        ..Floor::default()
    })
}

fn skirt(floor: &Section<'_, '_>) -> Option<Skirt> {
    let depth_m = floor.number_or_default("skirt_depth");
    if depth_m <= 0.0 {
        if floor.has("skirt") {
            let wrong = "`floor.skirt` is given, but no `floor.skirt_depth`".to_owned();
            floor.problem(
                "skirt",
                wrong,
                Some("say how deep the skirt goes, such as skirt_depth = \"0.6 m\"".to_owned()),
            );
        }
        return None;
    }
    Some(Skirt {
        depth_m,
        resistance_m2k_w: floor.number_or_default("skirt"),
    })
}
