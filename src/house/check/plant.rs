//! Ranges of store, gains, heater, cooler, lamp and cover.

use super::{Part, TEMPERATURES_C, VAST};
use crate::house::{BedCover, CoverTimes, FLOOR_PARTS_MAX, Floor, House, HouseError, PipeStore};

/// Store, gains, heater, cooler, lamp, cover.
pub(super) fn check_plant(house: &House) -> Result<(), HouseError> {
    if let Some(store) = &house.store {
        check_store(store, house.floor.as_ref())?;
    }
    if let Some(collector) = house.collector {
        let part = Part {
            of: "the collector",
        };
        part.share("share of the beam", collector.beam_share)?;
        part.share("effectiveness", collector.effectiveness)?;
    }
    for gain in &house.gains {
        let part = Part { of: &gain.name };
        part.schedule("heat", &gain.heat_w, -VAST, VAST, "must be a figure in W")?;
        part.share("radiant share", gain.radiant_share)?;
    }
    if let Some(heater) = &house.heater {
        let part = Part { of: "the heater" };
        part.temperature("set point", &heater.set_point_c)?;
        part.within(
            "capacity",
            heater.capacity_w,
            0.0,
            f64::INFINITY,
            "must be 0 or more",
        )?;
        part.above_zero("efficiency", heater.efficiency)?;
    }
    if let Some(cooler) = &house.cooler {
        let part = Part { of: "the cooler" };
        part.temperature("set point", &cooler.set_point_c)?;
        part.within(
            "capacity",
            cooler.capacity_w,
            0.0,
            f64::INFINITY,
            "must be 0 or more",
        )?;
    }
    if let Some(lamp) = &house.lamp {
        let part = Part { of: "the lamp" };
        part.not_negative("light", lamp.ppfd_umol_m2_s)?;
        part.not_negative("power", lamp.power_w)?;
        part.schedule("time on", &lamp.on, 0.0, 1.0, "must be 0 to 1")?;
    }
    check_parts(house)
}

fn check_parts(house: &House) -> Result<(), HouseError> {
    let all = Part { of: "the floor" };
    all.within(
        "number of parts",
        house.parts.len() as f64,
        0.0,
        (FLOOR_PARTS_MAX - 1) as f64,
        "must be 7 at most",
    )?;
    let Some(floor) = &house.floor else {
        let none = house.parts.is_empty();
        let what = "a bed with a cover, or at the edge,";
        return none.then_some(()).ok_or(HouseError::NoFloor { what });
    };
    let together_m2: f64 = house.parts.iter().map(|part| part.area_m2).sum();
    for (name, area_m2) in house
        .parts
        .iter()
        .map(|part| (part.name.as_str(), part.area_m2))
        .chain([("all parts of the floor", together_m2)])
    {
        /// Areas that add up to the floor's within this share fill it.
        const ROUNDING: f64 = 1e-9;
        Part { of: name }.within(
            "area",
            area_m2,
            0.0,
            floor.area_m2 * (1.0 + ROUNDING),
            "must be 0 to the floor's area",
        )?;
    }
    let covers = house.parts.iter().filter_map(|part| part.cover.as_ref());
    covers.into_iter().try_for_each(check_cover)
}

fn check_store(store: &PipeStore, floor: Option<&Floor>) -> Result<(), HouseError> {
    let part = Part { of: "the store" };
    let Some(floor) = floor else {
        return Err(HouseError::NoFloor { what: "the store" });
    };
    part.within(
        "number of pipes",
        store.pipes as f64,
        1.0,
        1e6,
        "must be 1 or more",
    )?;
    part.within(
        "length of a pipe",
        store.length_m,
        0.01,
        1e5,
        "must be above 0",
    )?;
    part.within(
        "diameter of a pipe",
        store.diameter_m,
        0.005,
        5.0,
        "must be 5 mm to 5 m",
    )?;
    part.within("flow", store.flow_m3_s, 1e-6, 1e5, "must be above 0")?;
    part.not_negative("fan power", store.fan_w)?;
    part.temperature("charging temperature", &store.charge_above_c)?;
    part.temperature("drawing temperature", &store.draw_below_c)?;
    if store.depths_m.is_empty() {
        return Err(HouseError::Empty {
            what: "the list of the store's depths".into(),
        });
    }
    for &depth in &store.depths_m {
        part.within(
            "depth",
            depth,
            0.02,
            floor.depth_m,
            "must lie in the soil column",
        )?;
    }
    Ok(())
}

fn check_cover(cover: &BedCover) -> Result<(), HouseError> {
    let part = Part { of: &cover.name };
    part.within(
        "area over the floor it covers",
        cover.area_ratio,
        1.0,
        10.0,
        "must be 1 to 10",
    )?;
    part.within("height", cover.height_m, 0.0, 10.0, "must be 0 to 10 m")?;
    part.not_negative("resistance", cover.resistance_m2k_w)?;
    part.share("light let through", cover.solar_transmittance)?;
    part.share("long-wave let through", cover.long_wave_transmittance)?;
    part.share(
        "emissivity and long-wave let through together",
        cover.emissivity + cover.long_wave_transmittance,
    )?;
    part.within(
        "air flow",
        cover.air_flow_m3_s_m2,
        0.0,
        10.0,
        "must be 0 to 10 m3/s per m2",
    )?;
    let (low, high) = TEMPERATURES_C;
    let temperature =
        |what: &str, temp_c: f64| part.within(what, temp_c, low, high, "must be -100 to 200 °C");
    let clock = |what: &str, hour: f64| part.within(what, hour, 0.0, 24.0, "must be 0 to 24");
    match cover.on {
        CoverTimes::Handled(handling) => {
            temperature("laying temperature", handling.lay_below_c)?;
            temperature("lifting temperature", handling.lift_above_c)
        }
        CoverTimes::Clock { from_h, to_h, .. } => {
            clock("laying hour", from_h)?;
            clock("lifting hour", to_h)
        }
        CoverTimes::Months(_) | CoverTimes::Nights(_) => Ok(()),
    }
}
