//! Faces listed one by one.

use super::envelope::{glazed_surface, set_condensation_loss};
use super::room;
use super::shade::outlook;
use super::times::schedule;
use crate::file::keys::words::{BEHIND, BehindWord, LETS_LIGHT, Of};
use crate::file::section::Section;
use crate::house::{Behind, Layer, Make, Surface, SurfaceKind};
use crate::sun::{FRAME_ABSORPTANCE, Glazing, OpticsShelf};

/// Thickness that stands for a layer known only by its resistance, m; only thickness over conductivity counts.
const NOMINAL_THICKNESS_M: f64 = 0.1;
const MM_PER_M: f64 = 1000.0;
/// Films of a vertical face together, m2K/W: 0.13 inside and 0.04 outside (ISO 6946, from memory).
const FILMS_M2K_W: f64 = 0.17;
/// g over transmittance of clear glazing in excess of 1: inward flowing heat of what the panes absorb. From the glass
/// record g 0.78, transmittance 0.721, double glass 4/12/4 (computed with a window program, read).
const G_OVER_TRANSMITTANCE_MULTIPLE: f64 = 0.78 / 0.721;
/// The same for one pane: g 0.88, transmittance 0.845, 3.8 mm.
const G_OVER_TRANSMITTANCE_SINGLE: f64 = 0.88 / 0.845;

/// Both films of a wall between two rooms, m2K/W: 0.13 at each face (ISO 6946, from memory).
pub const FILMS_BETWEEN_M2K_W: f64 = 0.26;

/// The listed faces of the house, those to the room beside among them, or of the room alone; broken ones are left out, with
/// their problem noted.
pub fn listed(root: &Section<'_, '_>, whose: Of) -> Vec<Surface> {
    let tables = root.tables("surface");
    tables
        .iter()
        .enumerate()
        .filter(|(_, table)| (room::of(table) == Of::Room) == (whose == Of::Room))
        .filter_map(|(at, table)| surface(root, table, at + 1))
        .collect()
}

fn surface(root: &Section<'_, '_>, table: &Section<'_, '_>, number: usize) -> Option<Surface> {
    let name = table
        .text("name")
        .unwrap_or_else(|| format!("surface {number}"));
    if !table.has("kind") {
        table.missing("kind");
    }
    let area_m2 = table.required_number("area");
    let lets_light = table.choice("kind", &LETS_LIGHT)?;
    let tilt_deg = table.number_or_default("tilt");
    let level = tilt_deg == 0.0 || tilt_deg == 180.0;
    let azimuth_deg = if level {
        table.number("facing").unwrap_or(180.0)
    } else {
        table.number_or_default("facing")
    };
    let place = (area_m2?, tilt_deg, azimuth_deg);
    if room::of(table) == Of::Both {
        return between(root, table, name, place, lets_light);
    }
    if lets_light {
        glazed(root, table, name, place)
    } else {
        opaque(table, name, place)
    }
}

/// A wall between the house and the room; glazing passes its light on, and no heat rays, which its U value holds.
fn between(
    root: &Section<'_, '_>,
    table: &Section<'_, '_>,
    name: String,
    place: (f64, f64, f64),
    is_glazed: bool,
) -> Option<Surface> {
    if table.has("behind") {
        let wrong = "behind a wall of both lies the room".to_owned();
        table.problem("behind", wrong, Some("leave it out".to_owned()));
    }
    if !is_glazed {
        return Some(to_the_room(opaque(table, name, place)?));
    }
    let mut wall = glazed(root, table, name, place)?;
    if let SurfaceKind::Glazed(face) = &mut wall.kind {
        (face.long_wave_transmittance, face.long_wave_wet) = (0.0, 0.0);
        face.curtain = None;
        let frame = FRAME_ABSORPTANCE * (1.0 - face.glazing.clear_share());
        let absorbed = OpticsShelf::default().of(&face.glazing).diffuse.absorbed;
        wall.absorptance_inside = (absorbed + frame).min(1.0);
    }
    Some(to_the_room(wall))
}

