//! Ranges of store, gains, heater, cooler, lamp and cover.

use super::{Part, TEMPERATURES_C, VAST};
use crate::house::{BedCover, CoverTimes, Floor, House, HouseError, PipeStore};

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
    house
        .cover
        .as_ref()
        .map_or(Ok(()), |cover| check_cover(cover, house.floor.as_ref()))
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

fn check_cover(cover: &BedCover, floor: Option<&Floor>) -> Result<(), HouseError> {
    let part = Part { of: &cover.name };
    let Some(floor) = floor else {
        return Err(HouseError::NoFloor { what: "the cover" });
    };
    part.within(
        "area",
        cover.area_m2,
        0.0,
        floor.area_m2,
        "must be 0 to the floor's area",
    )?;
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
    if let CoverTimes::OutdoorBelow(temp_c) | CoverTimes::NightsHouseBelow(temp_c) = cover.on {
        let (low, high) = TEMPERATURES_C;
        part.within(
            "laying temperature",
            temp_c,
            low,
            high,
            "must be -100 to 200 °C",
        )?;
    }
    Ok(())
}
