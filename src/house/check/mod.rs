//! Figures that a simulation can work with: every range once, so that the formulas behind it cannot fail.

/// Refuses what lies out of its range, one figure a line: of a [`Part`], what it is, the figure and its range.
macro_rules! ranges {
    ($part:expr; $($what:literal: $value:expr => $range:expr;)*) => {{
        $($part.within($what, $value, $range)?;)*
    }};
}

mod plant;
mod walls;

use plant::check_plant;
use walls::{check_beside, check_surface};

use super::{Air, Floor, House, HouseError, Schedule, VentKind};
use crate::calendar::HOURS_PER_YEAR;
use crate::site::{UndisturbedGround, Weather};

/// Least and greatest figure, and what it must be in words.
type Range = (f64, f64, &'static str);

/// Smallest positive figure where zero would divide (own choice).
const TINY: f64 = 1.0e-9;
/// Largest area, m2, volume, m3, length, m (own choice: far beyond any building).
const HUGE: f64 = 1.0e7;
/// Largest heat or heat capacity, W or J/K or J/m2K (own choice).
const VAST: f64 = 1.0e13;
const SIZE: Range = (TINY, HUGE, "must be above 0");
const ABOVE_ZERO: Range = (TINY, VAST, "must be above 0");
const NOT_NEGATIVE: Range = (0.0, VAST, "must be 0 or more");
const SHARE: Range = (0.0, 1.0, "must be 0 to 1");
/// Set points and other temperatures, °C (own choice; no thermostat is set beyond).
const TEMPERATURE: Range = (-100.0, 200.0, "must be -100 to 200 °C");
/// Density times heat capacity of soil and slab, J/m3K (own choice).
const VOLUMETRIC: Range = (1e4, 1e7, "must be 10 kJ/m3K to 10 MJ/m3K");

/// A name and what it must be, put together only when a figure is refused.
struct Part<'a> {
    of: &'a str,
}

impl Part<'_> {
    fn within(&self, what: &str, value: f64, (low, high, must): Range) -> Result<(), HouseError> {
        if (low..=high).contains(&value) {
            return Ok(());
        }
        Err(HouseError::OutOfRange {
            what: format!("{} of {}", what, self.of),
            value,
            must,
        })
    }

    fn schedule(&self, what: &str, schedule: &Schedule, range: Range) -> Result<(), HouseError> {
        if let Schedule::Hourly(hours) = schedule
            && hours.len() != HOURS_PER_YEAR
        {
            return Err(HouseError::OutOfRange {
                what: format!("the number of hours in {} of {}", what, self.of),
                value: hours.len() as f64,
                must: "must be 8760",
            });
        }
        (0..HOURS_PER_YEAR).try_for_each(|hour| self.within(what, schedule.at(hour), range))
    }
}

/// Refuses a building, weather or ground that cannot be simulated.
pub(super) fn check(
    house: &House,
    weather: &Weather,
    ground: &UndisturbedGround,
) -> Result<(), HouseError> {
    weather.check()?;
    ranges! { Part { of: "the undisturbed ground" };
        "mean temperature": ground.mean_c => (-60.0, 60.0, "must be -60 to 60 °C");
        "amplitude": ground.amplitude_k => (0.0, 60.0, "must be 0 to 60 K");
        "coldest day": ground.coldest_day => (-366.0, 732.0, "must be a day of the year");
        "diffusivity": ground.diffusivity_m2_day => (1e-4, 10.0, "must be 0.0001 to 10 m2/day");
    }
    check_house(house)
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
        ranges! { Part { of: &node.name };
            "area": node.area_m2 => ABOVE_ZERO;
            "heat capacity": node.capacity_j_k => ABOVE_ZERO;
            "film": node.film_w_m2k => ABOVE_ZERO;
            "share of the sun": node.sun_share => SHARE;
        }
    }
    check_plant(house)?;
    for index in house.canopy.leaf_area_index {
        ranges! { Part { of: "the canopy" };
            "leaf area index": index => (0.0, 12.0, "must be 0 to 12");
        }
    }
    let shares = &house.sun_shares;
    let taken: f64 = house.heavy.iter().map(|node| node.sun_share).sum::<f64>() + shares.air;
    ranges! { Part { of: "the canopy" };
        "share of the floor under beds": house.canopy.bed_share => SHARE;
    }
    ranges! { Part { of: "the sun that enters" };
        "share of the walls": shares.walls.unwrap_or(0.0) => SHARE;
        "share of the air": shares.air => SHARE;
        "share of heavy and light things together": taken => SHARE;
    }
    Ok(())
}