/// A wall with the room that is simulated with the house behind it.
pub fn to_the_room(mut wall: Surface) -> Surface {
    wall.make = Make::Layers(wall.make.into_layers(FILMS_BETWEEN_M2K_W));
    wall.behind = Behind::Beside;
    wall
}

fn opaque(table: &Section<'_, '_>, name: String, place: (f64, f64, f64)) -> Option<Surface> {
    for key in [
        "glazing",
        "transmittance",
        "g",
        "sheets",
        "refractive_index",
        "long_wave",
        "long_wave_wet",
    ] {
        if table.has(key) {
            let wrong = format!(
                "`{}` belongs to a glazed surface, but this one is opaque",
                table.shown(key)
            );
            table.problem(
                key,
                wrong,
                Some("leave it out, or write kind = \"glazed\"".to_owned()),
            );
            return None;
        }
    }
    let make = make(table)?;
    let (area_m2, tilt_deg, azimuth_deg) = place;
    Some(Surface {
        name,
        area_m2,
        tilt_deg,
        azimuth_deg,
        make,
        behind: behind(table),
        kind: SurfaceKind::Opaque {
            absorptance_outside: table.number_or_default("absorptance"),
            emissivity_outside: table.number_or_default("emissivity"),
        },
        emissivity_inside: table.number_or_default("emissivity_inside"),
        absorptance_inside: table.number_or_default("absorptance_inside"),
        outlook: outlook(table),
    })
}

/// What conducts: exactly one of `u`, `r` and `layer`.
fn make(table: &Section<'_, '_>) -> Option<Make> {
    let given: Vec<&str> = ["u", "r", "layer"]
        .into_iter()
        .filter(|key| table.has(key))
        .collect();
    match given.as_slice() {
        ["u"] => {
            let inner_capacity_j_m2k = table.number_or_default("capacity");
            Some(Make::AirToAir {
                u_w_m2k: table.number("u")?,
                inner_capacity_j_m2k,
            })
        }
        ["r"] => {
            let inner_capacity_j_m2k = table.number_or_default("capacity");
            Some(Make::FaceToFace {
                resistance_m2k_w: table.number("r")?,
                inner_capacity_j_m2k,
            })
        }
        ["layer"] => {
            if table.has("capacity") {
                let wrong = format!("`{}` is contained in the layers", table.shown("capacity"));
                table.problem("capacity", wrong, Some("leave it out".to_owned()));
            }
            let layers: Vec<Layer> = table.tables("layer").iter().filter_map(layer).collect();
            (!layers.is_empty()).then_some(Make::Layers(layers))
        }
        [] => {
            table.missing("u");
            None
        }
        several => {
            let wrong = format!("{} say the same of `{}`", list(several), table.shown(""))
                .replace(".`", "`");
            table.problem("u", wrong, Some("keep one of them".to_owned()));
            None
        }
    }
}

fn list(keys: &[&str]) -> String {
    keys.iter()
        .map(|key| format!("`{key}`"))
        .collect::<Vec<_>>()
        .join(" and ")
}

fn layer(table: &Section<'_, '_>) -> Option<Layer> {
    let density_kg_m3 = table.number("density").unwrap_or(0.0);
    let heat_capacity_j_kgk = table.number("heat_capacity").unwrap_or(0.0);
    if let Some(resistance_m2k_w) = table.number("r") {
        let thickness_m = table.number("thickness").unwrap_or(NOMINAL_THICKNESS_M);
        let conductivity_w_mk = thickness_m / resistance_m2k_w.max(f64::MIN_POSITIVE);
        return Some(Layer {
            thickness_m,
            conductivity_w_mk,
            density_kg_m3,
            heat_capacity_j_kgk,
        });
    }
    let (thickness, conductivity) = (
        table.required_number("thickness"),
        table.required_number("conductivity"),
    );
    Some(Layer {
        thickness_m: thickness?,
        conductivity_w_mk: conductivity?,
        density_kg_m3,
        heat_capacity_j_kgk,
    })
}

