//! The house put together, with its floor, air, vents, films, skyline and crop.

use super::envelope::Envelope;
use super::times::by_clock;
use super::{cover, heat, room};
use crate::file::check::AIR_CHANGE_WIND_M_S;
use crate::file::keys::words::{Of, SOILS};
use crate::file::project::Bed;
use crate::file::section::Section;
use crate::house::*;
use crate::sun::glazing;

/// Share of the air change at the usual wind that remains in still air. Common practice, no source.
const STILL_SHARE: f64 = 0.5;
/// Air change of a tight stud wall, 1/h. Common practice, no source.
const SOLID_AIR_CHANGE_PER_H: f64 = 0.3;
/// Frames, pots and benches, J/K per m2 of floor. Common practice, no source.
const LIGHT_THINGS_J_M2K: f64 = 5000.0;
/// Power of ventilation fans, W per m3/s: 16.5 cfm/W, the middle of 8 to 25 (tests of ventilation fans quoted in
/// Greenhouse Management, 2014, read); a cubic foot a minute is 0.000471947 m3/s.
pub const EXHAUST_FAN_W_PER_M3_S: f64 = 1.0 / (16.5 * 0.000_471_947);

/// Concrete of a slab: conductivity, density and specific heat of the published heavy test box's slab.
const SLAB_CONDUCTIVITY_W_MK: f64 = 1.13;
const SLAB_DENSITY_KG_M3: f64 = 1400.0;
const SLAB_HEAT_CAPACITY_J_KGK: f64 = 1000.0;
/// Wall over the edge where surfaces are listed, m. Common practice, no source.
const USUAL_WALL_M: f64 = 0.15;
/// Strip along the outer walls where no bed says its width, m. Own choice.
const STRIP_M: f64 = 1.0;
const SIDES_OF_A_SQUARE: f64 = 4.0;

/// The house; nothing where something essential is missing.
pub fn house(root: &Section<'_, '_>, envelope: &Envelope, beds: &mut [Bed]) -> Option<House> {
    let mut floor = floor(root, envelope);
    let bed_m2: f64 = beds.iter().map(|bed| bed.area_m2).sum();
    let share = |floor_m2: f64| (bed_m2 / floor_m2).min(1.0);
    let bed_share = envelope.floor_m2.map_or(0.0, share);
    let (inner_film, outer_film) = films(root, envelope);
    let house = House {
        surfaces: surfaces(root, envelope),
        air: air(root, envelope),
        heavy: heat::heavy(root, Of::House),
        store: heat::store(root, floor.is_some()),
        collector: heat::collector(root),
        gains: heat::gains(root, Of::House),
        heater: heat::heater(root),
        cooler: heat::cooler(root),
        lamp: heat::lamp(root),
        canopy: canopy(root, bed_share)?,
        parts: floor
            .as_mut()
            .map_or_else(Vec::new, |floor| cover::parts(root, beds, floor)),
        sun_shares: sun_shares(root, envelope)?,
        floor,
        inner_film,
        outer_film,
        horizon: root.table("site").get("horizon"),
        snow: root.table("light").get_or_default("snow"),
        beside: room::beside(root, envelope, (inner_film, outer_film)),
    };
    heat::check_gains(root, &house, Of::House);
    Some(house)
}

fn surfaces(root: &Section<'_, '_>, envelope: &Envelope) -> Vec<Surface> {
    let mut surfaces = envelope.surfaces.clone();
    if let Some(table) = root.given("curtain") {
        let curtain: Curtain = table.filled_or_default();
        for surface in &mut surfaces {
            if let SurfaceKind::Glazed(face) = &mut surface.kind {
                face.curtain = Some(curtain.clone());
            }
        }
    }
    surfaces
}

fn films(root: &Section<'_, '_>, envelope: &Envelope) -> (InnerFilm, OuterFilm) {
    let air = root.table("air");
    let inner = air.get_or_default("inner_film");
    let outer = air.get("outer_film").unwrap_or_else(|| {
        let (film, word, why) = match (&envelope.shape, inner) {
            (Some(_), _) => {
                let why = "U holds in a wind of 4 m/s (9 mph) and grows with it";
                (OuterFilm::Wind, "wind", why)
            }
            (None, InnerFilm::RadiantNode) => {
                let why = "an ordinary building with the radiant node";
                (OuterFilm::Wind, "wind", why)
            }
            (None, _) => {
                let why = "greenhouse practice: contained in U";
                (OuterFilm::Standard, "standard", why)
            }
        };
        air.assume("outer_film", word, "", why);
        film
    });
    (inner, outer)
}

fn air(root: &Section<'_, '_>, envelope: &Envelope) -> Air {
    let air = root.table("air");
    let light_j_k = LIGHT_THINGS_J_M2K * envelope.shape.map_or(0.0, |shape| shape.floor_m2());
    let why = "5 kJ/K per m2 of floor (0.24 Btu/F per ft2); common practice, no source";
    Air {
        volume_m3: air.number("volume").unwrap_or(envelope.volume_m3),
        light_capacity_j_k: air.number_or("light_capacity", light_j_k, why),
        infiltration: infiltration(&air, envelope),
        vents: vents(root, envelope),
        scheduled_fan: scheduled_fan(root),
    }
}

