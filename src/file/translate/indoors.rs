//! What the building holds: air, vents, store, heavy things, gains, heater, lamps, crop.

use super::envelope::Envelope;
use super::times::{by_clock, schedule, twelve};
use super::{cover, ground};
use crate::file::project::Bed;
use crate::file::read::Parsed;
use crate::file::section::Section;
use crate::house::*;

/// Wind to which published air changes of greenhouses are taken to belong, m/s. Own choice, no source.
pub const USUAL_WIND_M_S: f64 = 4.0;
/// Share of the air change at the usual wind that remains in still air. Common practice, no source.
const STILL_SHARE: f64 = 0.5;
/// Air change of a tight stud wall, 1/h. Common practice, no source.
const SOLID_AIR_CHANGE_PER_H: f64 = 0.3;
/// Frames, pots and benches, J/K per m2 of floor. Common practice, no source.
const LIGHT_THINGS_J_M2K: f64 = 5000.0;
/// Power of ventilation fans, W per m3/s: 25 to 8 cfm/W are 85 to 265 W per m3/s; 143 is their harmonic middle
/// (tests of ventilation fans quoted in Greenhouse Management, 2014, read).
const EXHAUST_FAN_W_PER_M3_S: f64 = 143.0;
/// Power of the store's fan, W per m3/s: 100 Pa at an efficiency of 0.35 (definition of fan power; both assumptions).
const STORE_FAN_W_PER_M3_S: f64 = 100.0 / 0.35;
/// Heat capacity of water, J/m3K.
const WATER_J_M3K: f64 = 4.18e6;
/// Surface of barrels, m2 per m3 of water to the power 2/3: an upright 200 L drum shows about 2 m2. Own choice.
const BARREL_SURFACE: f64 = 6.0;
/// Season's efficiency of a power-vented burner (Univ. of Wisconsin Extension A3907-02, from memory).
const BURNER_EFFICIENCY: f64 = 0.78;

/// Heat per electricity of an air-source heat pump over a cold winter. Common practice, no source.
const HEAT_PUMP_EFFICIENCY: f64 = 2.5;

/// The house; nothing where something essential is missing.
pub fn house(root: &Section<'_, '_>, envelope: &Envelope, beds: &[Bed]) -> Option<House> {
    let floor = ground::floor(root, envelope);
    let bed_m2: f64 = beds.iter().map(|bed| bed.area_m2).sum();
    let bed_share = envelope
        .floor_m2
        .map_or(0.0, |floor_m2| (bed_m2 / floor_m2).min(1.0));
    let (inner_film, outer_film) = films(root, envelope);
    Some(House {
        surfaces: surfaces(root, envelope),
        air: air(root, envelope),
        heavy: heavy(root),
        store: store(root, floor.is_some()),
        collector: collector(root),
        gains: gains(root),
        heater: heater(root),
        cooler: cooler(root),
        lamp: lamp(root),
        canopy: canopy(root, bed_share),
        cover: floor.as_ref().and_then(|_| cover::cover(root, beds)),
        sun_shares: sun_shares(root, envelope),
        floor,
        inner_film,
        outer_film,
        horizon: horizon(root),
    })
}

/// The skyline; every point was checked when it was read.
fn horizon(root: &Section<'_, '_>) -> Option<crate::sun::Horizon> {
    match root.table("site").raw("horizon") {
        Some(Parsed::Points(points)) => crate::sun::Horizon::new(&points).ok(),
        _ => None,
    }
}

