//! What a building is made of, as the simulation is told it. Plain figures in SI units, nothing from a file format.

mod beside;
mod plant;

pub use beside::*;
pub use plant::*;

use super::Schedule;
use crate::sun::{Glazing, Horizon, Outlook};
use crate::words::worded;

/// A building with its controls; by default one of nothing, as every part of it is.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct House {
    /// Outer and inner faces; at least one.
    pub surfaces: Vec<Surface>,
    /// Floor on the ground; none for a box whose floor is among the surfaces.
    pub floor: Option<Floor>,
    /// Air, leaks, vents, fans.
    pub air: Air,
    /// Heavy things in the room: water barrels, inner walls.
    pub heavy: Vec<HeavyNode>,
    /// Fan and pipes that store heat in the soil.
    pub store: Option<PipeStore>,
    /// Inner face that warms the air which the store's fan draws in.
    pub collector: Option<AirCollector>,
    /// Heat given off in the house by the hour.
    pub gains: Vec<Gain>,
    /// Heater.
    pub heater: Option<Heater>,
    /// Cooler (sensible heat only).
    pub cooler: Option<Cooler>,
    /// Lamps over the beds.
    pub lamp: Option<Lamp>,
    /// Standing crop.
    pub canopy: Canopy,
    /// Parts of the floor with a climate of their own: under a cover, along an outer wall. The rest of it is bare and
    /// lies away from the walls.
    pub parts: Vec<FloorPart>,
    /// How the sun that enters is shared out.
    pub sun_shares: SunShares,
    /// How heat passes from inner faces to the room.
    pub inner_film: InnerFilm,
    /// How wind carries heat from outer faces.
    pub outer_film: OuterFilm,
    /// Skyline round the building; none for open land.
    pub horizon: Option<Horizon>,
    /// What becomes of snow on sloping glazing.
    pub snow: SnowOnGlazing,
    /// A room that is simulated with the house, wall to wall.
    pub beside: Option<Box<Beside>>,
}

worded! {
    /// What becomes of snow on sloping glazing.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
    pub enum SnowOnGlazing {
        /// It lies until it slides or is swept off the next morning.
        #[default]
        "swept" => Swept,
        /// It lies until it slides or melts.
        "left" => Left,
        /// It never lies there.
        "none" => None,
    }
}

worded! {
    /// How heat passes from inner faces to the room.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
    pub enum InnerFilm {
        /// One film, convection and radiation together, from each face to the air: greenhouse practice, where U is
        /// air to air and includes that film.
        #[default]
        "to air" => ToAir,
        /// Convection to the air and radiation to a mean radiant node: ordinary buildings.
        "radiant node" => RadiantNode,
    }
}

worded! {
    /// How wind carries heat from outer faces.
    #[derive(Clone, Copy, Debug, PartialEq, Default)]
    pub enum OuterFilm {
        /// The film contained in the standard U value at all times.
        #[default]
        "standard" => Standard,
        /// Convection grows with the wind of each hour, radiation by temperature.
        "wind" => Wind,
    }
}

/// A face of the building.
#[derive(Clone, Debug, PartialEq)]
pub struct Surface {
    /// Name as people say it.
    pub name: String,
    /// Area, m2, above 0.
    pub area_m2: f64,
    /// Tilt from the horizontal, degrees: 0 looks up, 90 upright, 180 looks down.
    pub tilt_deg: f64,
    /// Azimuth of the outward normal, degrees clockwise from north.
    pub azimuth_deg: f64,
    /// What conducts between its faces.
    pub make: Make,
    /// What lies behind it.
    pub behind: Behind,
    /// Glass or film, or a solid face.
    pub kind: SurfaceKind,
    /// Long-wave emissivity of the inner face, 0 to 1.
    pub emissivity_inside: f64,
    /// Share of the sun on the inner face that it keeps, 0 to 1.
    pub absorptance_inside: f64,
    /// Skyline of its own, overhang and fins before it; counts only against outdoors.
    pub outlook: Outlook,
}