fn infiltration(air: &Section<'_, '_>, envelope: &Envelope) -> Infiltration {
    let (constant_per_h, slope, why) = match air.get("infiltration") {
        Some(given) => (given, 0.0, "`air.infiltration` is given"),
        None => {
            let at_usual_wind = usual_air_change(envelope);
            let still = STILL_SHARE * at_usual_wind;
            let why = "half of the published air change of the glazing, the other half comes with the wind";
            air.assume("infiltration", format!("{still:.3}"), "1/h", why);
            let slope = (1.0 - STILL_SHARE) * at_usual_wind / AIR_CHANGE_WIND_M_S;
            let why = "so that the published air change comes at 4 m/s (9 mph)";
            (Schedule::Constant(still), slope, why)
        }
    };
    Infiltration {
        constant_per_h,
        per_wind_s_m_h: air.number_or("infiltration_wind", slope, why),
        per_root_k_h: air.number_or_default("infiltration_stack"),
    }
}

/// Published air change of the glazing, less where walls are solid, 1/h.
///
/// # Source
/// Glazing: see its kind. Solid walls: common practice, no source. Listed surfaces alone: a tight
/// ordinary building.
fn usual_air_change(envelope: &Envelope) -> f64 {
    let glazing = envelope.main_glazing();
    let glazed_per_h = glazing.map_or(glazing::RIGID_SHEET_PER_H, glazing::air_change_per_h);
    let glazed_share = envelope.glazed_m2() / envelope.area_m2().max(f64::MIN_POSITIVE);
    glazed_share * glazed_per_h + (1.0 - glazed_share) * SOLID_AIR_CHANGE_PER_H
}

fn vents(root: &Section<'_, '_>, envelope: &Envelope) -> Option<Vents> {
    let vents = root.table("vents");
    if !vents.present() && envelope.shape.is_none() {
        return None; // a box of listed surfaces has what is listed
    }
    if vents.get_or_default("none") {
        return None;
    }
    let kind = if let Some(flow_m3_s) = vents.number("flow") {
        let why = "the middle of tested ventilation fans, 8 to 25 cfm/W";
        VentKind::Fan {
            flow_m3_s,
            power_w: vents.number_or("power", EXHAUST_FAN_W_PER_M3_S * flow_m3_s, why),
        }
    } else if let Some(area_m2) = vents.number("opening") {
        let half_m = envelope.shape.map_or(1.0, |shape| shape.height_m / 2.0);
        VentKind::Natural {
            area_m2,
            height_m: vents.number_or("rise", half_m, "half the height of the house"),
        }
    } else {
        VentKind::AirChanges {
            max_per_h: vents.number_or_default("air_change"),
        }
    };
    Some(Vents {
        set_point_c: vents.get_or_default("open_above"),
        humidity_pct: vents.number("humidity").map(|share| share * 100.0),
        kind,
    })
}

fn scheduled_fan(root: &Section<'_, '_>) -> Option<ScheduledFan> {
    let fan = root.given("fan")?;
    let flow_m3_s: f64 = fan.required("flow")?;
    let (from_h, to_h) = (fan.number_or_default("from"), fan.number_or_default("to"));
    let power_w = fan.number_or_default("power");
    Some(ScheduledFan {
        flow_m3_s: by_clock(from_h, to_h, [true; 12], flow_m3_s),
        power_w_per_m3_s: if flow_m3_s > 0.0 {
            power_w / flow_m3_s
        } else {
            0.0
        },
    })
}

fn canopy(root: &Section<'_, '_>, bed_share: f64) -> Option<Canopy> {
    let crop = root.table("crop");
    if bed_share <= 0.0 {
        // No bed, no leaf: an ordinary box.
        return Some(Canopy::default());
    }
    let per_bed: [f64; 12] = crop.get_or_default("leaf_area");
    crop.filled(Canopy {
        leaf_area_index: per_bed.map(|leaf_area| leaf_area * bed_share),
        bed_share,
        ..Canopy::default()
    })
}

fn sun_shares(root: &Section<'_, '_>, envelope: &Envelope) -> Option<SunShares> {
    let light = root.table("light");
    let air = match (light.number("air_share"), &envelope.shape) {
        (Some(share), _) => share,
        (None, None) => light.number_or("air_share", 0.0, "a box without frames and pots"),
        (None, Some(_)) => light.number_or_default("air_share"),
    };
    light.filled(SunShares { walls: None, air })
}

/// The floor, where the house stands on the ground.
fn floor(root: &Section<'_, '_>, envelope: &Envelope) -> Option<Floor> {
    let area_m2 = envelope.floor_m2?;
    let floor = root.table("floor");
    let of_shape = envelope.shape.map(|shape| shape.perimeter_m());
    let perimeter_m = floor.number("perimeter").or(of_shape).unwrap_or_else(|| {
        let square_m = SIDES_OF_A_SQUARE * area_m2.sqrt();
        floor.number_or("perimeter", square_m, "of a square of that area")
    });
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
        soil: floor.filled(floor.choice_or_default("soil", &SOILS))?,
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
            let wrong = "`floor.skirt` is given, but no `floor.skirt_depth`";
            let right = "say how deep the skirt goes, such as skirt_depth = \"0.6 m\"";
            floor.problem("skirt", wrong, right);
        }
        return None;
    }
    Some(Skirt {
        depth_m,
        resistance_m2k_w: floor.number_or_default("skirt"),
    })
}