fn surfaces(root: &Section<'_, '_>, envelope: &Envelope) -> Vec<Surface> {
    let mut surfaces = envelope.surfaces.clone();
    let table = root.table("curtain");
    if table.present() {
        let curtain = Curtain {
            resistance_m2k_w: table.number_or_default("resistance"),
            long_wave_transmittance: table.number_or_default("long_wave"),
            drawn: CurtainTimes::Night(table.season_or_default("months")),
        };
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
    let inner = match air.word_or_default("inner_film").as_str() {
        "radiant node" => InnerFilm::RadiantNode,
        _ => InnerFilm::ToAir,
    };
    let wind = match air.text("outer_film") {
        Some(word) => word == "wind",
        None => {
            let wind = inner == InnerFilm::RadiantNode && envelope.shape.is_none();
            let (word, why) = if wind {
                ("wind", "an ordinary building with the radiant node")
            } else {
                ("standard", "greenhouse practice: contained in U")
            };
            air.assume("outer_film", word.to_owned(), "", why);
            wind
        }
    };
    (
        inner,
        if wind {
            OuterFilm::Wind
        } else {
            OuterFilm::Standard
        },
    )
}

fn air(root: &Section<'_, '_>, envelope: &Envelope) -> Air {
    let air = root.table("air");
    let light_j_k = LIGHT_THINGS_J_M2K * envelope.shape.map_or(0.0, |shape| shape.floor_m2());
    Air {
        volume_m3: air.number("volume").unwrap_or(envelope.volume_m3),
        light_capacity_j_k: air.number_or(
            "light_capacity",
            light_j_k,
            "5 kJ/K per m2 of floor; common practice, no source",
        ),
        infiltration: infiltration(&air, envelope),
        vents: vents(root, envelope),
        scheduled_fan: scheduled_fan(root),
    }
}

fn infiltration(air: &Section<'_, '_>, envelope: &Envelope) -> Infiltration {
    let per_root_k_h = air.number_or_default("infiltration_stack");
    if let Some(values) = air.numbers("infiltration") {
        let per_wind_s_m_h = air.number_or("infiltration_wind", 0.0, "`air.infiltration` is given");
        return Infiltration {
            constant_per_h: schedule(&values),
            per_wind_s_m_h,
            per_root_k_h,
        };
    }
    let at_usual_wind = usual_air_change(envelope);
    let still = STILL_SHARE * at_usual_wind;
    let why = "half of the published air change of the glazing, the other half comes with the wind";
    air.assume("infiltration", format!("{still:.3}"), "1/h", why);
    let slope = (1.0 - STILL_SHARE) * at_usual_wind / USUAL_WIND_M_S;
    let per_wind_s_m_h = air.number_or(
        "infiltration_wind",
        slope,
        "so that the published air change comes at 4 m/s",
    );
    Infiltration {
        constant_per_h: Schedule::Constant(still),
        per_wind_s_m_h,
        per_root_k_h,
    }
}

/// Published air change of the glazing, less where walls are solid, 1/h.
///
/// # Source
/// ASAE/ASABE EP406.4 and NRAES-33 (from memory): new glass or rigid sheet 0.75 to 1.5, new double film 0.5 to 1.0;
/// single film as rigid sheet. Solid walls: common practice, no source. Listed surfaces alone: a tight ordinary building.
fn usual_air_change(envelope: &Envelope) -> f64 {
    const RIGID_SHEET_PER_H: f64 = 1.125;
    const DOUBLE_FILM_PER_H: f64 = 0.75;
    let double_film = envelope
        .main_glazing()
        .is_some_and(|glazing| glazing.name.starts_with("double-film"));
    let glazed_per_h = if double_film {
        DOUBLE_FILM_PER_H
    } else {
        RIGID_SHEET_PER_H
    };
    let glazed_share = envelope.glazed_m2() / envelope.area_m2().max(f64::MIN_POSITIVE);
    glazed_share * glazed_per_h + (1.0 - glazed_share) * SOLID_AIR_CHANGE_PER_H
}

fn vents(root: &Section<'_, '_>, envelope: &Envelope) -> Option<Vents> {
    let vents = root.table("vents");
    if !vents.present() && envelope.shape.is_none() {
        return None; // a box of listed surfaces has what is listed
    }
    if vents.flag_or_default("none") {
        return None;
    }
    let set_point_c = schedule(&vents.numbers_or_default("open_above"));
    let humidity_pct = vents.number("humidity").map(|share| share * 100.0);
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
        set_point_c,
        humidity_pct,
        kind,
    })
}

