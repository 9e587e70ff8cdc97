//! What stores, gives or takes heat: pipe store, collector, heavy things, gains, heater, cooler, lamps.

use super::room;
use super::times::by_clock;
use crate::calendar::{HOURS_PER_YEAR, SECONDS_PER_HOUR};
use crate::file::check::part_losses;
use crate::file::keys::words::{ENERGIES, Of};
use crate::file::section::Section;
use crate::house::{
    AirCollector, Cooler, EnergySource, Gain, Heater, HeavyNode, House, Lamp, PipeStore, Schedule,
    VentKind,
};
use crate::value::Fuel;

/// Power of the store's fan, W per m3/s: 100 Pa at an efficiency of 0.35 (definition of fan power; both assumptions).
const STORE_FAN_W_PER_M3_S: f64 = 100.0 / 0.35;
/// Heat capacity of water, J/m3K.
const WATER_J_M3K: f64 = 4.18e6;
/// Surface of barrels, m2 per m3 of water to the power 2/3: an upright 200 L drum shows about 2 m2. Own choice.
const BARREL_SURFACE: f64 = 6.0;

pub fn store(root: &Section<'_, '_>, on_ground: bool) -> Option<PipeStore> {
    let store = root.given("store")?;
    if !on_ground {
        let wrong = "a store needs a floor on the ground, but none is described";
        root.problem("store", wrong, "give `floor.area`");
    }
    let mut filled = store.filled(PipeStore::default())?;
    let why = "100 Pa at an efficiency of 0.35, by definition of fan power";
    let usual_w = STORE_FAN_W_PER_M3_S * filled.flow_m3_s;
    filled.fan_w = store.number_or("fan_power", usual_w, why);
    Some(filled)
}

pub fn collector(root: &Section<'_, '_>) -> Option<AirCollector> {
    let collector = root.given("collector")?;
    if !root.has("store") {
        let wrong = "a collector warms the air of the store's fan, but there is no store";
        let right = "describe the `store`, or leave the collector out";
        root.problem("collector", wrong, right);
    }
    collector.filled(AirCollector::default())
}

/// The tables of a list that belong to the house or to the room beside, with their places in the file.
fn tables_of<'r, 't>(
    root: &Section<'r, 't>,
    list: &str,
    whose: Of,
) -> Vec<(usize, Section<'r, 't>)> {
    let tables = root.tables(list).into_iter().enumerate();
    tables
        .filter(|(_, table)| room::of(table) == whose)
        .collect()
}

pub fn heavy(root: &Section<'_, '_>, whose: Of) -> Vec<HeavyNode> {
    let tables = tables_of(root, "heavy", whose).into_iter();
    tables
        .filter_map(|(at, table)| heavy_thing(&table, at + 1))
        .collect()
}

fn heavy_thing(table: &Section<'_, '_>, number: usize) -> Option<HeavyNode> {
    let water_m3 = table.number("water");
    let capacity_j_k = match (table.number("capacity"), water_m3) {
        (Some(capacity_j_k), _) => capacity_j_k,
        (None, Some(water_m3)) => water_m3 * WATER_J_M3K,
        (None, None) => table.required("water")?,
    };
    let volume_m3 = water_m3.unwrap_or(capacity_j_k / WATER_J_M3K);
    let barrel_m2 = BARREL_SURFACE * volume_m3.powf(2.0 / 3.0);
    table.filled(HeavyNode {
        name: table.name_or("heavy", number),
        area_m2: table.number_or("area", barrel_m2, "about what a barrel shows"),
        capacity_j_k,
        ..HeavyNode::default()
    })
}

pub fn gains(root: &Section<'_, '_>, whose: Of) -> Vec<Gain> {
    let gain = |(at, table): (usize, Section<'_, '_>)| {
        table.filled(Gain {
            name: table.name_or("gain", at + 1),
            energy: source_of(table.choice_or_default("energy", &ENERGIES)),
            ..Gain::default()
        })
    };
    let tables = tables_of(root, "gain", whose).into_iter();
    tables.filter_map(gain).collect()
}

/// A steady rise over outdoors that no house of plants is heated by, K: own choice, far beyond any.
const RISE_MOST_K: f64 = 150.0;
/// Heat of a m3 of air, J/m3K (handbook value, from memory).
const AIR_J_M3K: f64 = 1200.0;

