//! A room that is simulated with the house.

use super::envelope::Envelope;
use super::{faces, heat};
use crate::file::keys::words::Of;
use crate::file::section::Section;
use crate::house::{
    Air, Behind, Beside, Door, EnergySource, FanRuns, Heater, House, InnerFilm, OuterFilm,
    PassageFan, SHARED_WALLS_MAX, Surface, VentKind, Vents,
};

/// What a table belongs to, as its key says.
pub fn of(table: &Section<'_, '_>) -> Of {
    table.get("of").unwrap_or(Of::House)
}

/// The room beside; nothing where there is none, or something essential of it is missing.
pub fn beside(
    root: &Section<'_, '_>,
    envelope: &Envelope,
    (inner_film, outer_film): (InnerFilm, OuterFilm),
) -> Option<Box<Beside>> {
    let Some(table) = root.given("room") else {
        let lists = ["surface", "heavy", "gain"].into_iter();
        let tables = lists.flat_map(|list| root.tables(list));
        for table in tables.filter(|table| of(table) != Of::House) {
            let wrong = "there is no room beside that is simulated with the house";
            let right = "describe it in a table `room`, or leave `of` out";
            table.problem("of", wrong, right);
        }
        return None;
    };
    let volume_m3 = table.required("volume");
    let is_shared = |surface: &&Surface| surface.behind == Behind::Beside;
    let shared: Vec<&Surface> = envelope.surfaces.iter().filter(is_shared).collect();
    let (door, fan) = (door(&table), fan(&table));
    if shared.is_empty() && door.is_none() && fan.is_none() {
        let wrong = "nothing joins the room to the house";
        let right = "give a surface with of = \"both\", a door_area or a fan_flow; the back wall of a lean-to is such a wall by itself";
        root.problem("room", wrong, right);
    }
    if shared.len() > SHARED_WALLS_MAX {
        let count = shared.len();
        let wrong = format!(
            "{count} walls stand between the house and the room; at most {SHARED_WALLS_MAX} can"
        );
        root.problem("room", wrong, "put walls alike together");
    }
    let mut surfaces = faces::listed(root, Of::Room);
    surfaces.extend(shared.into_iter().map(Surface::other_side));
    let name = table.text("name");
    let name = name.unwrap_or_else(|| "room beside".to_owned());
    if surfaces.is_empty() {
        let wrong = format!("{name} has no face");
        let right = "give its faces as surfaces with of = \"room\"";
        root.problem("room", wrong, right);
    }
    let room = House {
        surfaces,
        air: Air {
            volume_m3: volume_m3?,
            light_capacity_j_k: table.number_or_default("light_capacity"),
            infiltration: table.filled_or_default(),
            vents: table.get("open_above").map(|set_point_c| Vents {
                set_point_c,
                humidity_pct: None,
                kind: VentKind::AirChanges {
                    max_per_h: table.number_or_default("air_change"),
                },
            }),
            scheduled_fan: None,
        },
        heavy: heat::heavy(root, Of::Room),
        gains: heat::gains(root, Of::Room),
        heater: table.get("set_point").map(|set_point_c| Heater {
            set_point_c,
            capacity_w: table.number("capacity").unwrap_or(f64::INFINITY),
            energy: EnergySource::Free,
            efficiency: 1.0,
        }),
        inner_film,
        outer_film,
        horizon: root.table("site").get("horizon"),
        snow: root.table("light").get_or_default("snow"),
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
        let others = ["door_height", "door_open"].map(str::to_owned);
        needs(table, "door_area", &others);
        return None;
    };
    table.filled(Door {
        area_m2,
        ..Door::default()
    })
}

fn fan(table: &Section<'_, '_>) -> Option<PassageFan> {
    let Some(flow_m3_s) = table.number("fan_flow") else {
        let others = ["power", "on", "warms", "difference", "until"];
        needs(
            table,
            "fan_flow",
            &others.map(|other| format!("fan_{other}")),
        );
        return None;
    };
    let usual_w = super::indoors::EXHAUST_FAN_W_PER_M3_S * flow_m3_s;
    let why = "the middle of tested ventilation fans, 8 to 25 cfm/W";
    table.filled(PassageFan {
        flow_m3_s,
        power_w: table.number_or("fan_power", usual_w, why),
        runs: match table.get_or_default("fan_warms") {
            Of::Both => FanRuns::Always,
            Of::Room => FanRuns::WarmingRoom(table.filled_or_default()),
            Of::House => FanRuns::WarmingHouse(table.filled_or_default()),
        },
        ..PassageFan::default()
    })
}

/// Notes keys that say nothing without another one.
fn needs(table: &Section<'_, '_>, without: &str, keys: &[String]) {
    for key in keys.iter().filter(|key| table.has(key)) {
        let (key_shown, without) = (table.shown(key), table.shown(without));
        let wrong = format!("`{key_shown}` says nothing without `{without}`");
        table.problem(key, wrong, format!("give `{without}`"));
    }
}