fn scheduled_fan(root: &Section<'_, '_>) -> Option<ScheduledFan> {
    let fan = root.table("fan");
    if !fan.present() {
        return None;
    }
    let flow_m3_s = fan.required_number("flow")?;
    let (from_h, to_h) = (fan.number_or_default("from"), fan.number_or_default("to"));
    let power_w = fan.number_or_default("power");
    let power_w_per_m3_s = if flow_m3_s > 0.0 {
        power_w / flow_m3_s
    } else {
        0.0
    };
    Some(ScheduledFan {
        flow_m3_s: by_clock(from_h, to_h, [true; 12], flow_m3_s),
        power_w_per_m3_s,
    })
}

fn store(root: &Section<'_, '_>, on_ground: bool) -> Option<PipeStore> {
    let store = root.table("store");
    if !store.present() {
        return None;
    }
    if !on_ground {
        let wrong = "a store needs a floor on the ground, but none is described".to_owned();
        root.problem("store", wrong, Some("give `floor.area`".to_owned()));
    }
    let (pipes, length, flow) = (
        store.required_number("pipes"),
        store.required_number("pipe_length"),
        store.required_number("flow"),
    );
    let flow_m3_s = flow?;
    let why = "100 Pa at an efficiency of 0.35, by definition of fan power";
    Some(PipeStore {
        pipes: pipes? as usize,
        length_m: length?,
        diameter_m: store.number_or_default("pipe_diameter"),
        depths_m: store.numbers_or_default("depths"),
        flow_m3_s,
        fan_w: store.number_or("fan_power", STORE_FAN_W_PER_M3_S * flow_m3_s, why),
        charge_above_c: schedule(&store.numbers_or_default("charge_above")),
        draw_below_c: schedule(&store.numbers_or_default("draw_below")),
    })
}

fn collector(root: &Section<'_, '_>) -> Option<AirCollector> {
    let collector = root.table("collector");
    if !collector.present() {
        return None;
    }
    if !root.has("store") {
        let wrong =
            "a collector warms the air of the store's fan, but there is no store".to_owned();
        root.problem(
            "collector",
            wrong,
            Some("describe the `store`, or leave the collector out".to_owned()),
        );
    }
    let beam_share = collector.required_number("beam_share")?;
    Some(AirCollector {
        beam_share,
        effectiveness: collector.number_or_default("effectiveness"),
    })
}

fn heavy(root: &Section<'_, '_>) -> Vec<HeavyNode> {
    root.tables("heavy")
        .iter()
        .enumerate()
        .filter_map(|(at, table)| heavy_thing(table, at + 1))
        .collect()
}

fn heavy_thing(table: &Section<'_, '_>, number: usize) -> Option<HeavyNode> {
    let name = table
        .text("name")
        .unwrap_or_else(|| format!("heavy {number}"));
    let water_m3 = table.number("water");
    let capacity_j_k = match (table.number("capacity"), water_m3) {
        (Some(capacity_j_k), _) => capacity_j_k,
        (None, Some(water_m3)) => water_m3 * WATER_J_M3K,
        (None, None) => {
            table.missing("water");
            return None;
        }
    };
    let volume_m3 = water_m3.unwrap_or(capacity_j_k / WATER_J_M3K);
    let area_m2 = table.number_or(
        "area",
        BARREL_SURFACE * volume_m3.powf(2.0 / 3.0),
        "about what a barrel shows",
    );
    Some(HeavyNode {
        name,
        area_m2,
        capacity_j_k,
        film_w_m2k: table.number_or_default("film"),
        sun_share: table.number_or_default("sun_share"),
    })
}