/// Glass or film, or a solid face.
#[derive(Clone, Debug, PartialEq)]
pub enum SurfaceKind {
    /// Solid.
    Opaque {
        /// Share of the sun on the outer face that it keeps, 0 to 1.
        absorptance_outside: f64,
        /// Long-wave emissivity of the outer face, 0 to 1.
        emissivity_outside: f64,
    },
    /// Lets light through.
    Glazed(GlazedFace),
}

/// A face that lets light through.
#[derive(Clone, Debug, PartialEq)]
pub struct GlazedFace {
    /// What the sun does with it.
    pub glazing: Glazing,
    /// Share of long-wave radiation that passes straight through, 0 (glass, twin-wall sheet) to 1.
    pub long_wave_transmittance: f64,
    /// The same while its inner face is wet with drops, 0 to 1.
    pub long_wave_wet: f64,
    /// Long-wave emissivity of the outer face, 0 to 1.
    pub emissivity_outside: f64,
    /// Curtain drawn inside it at night.
    pub curtain: Option<Curtain>,
}

/// A curtain inside the glazing.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Curtain {
    /// Resistance that it adds, m2K/W, at least 0.
    pub resistance_m2k_w: f64,
    /// Share of long-wave radiation that still passes, 0 to 1.
    pub long_wave_transmittance: f64,
    /// Months in which it is drawn, from sunset to sunrise; January first.
    pub drawn: [bool; 12],
}

/// What conducts between the faces of a surface.
#[derive(Clone, Debug, PartialEq)]
pub enum Make {
    /// Thermal transmittance from air to air, W/m2K: contains the inner film and, at standard wind, the outer one.
    AirToAir {
        /// U, W/m2K, above 0.
        u_w_m2k: f64,
        /// Heat capacity on the inner side, behind the inner film, J/m2K, at least 0.
        inner_capacity_j_m2k: f64,
    },
    /// Resistance from face to face, m2K/W, films not counted.
    FaceToFace {
        /// R, m2K/W, at least 0.
        resistance_m2k_w: f64,
        /// Heat capacity at the inner face, J/m2K, at least 0.
        inner_capacity_j_m2k: f64,
    },
    /// Layers, from outside to inside; at least one.
    Layers(Vec<Layer>),
}

impl Make {
    /// Resistance from face to face, m2K/W; 0 for what is known from air to air alone.
    pub fn resistance_m2k_w(&self) -> f64 {
        match self {
            Make::AirToAir { .. } => 0.0,
            Make::FaceToFace {
                resistance_m2k_w, ..
            } => *resistance_m2k_w,
            Make::Layers(layers) => layers
                .iter()
                .map(|layer| layer.thickness_m / layer.conductivity_w_mk)
                .sum(),
        }
    }
}

/// A layer of a wall, roof or floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// Thickness, m, above 0.
    pub thickness_m: f64,
    /// Thermal conductivity, W/mK, above 0.
    pub conductivity_w_mk: f64,
    /// Density, kg/m3; 0 for a layer without mass.
    pub density_kg_m3: f64,
    /// Specific heat capacity, J/kgK; 0 for a layer without mass.
    pub heat_capacity_j_kgk: f64,
}

/// What lies behind a surface.
#[derive(Clone, Debug, PartialEq)]
pub enum Behind {
    /// Outdoor air with sun, sky and wind.
    Outdoor,
    /// Outdoor air without sun, sky and wind.
    ShelteredAir,
    /// Undisturbed ground at the depth of the face's middle, in mm.
    Ground {
        /// Depth, mm.
        depth_mm: u32,
    },
    /// Ground at a given temperature, °C, without a film.
    Given(Schedule),
    /// A room whose air has a given temperature, °C, with the film of its own face; no sun, no wind.
    Room(Schedule),
    /// The room that is simulated with the house ([`House::beside`]): the wall is lit and warmed on both its faces. The
    /// room has the same wall among its own surfaces, seen from its side ([`Surface::other_side`]).
    Beside,
    /// Nothing: no heat passes (an inner wall, a party wall).
    Nothing,
}

