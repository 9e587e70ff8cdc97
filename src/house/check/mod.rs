//! Figures that a simulation can work with: every range once, so that the formulas behind it cannot fail.

mod beside;
mod plant;
mod surface;

use beside::check_beside;
use plant::check_plant;
use surface::check_surface;

use super::{Air, Floor, House, HouseError, RunOptions, Schedule, VentKind};
use crate::calendar::HOURS_PER_YEAR;
use crate::site::{UndisturbedGround, Weather};
use crate::solar::SunYear;

/// Largest area, m2, volume, m3, length, m (own choice: far beyond any building).
const HUGE: f64 = 1.0e7;
/// Largest heat or heat capacity, W or J/K or J/m2K (own choice).
const VAST: f64 = 1.0e13;
/// Smallest positive figure where zero would divide (own choice).
const TINY: f64 = 1.0e-9;
/// Range of set points and other temperatures, °C (own choice; no thermostat is set beyond).
const TEMPERATURES_C: (f64, f64) = (-100.0, 200.0);

/// A name and what it must be, put together only when a figure is refused.
struct Part<'a> {
    of: &'a str,
}

impl Part<'_> {
    fn within(
        &self,
        what: &str,
        value: f64,
        low: f64,
        high: f64,
        must: &'static str,
    ) -> Result<(), HouseError> {
        if (low..=high).contains(&value) {
            return Ok(());
        }
        Err(HouseError::OutOfRange {
            what: format!("{} of {}", what, self.of),
            value,
            must,
        })
    }

    fn share(&self, what: &str, value: f64) -> Result<(), HouseError> {
        self.within(what, value, 0.0, 1.0, "must be 0 to 1")
    }

    fn above_zero(&self, what: &str, value: f64) -> Result<(), HouseError> {
        self.within(what, value, TINY, VAST, "must be above 0")
    }

    fn not_negative(&self, what: &str, value: f64) -> Result<(), HouseError> {
        self.within(what, value, 0.0, VAST, "must be 0 or more")
    }

    fn schedule(
        &self,
        what: &str,
        schedule: &Schedule,
        low: f64,
        high: f64,
        must: &'static str,
    ) -> Result<(), HouseError> {
        if let Schedule::Hourly(hours) = schedule
            && hours.len() != HOURS_PER_YEAR
        {
            return Err(HouseError::OutOfRange {
                what: format!("the number of hours in {} of {}", what, self.of),
                value: hours.len() as f64,
                must: "must be 8760",
            });
        }
        (0..HOURS_PER_YEAR)
            .try_for_each(|hour| self.within(what, schedule.at(hour), low, high, must))
    }

    fn temperature(&self, what: &str, schedule: &Schedule) -> Result<(), HouseError> {
        let (low, high) = TEMPERATURES_C;
        self.schedule(what, schedule, low, high, "must be -100 to 200 °C")
    }
}

/// Refuses a building, weather or options that cannot be simulated.
pub(super) fn check(
    house: &House,
    weather: &Weather,
    sun: &SunYear,
    ground: &UndisturbedGround,
    options: &RunOptions,
) -> Result<(), HouseError> {
    weather.check()?;
    if sun.hours.len() != HOURS_PER_YEAR {
        return Err(HouseError::Sun {
            hours: sun.hours.len(),
        });
    }
    let run = Part { of: "the run" };
    run.within(
        "steps an hour",
        options.steps_per_hour as f64,
        1.0,
        60.0,
        "must be 1 to 60",
    )?;
    check_ground(ground)?;
    check_house(house)
}

fn check_ground(ground: &UndisturbedGround) -> Result<(), HouseError> {
    let part = Part {
        of: "the undisturbed ground",
    };
    part.within(
        "mean temperature",
        ground.mean_c,
        -60.0,
        60.0,
        "must be -60 to 60 °C",
    )?;
    part.within(
        "amplitude",
        ground.amplitude_k,
        0.0,
        60.0,
        "must be 0 to 60 K",
    )?;
    part.within(
        "coldest day",
        ground.coldest_day,
        -366.0,
        732.0,
        "must be a day of the year",
    )?;
    part.within(
        "diffusivity",
        ground.diffusivity_m2_day,
        1e-4,
        10.0,
        "must be 0.0001 to 10 m2/day",
    )
}

/// Refuses a building that cannot be simulated.
///
/// # Errors
/// [`HouseError`] names the first figure out of its range.
pub fn check_house(house: &House) -> Result<(), HouseError> {
    check_building(house)?;
    check_beside(house)
}

