//! A room that is simulated with the house.

use super::{HUGE, Part, TEMPERATURES_C, TINY, check_building};
use crate::house::{Behind, FanRuns, House, HouseError, Make, SHARED_WALLS_MAX, Surface};

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
    let part = Part { of: &beside.name };
    part.within(
        "number of walls to the house",
        walls.len() as f64,
        0.0,
        SHARED_WALLS_MAX as f64,
        "must be 0 to 4",
    )?;
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
        part.within("area", door.area_m2, TINY, HUGE, "must be above 0")?;
        part.within("height", door.height_m, TINY, HUGE, "must be above 0")?;
        part.schedule("open share", &door.open, 0.0, 1.0, "must be 0 to 1")?;
    }
    if let Some(fan) = &beside.fan {
        let part = Part {
            of: "the fan between the rooms",
        };
        part.within("flow", fan.flow_m3_s, TINY, HUGE, "must be above 0")?;
        part.not_negative("power", fan.power_w)?;
        part.schedule("share of the time", &fan.on, 0.0, 1.0, "must be 0 to 1")?;
        if let FanRuns::WarmingHouse(limits) | FanRuns::WarmingRoom(limits) = fan.runs {
            part.not_negative("difference", limits.by_k)?;
            part.within(
                "limit",
                limits.until_c,
                TEMPERATURES_C.0,
                TEMPERATURES_C.1,
                "must be -100 to 200 °C",
            )?;
        }
    }
    check_building(room)
}
