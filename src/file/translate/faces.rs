//! Faces listed one by one, with what stands before them: a skyline of their own, an overhang, fins.

use super::envelope::{glazed_surface, set_losses};
use super::room;
use crate::file::keys::words::{BehindWord, Of, Pane};
use crate::file::section::Section;
use crate::house::{Behind, Layer, Make, Surface, SurfaceKind};
use crate::sun::glazing::{USUAL_DIRT_SHARE, USUAL_FRAME_SHARE};
use crate::sun::{FRAME_ABSORPTANCE, Fin, Glazing, OpticsShelf, Outlook, Overhang, Shade};

/// Thickness that stands for a layer known only by its resistance, m; only thickness over conductivity counts.
const NOMINAL_THICKNESS_M: f64 = 0.1;
const MM_PER_M: f64 = 1000.0;
/// Films of a vertical face together, m2K/W: 0.13 inside and 0.04 outside (ISO 6946, from memory).
const FILMS_M2K_W: f64 = 0.17;
/// g over transmittance of clear glazing in excess of 1: inward flowing heat of what the panes absorb. From the glass
/// record g 0.78, transmittance 0.721, double glass 4/12/4 (Lawrence Berkeley National Laboratory, WINDOW 7.3; read).
const G_OVER_TRANSMITTANCE_MULTIPLE: f64 = 0.78 / 0.721;
/// The same for one pane: g 0.88, transmittance 0.845, 3.8 mm.
const G_OVER_TRANSMITTANCE_SINGLE: f64 = 0.88 / 0.845;

/// Both films of a wall between two rooms, m2K/W: 0.13 at each face (ISO 6946, from memory).
pub const FILMS_BETWEEN_M2K_W: f64 = 0.26;

/// The listed faces of the house, those to the room beside among them, or of the room alone; broken ones are left out, with
/// their problem noted.
pub fn listed(root: &Section<'_, '_>, whose: Of) -> Vec<Surface> {
    let tables = root.tables("surface").into_iter().enumerate();
    tables
        .filter(|(_, table)| (room::of(table) == Of::Room) == (whose == Of::Room))
        .filter_map(|(at, table)| surface(root, &table, at + 1))
        .collect()
}

fn surface(root: &Section<'_, '_>, table: &Section<'_, '_>, number: usize) -> Option<Surface> {
    let name = table.name_or("surface", number);
    let (kind, area_m2) = (table.required("kind"), table.required("area"));
    let kind = kind?;
    let tilt_deg = table.number_or_default("tilt");
    let level = tilt_deg == 0.0 || tilt_deg == 180.0;
    let azimuth_deg = match level {
        true => table.number("facing").unwrap_or(180.0),
        false => table.number_or_default("facing"),
    };
    let place = (area_m2?, tilt_deg, azimuth_deg);
    if room::of(table) == Of::Both {
        return between(root, table, name, place, kind);
    }
    match kind {
        Pane::Glazed => glazed(root, table, name, place),
        Pane::Opaque => opaque(table, name, place),
    }
}