fn behind(table: &Section<'_, '_>) -> Behind {
    match table.choice_or_default("behind", &BEHIND) {
        BehindWord::ShelteredAir => Behind::ShelteredAir,
        BehindWord::Ground => match table.numbers("ground_temperature") {
            Some(given) => Behind::Given(schedule(&given)),
            None => Behind::Ground {
                depth_mm: (table.number_or_default("depth") * MM_PER_M).round() as u32,
            },
        },
        BehindWord::Nothing => Behind::Nothing,
        BehindWord::Room => given_room(table, "room_temperature"),
        BehindWord::Outdoor => Behind::Outdoor,
    }
}

/// A room of given temperature.
pub fn given_room(table: &Section<'_, '_>, key: &str) -> Behind {
    Behind::Room(schedule(&table.numbers_or_default(key)))
}

fn glazed(
    root: &Section<'_, '_>,
    table: &Section<'_, '_>,
    name: String,
    place: (f64, f64, f64),
) -> Option<Surface> {
    let mut glazing = match table.text("glazing") {
        Some(kind) => Glazing::kind(&kind)?,
        None => by_figures(table, &name)?,
    };
    let light = root.table("light");
    let shaped = root.has("building");
    let usual = |share: f64| if shaped { share } else { 0.0 };
    let why = if shaped {
        "as for the shape"
    } else {
        "an area of glass without a frame"
    };
    glazing.frame_share = light.number_or(
        "frame_loss",
        usual(crate::sun::glazing::USUAL_FRAME_SHARE),
        why,
    );
    glazing.dirt_share = light.number_or(
        "dirt_loss",
        usual(crate::sun::glazing::USUAL_DIRT_SHARE),
        why,
    );
    set_condensation_loss(&light, &mut glazing);
    if let Some(u) = table.number("u") {
        glazing.u_w_m2k = u;
    }
    if let Some(long_wave) = table.number("long_wave") {
        glazing.long_wave_transmittance = long_wave;
    }
    if table.has("emissivity") {
        glazing.long_wave_emissivity = table.number_or_default("emissivity");
    }
    let mut surface = glazed_surface(name, place, glazing);
    surface.behind = behind(table);
    surface.outlook = outlook(table);
    if let (Some(wet), SurfaceKind::Glazed(face)) =
        (table.number("long_wave_wet"), &mut surface.kind)
    {
        face.long_wave_wet = wet;
    }
    if let Some(resistance_m2k_w) = table.number("r") {
        surface.make = Make::FaceToFace {
            resistance_m2k_w,
            inner_capacity_j_m2k: 0.0,
        };
    }
    if let Some(emissivity) = table.number("emissivity_inside") {
        surface.emissivity_inside = emissivity;
    }
    if let Some(absorptance) = table.number("absorptance_inside") {
        surface.absorptance_inside = absorptance;
    }
    Some(surface)
}

/// Glazing known by its transmittance or its g-value.
fn by_figures(table: &Section<'_, '_>, name: &str) -> Option<Glazing> {
    let sheets = table.number_or_default("sheets") as usize;
    let index = table.number_or_default("refractive_index");
    let transmittance = match (table.number("transmittance"), table.number("g")) {
        (Some(transmittance), _) => transmittance,
        (None, Some(g)) => {
            let over = if sheets > 1 {
                G_OVER_TRANSMITTANCE_MULTIPLE
            } else {
                G_OVER_TRANSMITTANCE_SINGLE
            };
            let why = "from g, less the inward flowing heat of the absorbed sun (ratio of the glass records)";
            table.assume("transmittance", crate::file::read::tidy(g / over), "", why);
            g / over
        }
        (None, None) => {
            table.missing("transmittance");
            return None;
        }
    };
    let u_w_m2k = match (table.number("u"), table.number("r")) {
        (Some(u), _) => u,
        (None, Some(r)) => 1.0 / (r + FILMS_M2K_W),
        (None, None) => {
            table.missing("u");
            return None;
        }
    };
    match Glazing::from_transmittance(name, sheets, index, transmittance, u_w_m2k) {
        Ok(glazing) => Some(glazing),
        Err(error) => {
            table.problem(
                "transmittance",
                format!("`{}`: {error}", table.shown("transmittance")),
                None,
            );
            None
        }
    }
}
