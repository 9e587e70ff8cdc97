//! Faces of a building, and a room that is simulated with it wall to wall.

use super::{ABOVE_ZERO, NOT_NEGATIVE, Part, SHARE, SIZE, TEMPERATURE, check_building};
use crate::house::{
    Behind, FanRuns, House, HouseError, Make, SHARED_WALLS_MAX, Surface, SurfaceKind,
};
use crate::sun::Shade;

pub(super) fn check_surface(surface: &Surface) -> Result<(), HouseError> {
    let part = Part { of: &surface.name };
    ranges! { part;
        "area": surface.area_m2 => SIZE;
        "tilt": surface.tilt_deg => (0.0, 180.0, "must be 0 to 180 degrees");
        "azimuth": surface.azimuth_deg => (-360.0, 720.0, "must be an angle in degrees");
        "emissivity inside": surface.emissivity_inside => SHARE;
    }
    if let Some(shade) = &surface.outlook.shade {
        check_shade(&part, shade)?;
    }
    if let Behind::Given(temp_c) = &surface.behind {
        let must = "must be a temperature from -100 to 200 °C";
        let range = (TEMPERATURE.0, TEMPERATURE.1, must);
        part.schedule("temperature behind", temp_c, range)?;
    }
    part.within("absorptance inside", surface.absorptance_inside, SHARE)?;
    match &surface.make {
        Make::AirToAir {
            u_w_m2k,
            inner_capacity_j_m2k,
        } => ranges! { part;
            "U": *u_w_m2k => ABOVE_ZERO;
            "inner heat capacity": *inner_capacity_j_m2k => NOT_NEGATIVE;
        },
        Make::FaceToFace {
            resistance_m2k_w,
            inner_capacity_j_m2k,
        } => ranges! { part;
            "resistance": *resistance_m2k_w => NOT_NEGATIVE;
            "inner heat capacity": *inner_capacity_j_m2k => NOT_NEGATIVE;
        },
        Make::Layers(layers) if layers.is_empty() => {
            return Err(HouseError::Empty {
                what: format!("the list of layers of {}", surface.name),
            });
        }
        Make::Layers(layers) => {
            for layer in layers {
                ranges! { part;
                    "layer thickness": layer.thickness_m => ABOVE_ZERO;
                    "layer conductivity": layer.conductivity_w_mk => ABOVE_ZERO;
                    "layer density": layer.density_kg_m3 => NOT_NEGATIVE;
                    "layer heat capacity": layer.heat_capacity_j_kgk => NOT_NEGATIVE;
                }
            }
        }
    }
    match &surface.kind {
        SurfaceKind::Opaque {
            absorptance_outside,
            emissivity_outside,
        } => ranges! { part;
            "absorptance outside": *absorptance_outside => SHARE;
            "emissivity outside": *emissivity_outside => SHARE;
        },
        SurfaceKind::Glazed(face) => {
            face.glazing.check()?;
            ranges! { part;
                "long-wave transmittance": face.long_wave_transmittance => SHARE;
                "long-wave transmittance when wet": face.long_wave_wet => SHARE;
                "emissivity outside": face.emissivity_outside => SHARE;
            }
            if !matches!(surface.behind, Behind::Outdoor | Behind::Beside) {
                return Err(HouseError::GlazedInside {
                    name: surface.name.clone(),
                });
            }
            if let Some(curtain) = &face.curtain {
                ranges! { part;
                    "curtain resistance": curtain.resistance_m2k_w => NOT_NEGATIVE;
                    "curtain long-wave transmittance": curtain.long_wave_transmittance => SHARE;
                }
            }
        }
    }
    Ok(())
}

fn check_shade(part: &Part, shade: &Shade) -> Result<(), HouseError> {
    ranges! { part;
        "width": shade.width_m => ABOVE_ZERO;
        "height": shade.height_m => ABOVE_ZERO;
    }
    if let Some(over) = &shade.overhang {
        ranges! { part;
            "depth of the overhang": over.depth_m => NOT_NEGATIVE;
            "height of the overhang above": over.above_m => NOT_NEGATIVE;
            "reach of the overhang to the left": over.left_m => NOT_NEGATIVE;
            "reach of the overhang to the right": over.right_m => NOT_NEGATIVE;
        }
    }
    for fin in [&shade.left_fin, &shade.right_fin].into_iter().flatten() {
        ranges! { part;
            "depth of a fin": fin.depth_m => NOT_NEGATIVE;
            "distance of a fin": fin.beside_m => NOT_NEGATIVE;
            "reach of a fin above": fin.above_m => NOT_NEGATIVE;
            "reach of a fin below": fin.below_m => NOT_NEGATIVE;
        }
    }
    Ok(())
}

/// The walls that a building shares with the other one.
fn shared(house: &House) -> Vec<&Surface> {
    let beside = |surface: &&Surface| surface.behind == Behind::Beside;
    house.surfaces.iter().filter(beside).collect()
}

pub(super) fn check_beside(house: &House) -> Result<(), HouseError> {
    let walls = shared(house);
    let Some(beside) = &house.beside else {
        return match walls.first() {
            Some(wall) => Err(HouseError::NoRoomBeside {
                name: wall.name.clone(),
            }),
            None => Ok(()),
        };
    };
    let walls_max = (0.0, SHARED_WALLS_MAX as f64, "must be 0 to 4");
    ranges! { Part { of: &beside.name };
        "number of walls to the house": walls.len() as f64 => walls_max;
    }
    let room = &beside.room;
    let others = shared(room);
    let alike = others.len() == walls.len()
        && walls
            .iter()
            .zip(&others)
            .all(|(wall, other)| wall.area_m2 == other.area_m2);
    let layered = |wall: &&Surface| matches!(wall.make, Make::Layers(_));
    let plain = room.beside.is_none()
        && room.parts.is_empty()
        && room.store.is_none()
        && room.lamp.is_none()
        && room.inner_film == house.inner_film;
    if !(alike && plain && walls.iter().chain(&others).all(layered)) {
        return Err(HouseError::RoomBeside {
            name: beside.name.clone(),
        });
    }
    if let Some(door) = &beside.door {
        let part = Part { of: "the door" };
        ranges! { part;
            "area": door.area_m2 => SIZE;
            "height": door.height_m => SIZE;
        }
        part.schedule("open share", &door.open, SHARE)?;
    }
    if let Some(fan) = &beside.fan {
        let part = Part {
            of: "the fan between the rooms",
        };
        ranges! { part;
            "flow": fan.flow_m3_s => SIZE;
            "power": fan.power_w => NOT_NEGATIVE;
        }
        part.schedule("share of the time", &fan.on, SHARE)?;
        if let FanRuns::WarmingHouse(limits) | FanRuns::WarmingRoom(limits) = fan.runs {
            ranges! { part;
                "difference": limits.by_k => NOT_NEGATIVE;
                "limit": limits.until_c => TEMPERATURE;
            }
        }
    }
    check_building(room)
}