/// A wall between the house and the room; glazing passes its light on, and no heat rays, which its U value holds.
fn between(
    root: &Section<'_, '_>,
    table: &Section<'_, '_>,
    name: String,
    place: (f64, f64, f64),
    kind: Pane,
) -> Option<Surface> {
    if table.has("behind") {
        let wrong = "behind a wall of both lies the room";
        table.problem("behind", wrong, "leave it out");
    }
    if kind == Pane::Opaque {
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
            let shown = table.shown(key);
            let wrong = format!("`{shown}` belongs to a glazed surface, but this one is opaque");
            table.problem(key, wrong, "leave it out, or write kind = \"glazed\"");
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
    let mut given = vec!["u", "r", "layer"];
    given.retain(|key| table.has(key));
    match given.as_slice() {
        ["u"] => Some(Make::AirToAir {
            u_w_m2k: table.number("u")?,
            inner_capacity_j_m2k: table.number_or_default("capacity"),
        }),
        ["r"] => Some(Make::FaceToFace {
            resistance_m2k_w: table.number("r")?,
            inner_capacity_j_m2k: table.number_or_default("capacity"),
        }),
        ["layer"] => {
            if table.has("capacity") {
                let wrong = format!("`{}` is contained in the layers", table.shown("capacity"));
                table.problem("capacity", wrong, "leave it out");
            }
            let layers: Vec<Layer> = table.tables("layer").iter().filter_map(layer).collect();
            (!layers.is_empty()).then_some(Make::Layers(layers))
        }
        [] => table.required::<f64>("u").and(None),
        several => {
            let keys = several.join("` and `");
            let shown = table.shown("");
            let wrong = format!("`{keys}` say the same of `{}`", shown.trim_end_matches('.'));
            table.problem("u", wrong, "keep one of them");
            None
        }
    }
}

fn layer(table: &Section<'_, '_>) -> Option<Layer> {
    let (thickness, conductivity) = match table.number("r") {
        Some(resistance_m2k_w) => {
            let thickness_m = table.number("thickness").unwrap_or(NOMINAL_THICKNESS_M);
            let conductivity_w_mk = thickness_m / resistance_m2k_w.max(f64::MIN_POSITIVE);
            (Some(thickness_m), Some(conductivity_w_mk))
        }
        None => (table.required("thickness"), table.required("conductivity")),
    };
    Some(Layer {
        thickness_m: thickness?,
        conductivity_w_mk: conductivity?,
        density_kg_m3: table.number("density").unwrap_or(0.0),
        heat_capacity_j_kgk: table.number("heat_capacity").unwrap_or(0.0),
    })
}

fn behind(table: &Section<'_, '_>) -> Behind {
    match table.get_or_default("behind") {
        BehindWord::ShelteredAir => Behind::ShelteredAir,
        BehindWord::Ground => match table.get("ground_temperature") {
            Some(given) => Behind::Given(given),
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
    Behind::Room(table.get_or_default(key))
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
    let (frame, dirt, why) = match root.has("building") {
        true => (USUAL_FRAME_SHARE, USUAL_DIRT_SHARE, "as for the shape"),
        false => (0.0, 0.0, "an area of glass without a frame"),
    };
    (glazing.frame_share, glazing.dirt_share) = (frame, dirt);
    set_losses(root, &mut glazing, why, why);
    let over = |key: &str, figure: &mut f64| *figure = table.number(key).unwrap_or(*figure);
    over("u", &mut glazing.u_w_m2k);
    over("long_wave", &mut glazing.long_wave_transmittance);
    over("emissivity", &mut glazing.long_wave_emissivity);
    let mut surface = glazed_surface(name, place, glazing);
    surface.behind = behind(table);
    surface.outlook = outlook(table);
    if let SurfaceKind::Glazed(face) = &mut surface.kind {
        over("long_wave_wet", &mut face.long_wave_wet);
    }
    if let Some(resistance_m2k_w) = table.number("r") {
        surface.make = Make::FaceToFace {
            resistance_m2k_w,
            inner_capacity_j_m2k: 0.0,
        };
    }
    over("emissivity_inside", &mut surface.emissivity_inside);
    over("absorptance_inside", &mut surface.absorptance_inside);
    Some(surface)
}

/// Glazing known by its transmittance or its g-value.
fn by_figures(table: &Section<'_, '_>, name: &str) -> Option<Glazing> {
    let sheets: usize = table.get_or_default("sheets");
    let index = table.number_or_default("refractive_index");
    let transmittance = match (table.number("transmittance"), table.number("g")) {
        (Some(transmittance), _) => transmittance,
        (None, Some(g)) => {
            let over = match sheets {
                1 => G_OVER_TRANSMITTANCE_SINGLE,
                _ => G_OVER_TRANSMITTANCE_MULTIPLE,
            };
            let why = "from g, less the inward flowing heat of the absorbed sun (ratio of the glass records)";
            table.assume("transmittance", crate::file::read::tidy(g / over), "", why);
            g / over
        }
        (None, None) => table.required("transmittance")?,
    };
    let u_w_m2k = match (table.number("u"), table.number("r")) {
        (Some(u), _) => u,
        (None, Some(r)) => 1.0 / (r + FILMS_M2K_W),
        (None, None) => table.required("u")?,
    };
    let wrong = |error| {
        let shown = table.shown("transmittance");
        table.problem("transmittance", format!("`{shown}`: {error}"), None);
    };
    let glazing = Glazing::from_transmittance(name, sheets, index, transmittance, u_w_m2k);
    glazing.map_err(wrong).ok()
}

/// Skyline, overhang and fins of a face; broken keys are left out, with their problem noted.
fn outlook(table: &Section<'_, '_>) -> Outlook {
    Outlook {
        horizon: table.get("horizon"),
        shade: shade(table),
    }
}

fn shade(table: &Section<'_, '_>) -> Option<Shade> {
    let overhang = table.number("overhang");
    let fins = match table.has("fins") {
        true => sides(table, "fins"),
        false => None,
    };
    for (key, of) in [
        ("overhang_above", "overhang"),
        ("overhang_beyond", "overhang"),
        ("fins_beside", "fins"),
        ("fins_above", "fins"),
        ("fins_below", "fins"),
    ] {
        let present = match of {
            "fins" => fins.is_some(),
            _ => overhang.is_some(),
        };
        if table.has(key) && !present {
            let (key_shown, of_shown) = (table.shown(key), table.shown(of));
            let wrong =
                format!("`{key_shown}` says where something is that `{of_shown}` does not give");
            table.problem(key, wrong, format!("give `{of}`, or leave it out"));
            return None;
        }
    }
    if overhang.is_none() && fins.is_none() {
        return None;
    }
    let (width_m, height_m) = (table.required("width"), table.required("height"));
    let overhang = match overhang {
        Some(depth_m) => {
            let above_m = table.number_or_default("overhang_above");
            let (left_m, right_m) = sides(table, "overhang_beyond")?;
            Some(Overhang {
                depth_m,
                above_m,
                left_m,
                right_m,
            })
        }
        None => None,
    };
    let (left_fin, right_fin) = match fins {
        Some((left_m, right_m)) => {
            let (left_beside_m, right_beside_m) = sides(table, "fins_beside")?;
            let above_m = table.number_or_default("fins_above");
            let below_m = table.number_or_default("fins_below");
            let fin = |depth_m: f64, beside_m: f64| {
                (depth_m > 0.0).then_some(Fin {
                    depth_m,
                    beside_m,
                    above_m,
                    below_m,
                })
            };
            (fin(left_m, left_beside_m), fin(right_m, right_beside_m))
        }
        None => (None, None),
    };
    Some(Shade {
        width_m: width_m?,
        height_m: height_m?,
        overhang,
        left_fin,
        right_fin,
    })
}

/// Left and right from one figure or two, the file's or of the key table.
fn sides(table: &Section<'_, '_>, key: &str) -> Option<(f64, f64)> {
    let values: Vec<f64> = table.get_or_default(key);
    match values[..] {
        [both] => Some((both, both)),
        [left, right] => Some((left, right)),
        _ => {
            let wrong = format!("`{}` has {} values", table.shown(key), values.len());
            let right = "it takes one for both sides, or two: left, right as seen from outside";
            table.problem(key, wrong, right);
            None
        }
    }
}