/// Refuses one building, whatever stands beside it.
fn check_building(house: &House) -> Result<(), HouseError> {
    if house.surfaces.is_empty() {
        return Err(HouseError::Empty {
            what: "the list of surfaces".into(),
        });
    }
    house.surfaces.iter().try_for_each(check_surface)?;
    check_air(&house.air)?;
    if let Some(floor) = &house.floor {
        check_floor(floor)?;
    }
    for node in &house.heavy {
        let part = Part { of: &node.name };
        part.above_zero("area", node.area_m2)?;
        part.above_zero("heat capacity", node.capacity_j_k)?;
        part.above_zero("film", node.film_w_m2k)?;
        part.share("share of the sun", node.sun_share)?;
    }
    check_plant(house)?;
    let canopy = Part { of: "the canopy" };
    for index in house.canopy.leaf_area_index {
        canopy.within("leaf area index", index, 0.0, 12.0, "must be 0 to 12")?;
    }
    canopy.share("share of the floor under beds", house.canopy.bed_share)?;
    let shares = Part {
        of: "the sun that enters",
    };
    shares.share("share of the walls", house.sun_shares.walls.unwrap_or(0.0))?;
    shares.share("share of the air", house.sun_shares.air)?;
    let taken: f64 =
        house.heavy.iter().map(|node| node.sun_share).sum::<f64>() + house.sun_shares.air;
    shares.share("share of heavy and light things together", taken)
}

fn check_air(air: &Air) -> Result<(), HouseError> {
    let part = Part { of: "the air" };
    part.within("volume", air.volume_m3, TINY, HUGE, "must be above 0")?;
    part.not_negative("heat capacity of light things", air.light_capacity_j_k)?;
    let leaks = Part { of: "the leaks" };
    let constant = &air.infiltration.constant_per_h;
    leaks.schedule("air change", constant, 0.0, 1e4, "must be 0 or more")?;
    leaks.not_negative("growth with wind", air.infiltration.per_wind_s_m_h)?;
    leaks.not_negative("growth with temperature", air.infiltration.per_root_k_h)?;
    if let Some(fan) = &air.scheduled_fan {
        let part = Part {
            of: "the scheduled fan",
        };
        part.schedule("flow", &fan.flow_m3_s, 0.0, 1e5, "must be 0 or more")?;
        part.not_negative("power", fan.power_w_per_m3_s)?;
    }
    let Some(vents) = &air.vents else {
        return Ok(());
    };
    let part = Part { of: "the vents" };
    part.temperature("set point", &vents.set_point_c)?;
    part.within(
        "humidity limit",
        vents.humidity_pct.unwrap_or(100.0),
        1.0,
        100.0,
        "must be 1 to 100 %",
    )?;
    match vents.kind {
        VentKind::AirChanges { max_per_h } => part.not_negative("largest air change", max_per_h),
        VentKind::Natural { area_m2, height_m } => {
            part.not_negative("area", area_m2)?;
            part.not_negative("height", height_m)
        }
        VentKind::Fan { flow_m3_s, power_w } => {
            part.not_negative("flow", flow_m3_s)?;
            part.not_negative("power", power_w)
        }
    }
}

fn check_floor(floor: &Floor) -> Result<(), HouseError> {
    let part = Part { of: "the floor" };
    part.within("area", floor.area_m2, TINY, HUGE, "must be above 0")?;
    part.within(
        "perimeter",
        floor.perimeter_m,
        0.0,
        HUGE,
        "must be 0 or more",
    )?;
    part.within(
        "wall thickness",
        floor.wall_thickness_m,
        0.0,
        100.0,
        "must be 0 to 100 m",
    )?;
    part.within(
        "depth of the column",
        floor.depth_m,
        1.0,
        15.0,
        "must be 1 to 15 m",
    )?;
    part.within(
        "number of layers",
        floor.layers as f64,
        6.0,
        80.0,
        "must be 6 to 80",
    )?;
    part.not_negative("resistance of mulch", floor.mulch_m2k_w)?;
    part.share("absorptance", floor.absorptance)?;
    part.share("wet share", floor.wet_share)?;
    part.within(
        "width of the strip",
        floor.strip_m,
        TINY,
        HUGE,
        "must be above 0",
    )?;
    let soil = Part { of: "the soil" };
    soil.within(
        "conductivity",
        floor.soil.conductivity_w_mk,
        0.01,
        20.0,
        "must be 0.01 to 20 W/mK",
    )?;
    soil.within(
        "heat capacity",
        floor.soil.heat_capacity_j_m3k,
        1e4,
        1e7,
        "must be 10 kJ/m3K to 10 MJ/m3K",
    )?;
    soil.within(
        "freezing water",
        floor.soil.water_m3_m3,
        0.0,
        0.9,
        "must be 0 to 0.9 m3/m3",
    )?;
    if let Some(skirt) = floor.skirt {
        part.not_negative("depth of the skirt", skirt.depth_m)?;
        part.not_negative("resistance of the skirt", skirt.resistance_m2k_w)?;
    }
    if let Some(slab) = floor.slab {
        let part = Part { of: "the slab" };
        part.within(
            "thickness",
            slab.thickness_m,
            TINY,
            0.9 * floor.depth_m,
            "must be above 0 and below the column's depth",
        )?;
        part.within(
            "conductivity",
            slab.conductivity_w_mk,
            0.01,
            500.0,
            "must be 0.01 to 500 W/mK",
        )?;
        let volumetric = slab.density_kg_m3 * slab.heat_capacity_j_kgk;
        part.within(
            "density times heat capacity",
            volumetric,
            1e4,
            1e7,
            "must be 10 kJ/m3K to 10 MJ/m3K",
        )?;
    }
    Ok(())
}
