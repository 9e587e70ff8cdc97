//! A room that is simulated with the house.

use super::envelope::Envelope;
use super::times::schedule;
use super::{faces, heat};
use crate::file::keys::words::{FACES_OF, FAN_WARMS, Of};
use crate::file::section::Section;
use crate::house::{
    Air, Behind, Beside, Door, EnergySource, FanRuns, Heater, House, Infiltration, InnerFilm,
    OuterFilm, PassageFan, SHARED_WALLS_MAX, Surface, VentKind, Vents,
};
/// What a table belongs to, as its key says.
pub fn of(table: &Section<'_, '_>) -> Of {
    table.choice("of", &FACES_OF).unwrap_or(Of::House)
}

/// The room beside; nothing where there is none, or something essential of it is missing.
pub fn beside(
    root: &Section<'_, '_>,
    envelope: &Envelope,
    (inner_film, outer_film): (InnerFilm, OuterFilm),
) -> Option<Box<Beside>> {
    let table = root.table("room");
    if !table.present() {
        for list in ["surface", "heavy", "gain"] {
            for table in root.tables(list) {
                if of(&table) != Of::House {
                    let wrong =
                        "there is no room beside that is simulated with the house".to_owned();
                    let right = "describe it in a table `room`, or leave `of` out".to_owned();
                    table.problem("of", wrong, Some(right));
                }
            }
        }
        return None;
    }
    let volume_m3 = table.required_number("volume");
    let shared: Vec<&Surface> = envelope
        .surfaces
        .iter()
        .filter(|surface| surface.behind == Behind::Beside)
        .collect();
    let (door, fan) = (door(&table), fan(&table));
    if shared.is_empty() && door.is_none() && fan.is_none() {
        let wrong = "nothing joins the room to the house".to_owned();
        let right = "give a surface with of = \"both\", a door_area or a fan_flow; the back wall of a lean-to is such a wall by itself".to_owned();
        root.problem("room", wrong, Some(right));
    }
    if shared.len() > SHARED_WALLS_MAX {
        let wrong = format!(
            "{} walls stand between the house and the room; at most {SHARED_WALLS_MAX} can",
            shared.len()
        );
        root.problem("room", wrong, Some("put walls alike together".to_owned()));
    }
    let mut surfaces = faces::listed(root, Of::Room);
    surfaces.extend(shared.into_iter().map(Surface::other_side));
    let name = table
        .text("name")
        .unwrap_or_else(|| "room beside".to_owned());
    if surfaces.is_empty() {
        let wrong = format!("{name} has no face");
        let right = "give its faces as surfaces with of = \"room\"".to_owned();
        root.problem("room", wrong, Some(right));
    }
    let room = House {
        surfaces,
        air: Air {
            volume_m3: volume_m3?,
            light_capacity_j_k: table.number_or_default("light_capacity"),
            infiltration: Infiltration {
                constant_per_h: schedule(&table.numbers_or_default("infiltration")),
                per_wind_s_m_h: table.number_or_default("infiltration_wind"),
                per_root_k_h: 0.0,
            },
            vents: table.numbers("open_above").map(|set_point| Vents {
                set_point_c: schedule(&set_point),
                humidity_pct: None,
                kind: VentKind::AirChanges {
                    max_per_h: table.number_or_default("air_change"),
                },
            }),
            scheduled_fan: None,
        },
        heavy: heat::heavy(root, Of::Room),
        gains: heat::gains(root, Of::Room),
        heater: table.numbers("set_point").map(|set_point| Heater {
            set_point_c: schedule(&set_point),
            capacity_w: table.number("capacity").unwrap_or(f64::INFINITY),
            energy: EnergySource::Free,
            efficiency: 1.0,
        }),
        inner_film,
        outer_film,
        horizon: super::indoors::horizon(root),
        snow: super::indoors::snow(root),
        ..House::default()
    };
    heat::check_gains(root, &room, Of::Room);
    let beside = Beside {
        name,
        room,
        door,
        fan,
        ..Beside::default()
    };
    table.filled(beside).map(Box::new)
}

fn door(table: &Section<'_, '_>) -> Option<Door> {
    let Some(area_m2) = table.number("door_area") else {
        needs(table, "door_area", &["door_height", "door_open"]);
        return None;
    };
    table.filled(Door {
        area_m2,
        ..Door::default()
    })
}

fn fan(table: &Section<'_, '_>) -> Option<PassageFan> {
    let Some(flow_m3_s) = table.number("fan_flow") else {
        let others = [
            "fan_power",
            "fan_on",
            "fan_warms",
            "fan_difference",
            "fan_until",
        ];
        needs(table, "fan_flow", &others);
        return None;
    };
    let warms = table.choice_or_default("fan_warms", &FAN_WARMS);
    let usual_w = super::indoors::EXHAUST_FAN_W_PER_M3_S * flow_m3_s;
    let why = "the middle of tested ventilation fans, 8 to 25 cfm/W";
    table.filled(PassageFan {
        flow_m3_s,
        power_w: table.number_or("fan_power", usual_w, why),
        runs: match warms {
            Of::Both => FanRuns::Always,
            Of::Room => FanRuns::WarmingRoom(table.filled_or_default()),
            Of::House => FanRuns::WarmingHouse(table.filled_or_default()),
        },
        ..PassageFan::default()
    })
}

/// Notes keys that say nothing without another one.
fn needs(table: &Section<'_, '_>, without: &str, keys: &[&str]) {
    for key in keys {
        if table.has(key) {
            let wrong = format!(
                "`{}` says nothing without `{}`",
                table.shown(key),
                table.shown(without)
            );
            table.problem(key, wrong, Some(format!("give `{}`", table.shown(without))));
        }
    }
}