fn gains(root: &Section<'_, '_>) -> Vec<Gain> {
    let gain = |(at, table): (usize, &Section<'_, '_>)| {
        let Some(heat_w) = table.numbers("heat") else {
            table.missing("heat");
            return None;
        };
        Some(Gain {
            name: table
                .text("name")
                .unwrap_or_else(|| format!("gain {}", at + 1)),
            heat_w: schedule(&heat_w),
            radiant_share: table.number_or_default("radiant_share"),
            energy: energy(&table.word_or_default("energy")),
        })
    };
    root.tables("gain")
        .iter()
        .enumerate()
        .filter_map(gain)
        .collect()
}

/// Where energy comes from, by the word of the file.
pub fn energy(word: &str) -> EnergySource {
    match word {
        "electricity" | "heat pump" => EnergySource::Electricity,
        "natural gas" => EnergySource::NaturalGas,
        "propane" => EnergySource::Propane,
        "oil" | "kerosene" => EnergySource::Oil,
        "wood" | "pellets" => EnergySource::Wood,
        _ => EnergySource::Free,
    }
}

fn heater(root: &Section<'_, '_>) -> Option<Heater> {
    let heater = root.table("heater");
    if !heater.present() {
        return None;
    }
    let word = heater.word_or_default("energy");
    let energy = energy(&word);
    let (usual, why) = if word == "heat pump" {
        (
            HEAT_PUMP_EFFICIENCY,
            "an air-source heat pump in a cold place; common practice, no source",
        )
    } else if energy.burns() {
        (
            BURNER_EFFICIENCY,
            "a power-vented burner over the season (A3907-02, from memory)",
        )
    } else {
        (1.0, "all of it becomes heat in the house")
    };
    Some(Heater {
        set_point_c: schedule(&heater.numbers_or_default("set_point")),
        capacity_w: heater.number("capacity").unwrap_or(f64::INFINITY),
        energy,
        efficiency: heater.number_or("efficiency", usual, why),
    })
}

fn cooler(root: &Section<'_, '_>) -> Option<Cooler> {
    let cooler = root.table("cooler");
    if !cooler.present() {
        return None;
    }
    let Some(set_point) = cooler.numbers("set_point") else {
        cooler.missing("set_point");
        return None;
    };
    Some(Cooler {
        set_point_c: schedule(&set_point),
        capacity_w: cooler.number("capacity").unwrap_or(f64::INFINITY),
    })
}

fn lamp(root: &Section<'_, '_>) -> Option<Lamp> {
    let lamp = root.table("lamp");
    if !lamp.present() {
        return None;
    }
    let (flux, power) = (
        lamp.required_number("photon_flux"),
        lamp.required_number("power"),
    );
    let (from_h, to_h) = (lamp.number_or_default("from"), lamp.number_or_default("to"));
    let on = by_clock(from_h, to_h, lamp.season_or_default("months"), 1.0);
    Some(Lamp {
        ppfd_umol_m2_s: flux?,
        power_w: power?,
        on,
    })
}

fn canopy(root: &Section<'_, '_>, bed_share: f64) -> Canopy {
    let crop = root.table("crop");
    if bed_share <= 0.0 {
        // No bed, no leaf: an ordinary box.
        return Canopy {
            leaf_area_index: [0.0; 12],
            transpires: false,
            bed_share: 0.0,
        };
    }
    let per_bed = twelve(&crop.numbers_or_default("leaf_area"));
    Canopy {
        leaf_area_index: per_bed.map(|leaf_area| leaf_area * bed_share),
        transpires: crop.flag_or_default("transpires"),
        bed_share,
    }
}

fn sun_shares(root: &Section<'_, '_>, envelope: &Envelope) -> SunShares {
    let light = root.table("light");
    let air = match (light.number("air_share"), &envelope.shape) {
        (Some(share), _) => share,
        (None, None) => light.number_or("air_share", 0.0, "a box without frames and pots"),
        (None, Some(_)) => light.number_or_default("air_share"),
    };
    SunShares {
        walls: light.number("walls_share"),
        air,
    }
}