/// A floor on the ground.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Floor {
    /// Area, m2, above 0.
    pub area_m2: f64,
    /// Perimeter to the outdoors, m, above 0 (0 for a floor without edges).
    pub perimeter_m: f64,
    /// Thickness of the wall above the edge, m.
    pub wall_thickness_m: f64,
    /// The soil.
    pub soil: Soil,
    /// Insulation down from the edge.
    pub skirt: Option<Skirt>,
    /// Slab on the soil; none for beds.
    pub slab: Option<Layer>,
    /// Resistance of mulch, boards or floor insulation above the soil and slab, m2K/W.
    pub mulch_m2k_w: f64,
    /// Depth of the simulated column, m, 1 to 15.
    pub depth_m: f64,
    /// Layers of the column, 6 to 80; thin at the top.
    pub layers: usize,
    /// Share of the sun on the floor that it keeps, 0 to 1.
    pub absorptance: f64,
    /// Share of the floor that stays moist and evaporates like open water, 0 to 1.
    pub wet_share: f64,
    /// Width of the strip along the outer walls in which edge beds lie, m, above 0.
    pub strip_m: f64,
}

/// Soil as heat knows it.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Soil {
    /// Thermal conductivity, W/mK, above 0.
    pub conductivity_w_mk: f64,
    /// Volumetric heat capacity, J/m3K, above 0.
    pub heat_capacity_j_m3k: f64,
    /// Water that freezes, m3 per m3 of soil, 0 to 0.6.
    pub water_m3_m3: f64,
}

/// Insulation down from the edge of a floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Skirt {
    /// Depth to which it reaches, m.
    pub depth_m: f64,
    /// Resistance, m2K/W.
    pub resistance_m2k_w: f64,
}

/// Air of the house and how it changes.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Air {
    /// Volume, m3, above 0.
    pub volume_m3: f64,
    /// Heat capacity of light things that follow the air (shelves, pots, furniture), J/K, beside the air's own.
    pub light_capacity_j_k: f64,
    /// Leaks.
    pub infiltration: Infiltration,
    /// Vents or fans that open above a set point.
    pub vents: Option<Vents>,
    /// A fan that runs by the clock: outdoor air drawn in, m3/s at indoor density.
    pub scheduled_fan: Option<ScheduledFan>,
}

/// Leaks: air changes an hour = constant + wind term + temperature term, m3 of indoor air.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Infiltration {
    /// Constant share, 1/h, by the schedule.
    pub constant_per_h: Schedule,
    /// Growth with wind, 1/h per m/s.
    pub per_wind_s_m_h: f64,
    /// Growth with the square root of the difference to outdoors, 1/h per K^0.5.
    pub per_root_k_h: f64,
}

/// Vents or fans that open above a set point, as far as is needed to hold it.
#[derive(Clone, Debug, PartialEq)]
pub struct Vents {
    /// Air temperature that they hold, °C.
    pub set_point_c: Schedule,
    /// Relative humidity above which they also open while outdoors is drier, %; none: never for humidity.
    pub humidity_pct: Option<f64>,
    /// How they move air.
    pub kind: VentKind,
}

/// How vents move air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum VentKind {
    /// So many air changes an hour when fully open, whatever the weather.
    AirChanges {
        /// 1/h.
        max_per_h: f64,
    },
    /// Openings driven by wind and stack effect.
    Natural {
        /// Area of the inlets and of the outlets each, m2.
        area_m2: f64,
        /// Height between their middles, m.
        height_m: f64,
    },
    /// Fan.
    Fan {
        /// Flow, m3/s.
        flow_m3_s: f64,
        /// Electric power, W, at full flow.
        power_w: f64,
    },
}

/// A fan that runs by the clock.
#[derive(Clone, Debug, PartialEq)]
pub struct ScheduledFan {
    /// Flow, m3/s.
    pub flow_m3_s: Schedule,
    /// Electric power, W per m3/s (0 when its heat and power are not counted).
    pub power_w_per_m3_s: f64,
}
