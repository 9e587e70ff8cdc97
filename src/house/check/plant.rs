//! Ranges of store, gains, heater, cooler, lamp and cover.

use super::{ABOVE_ZERO, NOT_NEGATIVE, Part, SHARE, TEMPERATURE, VAST};
use crate::house::{BedCover, CoverTimes, FLOOR_PARTS_MAX, Floor, House, HouseError, PipeStore};

/// What a heater or cooler can give, W.
const CAPACITY: super::Range = (0.0, f64::INFINITY, "must be 0 or more");

/// Store, gains, heater, cooler, lamp, cover.
pub(super) fn check_plant(house: &House) -> Result<(), HouseError> {
    if let Some(store) = &house.store {
        check_store(store, house.floor.as_ref())?;
    }
    if let Some(collector) = house.collector {
        ranges! { Part { of: "the collector" };
            "share of the beam": collector.beam_share => SHARE;
            "effectiveness": collector.effectiveness => SHARE;
        }
    }
    for gain in &house.gains {
        let part = Part { of: &gain.name };
        part.schedule("heat", &gain.heat_w, (-VAST, VAST, "must be a figure in W"))?;
        part.within("radiant share", gain.radiant_share, SHARE)?;
    }
    if let Some(heater) = &house.heater {
        let part = Part { of: "the heater" };
        part.schedule("set point", &heater.set_point_c, TEMPERATURE)?;
        part.within("capacity", heater.capacity_w, CAPACITY)?;
        part.within("efficiency", heater.efficiency, ABOVE_ZERO)?;
    }
    if let Some(cooler) = &house.cooler {
        let part = Part { of: "the cooler" };
        part.schedule("set point", &cooler.set_point_c, TEMPERATURE)?;
        part.within("capacity", cooler.capacity_w, CAPACITY)?;
    }
    if let Some(lamp) = &house.lamp {
        let part = Part { of: "the lamp" };
        part.within("light", lamp.ppfd_umol_m2_s, NOT_NEGATIVE)?;
        part.within("power", lamp.power_w, NOT_NEGATIVE)?;
        part.schedule("time on", &lamp.on, SHARE)?;
    }
    check_parts(house)
}

fn check_parts(house: &House) -> Result<(), HouseError> {
    /// Areas that add up to the floor's within this share fill it.
    const ROUNDING: f64 = 1e-9;
    let parts_max = (0.0, (FLOOR_PARTS_MAX - 1) as f64, "must be 7 at most");
    ranges! { Part { of: "the floor" };
        "number of parts": house.parts.len() as f64 => parts_max;
    }
    let Some(floor) = &house.floor else {
        let none = house.parts.is_empty();
        let what = "a bed with a cover, or at the edge,";
        return none.then_some(()).ok_or(HouseError::NoFloor { what });
    };
    let most_m2 = floor.area_m2 * (1.0 + ROUNDING);
    let together_m2: f64 = house.parts.iter().map(|part| part.area_m2).sum();
    let areas = house.parts.iter().map(|part| (&*part.name, part.area_m2));
    for (of, area_m2) in areas.chain([("all parts of the floor", together_m2)]) {
        let range = (0.0, most_m2, "must be 0 to the floor's area");
        Part { of }.within("area", area_m2, range)?;
    }
    let mut covers = house.parts.iter().filter_map(|part| part.cover.as_ref());
    covers.try_for_each(check_cover)
}

fn check_store(store: &PipeStore, floor: Option<&Floor>) -> Result<(), HouseError> {
    let part = Part { of: "the store" };
    let Some(floor) = floor else {
        return Err(HouseError::NoFloor { what: "the store" });
    };
    ranges! { part;
        "number of pipes": store.pipes as f64 => (1.0, 1e6, "must be 1 or more");
        "length of a pipe": store.length_m => (0.01, 1e5, "must be above 0");
        "diameter of a pipe": store.diameter_m => (0.005, 5.0, "must be 5 mm to 5 m");
        "flow": store.flow_m3_s => (1e-6, 1e5, "must be above 0");
        "fan power": store.fan_w => NOT_NEGATIVE;
    }
    part.schedule("charging temperature", &store.charge_above_c, TEMPERATURE)?;
    part.schedule("drawing temperature", &store.draw_below_c, TEMPERATURE)?;
    if store.depths_m.is_empty() {
        return Err(HouseError::Empty {
            what: "the list of the store's depths".into(),
        });
    }
    for &depth in &store.depths_m {
        ranges! { part;
            "depth": depth => (0.02, floor.depth_m, "must lie in the soil column");
        }
    }
    Ok(())
}

fn check_cover(cover: &BedCover) -> Result<(), HouseError> {
    let part = Part { of: &cover.name };
    let stopped = cover.emissivity + cover.long_wave_transmittance;
    let blown = (0.0, 10.0, "must be 0 to 10 m3/s per m2");
    ranges! { part;
        "area over the floor it covers": cover.area_ratio => (1.0, 10.0, "must be 1 to 10");
        "height": cover.height_m => (0.0, 10.0, "must be 0 to 10 m");
        "resistance": cover.resistance_m2k_w => NOT_NEGATIVE;
        "light let through": cover.solar_transmittance => SHARE;
        "long-wave let through": cover.long_wave_transmittance => SHARE;
        "emissivity and long-wave let through together": stopped => SHARE;
        "air flow": cover.air_flow_m3_s_m2 => blown;
    }
    let clock = (0.0, 24.0, "must be 0 to 24");
    match cover.on {
        CoverTimes::Handled(handling) => ranges! { part;
            "laying temperature": handling.lay_below_c => TEMPERATURE;
            "lifting temperature": handling.lift_above_c => TEMPERATURE;
        },
        CoverTimes::Clock { from_h, to_h, .. } => ranges! { part;
            "laying hour": from_h => clock;
            "lifting hour": to_h => clock;
        },
        CoverTimes::Months(_) | CoverTimes::Nights(_) => {}
    }
    Ok(())
}