/// Refuses gains and lamps of a size that the building cannot give away again.
pub fn check_gains(root: &Section<'_, '_>, house: &House, whose: Of) {
    let most = |schedule: &Schedule| {
        let hours = (0..HOURS_PER_YEAR).map(|hour| schedule.at(hour).abs());
        hours.fold(0.0, f64::max)
    };
    let gains: Vec<f64> = house.gains.iter().map(|gain| most(&gain.heat_w)).collect();
    let lamp_w = house.lamp.as_ref().map_or(0.0, |lamp| lamp.power_w);
    let warming_w = gains.iter().sum::<f64>() + lamp_w;
    let cooler = house.cooler.as_ref();
    if cooler.is_some_and(|cooler| cooler.capacity_w >= warming_w) {
        return;
    }
    let parts = part_losses(house);
    let conducted_w_k: f64 = parts.iter().map(|part| part.loss_w_k).sum();
    let volume_m3 = house.air.volume_m3;
    let leaks = &house.air.infiltration.constant_per_h;
    let fan = house.air.scheduled_fan.as_ref();
    let fan_m3_s = fan.map_or(0.0, |fan| most(&fan.flow_m3_s));
    let vents = house.air.vents.as_ref();
    let vents_m3_s = vents.map_or(0.0, |vents| match vents.kind {
        VentKind::AirChanges { max_per_h } => max_per_h * volume_m3 / SECONDS_PER_HOUR,
        VentKind::Fan { flow_m3_s, .. } => flow_m3_s,
        // Air moves through an opening at a metre a second or so when it is that warm (own choice).
        VentKind::Natural { area_m2, .. } => area_m2,
    });
    let air_m3_s = most(leaks) * volume_m3 / SECONDS_PER_HOUR + fan_m3_s + vents_m3_s;
    let ground_w_k = house.floor.as_ref().map_or(0.0, |floor| floor.area_m2);
    let rise_k = warming_w / (conducted_w_k + ground_w_k + air_m3_s * AIR_J_M3K);
    if rise_k <= RISE_MOST_K {
        return;
    }
    let largest = gains.iter().copied().fold(0.0, f64::max);
    let place = if whose == Of::Room { "room" } else { "house" };
    let wrong =
        |heat_w: f64| format!("{heat_w:.0} W would bring the {place} {rise_k:.0} K from outdoors");
    let right = "the heat that a house of this size is given: is the unit W, and not kW?";
    let tables = tables_of(root, "gain", whose);
    match tables.get(gains.iter().position(|gain| *gain == largest).unwrap_or(0)) {
        Some((_, table)) if largest >= lamp_w => table.problem("heat", wrong(largest), right),
        _ => (root.table("lamp")).problem("power", wrong(lamp_w), right),
    }
}

/// Where the energy of a fuel comes from.
fn source_of(fuel: Option<Fuel>) -> EnergySource {
    match fuel {
        Some(Fuel::Electricity | Fuel::HeatPump) => EnergySource::Electricity,
        Some(Fuel::NaturalGas) => EnergySource::NaturalGas,
        Some(Fuel::Propane) => EnergySource::Propane,
        Some(Fuel::HeatingOil | Fuel::Kerosene) => EnergySource::Oil,
        Some(Fuel::Firewood | Fuel::Pellets) => EnergySource::Wood,
        None => EnergySource::Free,
    }
}

pub fn heater(root: &Section<'_, '_>) -> Option<Heater> {
    let heater = root.given("heater")?;
    let fuel = heater.choice_or_default("energy", &ENERGIES);
    let (usual, why) = match fuel {
        Some(fuel) => fuel.usual_efficiency(),
        None => (1.0, "all of it becomes heat in the house"),
    };
    heater.filled(Heater {
        capacity_w: f64::INFINITY,
        energy: source_of(fuel),
        efficiency: heater.number_or("efficiency", usual, why),
        ..Heater::default()
    })
}

pub fn cooler(root: &Section<'_, '_>) -> Option<Cooler> {
    root.given("cooler")?.filled(Cooler {
        capacity_w: f64::INFINITY,
        ..Cooler::default()
    })
}

pub fn lamp(root: &Section<'_, '_>) -> Option<Lamp> {
    let lamp = root.given("lamp")?;
    let (from_h, to_h) = (lamp.number_or_default("from"), lamp.number_or_default("to"));
    lamp.filled(Lamp {
        on: by_clock(from_h, to_h, lamp.get_or_default("months"), 1.0),
        ..Lamp::default()
    })
}
