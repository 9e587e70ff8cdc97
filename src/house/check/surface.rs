//! Faces of a building.

use super::{HUGE, Part, TEMPERATURES_C, TINY};
use crate::house::{Behind, HouseError, Make, Surface, SurfaceKind};
use crate::sun::Shade;

pub(super) fn check_surface(surface: &Surface) -> Result<(), HouseError> {
    let part = Part { of: &surface.name };
    part.within("area", surface.area_m2, TINY, HUGE, "must be above 0")?;
    part.within(
        "tilt",
        surface.tilt_deg,
        0.0,
        180.0,
        "must be 0 to 180 degrees",
    )?;
    part.within(
        "azimuth",
        surface.azimuth_deg,
        -360.0,
        720.0,
        "must be an angle in degrees",
    )?;
    part.share("emissivity inside", surface.emissivity_inside)?;
    if let Some(shade) = &surface.outlook.shade {
        check_shade(&part, shade)?;
    }
    if let Behind::Given(temp_c) = &surface.behind {
        let must = "must be a temperature from -100 to 200 °C";
        part.schedule(
            "temperature behind",
            temp_c,
            TEMPERATURES_C.0,
            TEMPERATURES_C.1,
            must,
        )?;
    }
    part.share("absorptance inside", surface.absorptance_inside)?;
    match &surface.make {
        Make::AirToAir {
            u_w_m2k,
            inner_capacity_j_m2k,
        } => {
            part.above_zero("U", *u_w_m2k)?;
            part.not_negative("inner heat capacity", *inner_capacity_j_m2k)?;
        }
        Make::FaceToFace {
            resistance_m2k_w,
            inner_capacity_j_m2k,
        } => {
            part.not_negative("resistance", *resistance_m2k_w)?;
            part.not_negative("inner heat capacity", *inner_capacity_j_m2k)?;
        }
        Make::Layers(layers) => {
            if layers.is_empty() {
                return Err(HouseError::Empty {
                    what: format!("the list of layers of {}", surface.name),
                });
            }
            for layer in layers {
                part.above_zero("layer thickness", layer.thickness_m)?;
                part.above_zero("layer conductivity", layer.conductivity_w_mk)?;
                part.not_negative("layer density", layer.density_kg_m3)?;
                part.not_negative("layer heat capacity", layer.heat_capacity_j_kgk)?;
            }
        }
    }
    match &surface.kind {
        SurfaceKind::Opaque {
            absorptance_outside,
            emissivity_outside,
        } => {
            part.share("absorptance outside", *absorptance_outside)?;
            part.share("emissivity outside", *emissivity_outside)
        }
        SurfaceKind::Glazed(face) => {
            face.glazing.check()?;
            part.share("long-wave transmittance", face.long_wave_transmittance)?;
            part.share("long-wave transmittance when wet", face.long_wave_wet)?;
            part.share("emissivity outside", face.emissivity_outside)?;
            if !matches!(surface.behind, Behind::Outdoor | Behind::Beside) {
                return Err(HouseError::GlazedInside {
                    name: surface.name.clone(),
                });
            }
            if let Some(curtain) = &face.curtain {
                part.not_negative("curtain resistance", curtain.resistance_m2k_w)?;
                part.share(
                    "curtain long-wave transmittance",
                    curtain.long_wave_transmittance,
                )?;
            }
            Ok(())
        }
    }
}

fn check_shade(part: &Part, shade: &Shade) -> Result<(), HouseError> {
    part.above_zero("width", shade.width_m)?;
    part.above_zero("height", shade.height_m)?;
    if let Some(over) = &shade.overhang {
        part.not_negative("depth of the overhang", over.depth_m)?;
        part.not_negative("height of the overhang above", over.above_m)?;
        part.not_negative("reach of the overhang to the left", over.left_m)?;
        part.not_negative("reach of the overhang to the right", over.right_m)?;
    }
    for fin in [&shade.left_fin, &shade.right_fin].into_iter().flatten() {
        part.not_negative("depth of a fin", fin.depth_m)?;
        part.not_negative("distance of a fin", fin.beside_m)?;
        part.not_negative("reach of a fin above", fin.above_m)?;
        part.not_negative("reach of a fin below", fin.below_m)?;
    }
    Ok(())
}