fn check_air(air: &Air) -> Result<(), HouseError> {
    ranges! { Part { of: "the air" };
        "volume": air.volume_m3 => SIZE;
        "heat capacity of light things": air.light_capacity_j_k => NOT_NEGATIVE;
    }
    let leaks = Part { of: "the leaks" };
    let often = (0.0, 1e4, "must be 0 or more");
    leaks.schedule("air change", &air.infiltration.constant_per_h, often)?;
    ranges! { leaks;
        "growth with wind": air.infiltration.per_wind_s_m_h => NOT_NEGATIVE;
        "growth with temperature": air.infiltration.per_root_k_h => NOT_NEGATIVE;
    }
    if let Some(fan) = &air.scheduled_fan {
        let part = Part {
            of: "the scheduled fan",
        };
        part.schedule("flow", &fan.flow_m3_s, (0.0, 1e5, "must be 0 or more"))?;
        part.within("power", fan.power_w_per_m3_s, NOT_NEGATIVE)?;
    }
    let Some(vents) = &air.vents else {
        return Ok(());
    };
    let part = Part { of: "the vents" };
    part.schedule("set point", &vents.set_point_c, TEMPERATURE)?;
    ranges! { part;
        "humidity limit": vents.humidity_pct.unwrap_or(100.0) => (1.0, 100.0, "must be 1 to 100 %");
    }
    match vents.kind {
        VentKind::AirChanges { max_per_h } => ranges! { part;
            "largest air change": max_per_h => NOT_NEGATIVE;
        },
        VentKind::Natural { area_m2, height_m } => ranges! { part;
            "area": area_m2 => NOT_NEGATIVE;
            "height": height_m => NOT_NEGATIVE;
        },
        VentKind::Fan { flow_m3_s, power_w } => ranges! { part;
            "flow": flow_m3_s => NOT_NEGATIVE;
            "power": power_w => NOT_NEGATIVE;
        },
    }
    Ok(())
}

fn check_floor(floor: &Floor) -> Result<(), HouseError> {
    let part = Part { of: "the floor" };
    ranges! { part;
        "area": floor.area_m2 => SIZE;
        "perimeter": floor.perimeter_m => (0.0, HUGE, "must be 0 or more");
        "wall thickness": floor.wall_thickness_m => (0.0, 100.0, "must be 0 to 100 m");
        "depth of the column": floor.depth_m => (1.0, 15.0, "must be 1 to 15 m");
        "number of layers": floor.layers as f64 => (6.0, 80.0, "must be 6 to 80");
        "resistance of mulch": floor.mulch_m2k_w => NOT_NEGATIVE;
        "absorptance": floor.absorptance => SHARE;
        "wet share": floor.wet_share => SHARE;
        "width of the strip": floor.strip_m => SIZE;
    }
    let soil = &floor.soil;
    ranges! { Part { of: "the soil" };
        "conductivity": soil.conductivity_w_mk => (0.01, 20.0, "must be 0.01 to 20 W/mK");
        "heat capacity": soil.heat_capacity_j_m3k => VOLUMETRIC;
        "freezing water": soil.water_m3_m3 => (0.0, 0.9, "must be 0 to 0.9 m3/m3");
    }
    if let Some(skirt) = floor.skirt {
        ranges! { part;
            "depth of the skirt": skirt.depth_m => NOT_NEGATIVE;
            "resistance of the skirt": skirt.resistance_m2k_w => NOT_NEGATIVE;
        }
    }
    if let Some(slab) = floor.slab {
        let most_m = 0.9 * floor.depth_m;
        let thick = (TINY, most_m, "must be above 0 and below the column's depth");
        let volumetric = slab.density_kg_m3 * slab.heat_capacity_j_kgk;
        ranges! { Part { of: "the slab" };
            "thickness": slab.thickness_m => thick;
            "conductivity": slab.conductivity_w_mk => (0.01, 500.0, "must be 0.01 to 500 W/mK");
            "density times heat capacity": volumetric => VOLUMETRIC;
        }
    }
    Ok(())
}
