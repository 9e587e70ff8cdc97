//! What a building is made of, as the simulation is told it. Plain figures in SI units, nothing from a file format.

use super::Schedule;
use crate::sun::{Glazing, Horizon};

/// A building with its controls.
#[derive(Clone, Debug, PartialEq)]
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
    /// Row cover or inner tunnel over some beds.
    pub cover: Option<BedCover>,
    /// How the sun that enters is shared out.
    pub sun_shares: SunShares,
    /// How heat passes from inner faces to the room.
    pub inner_film: InnerFilm,
    /// How wind carries heat from outer faces.
    pub outer_film: OuterFilm,
    /// Skyline round the building; none for open land.
    pub horizon: Option<Horizon>,
}

/// How heat passes from inner faces to the room.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum InnerFilm {
    /// One film, convection and radiation together, from each face to the air: greenhouse practice, where U is
    /// air to air and includes that film.
    #[default]
    ToAir,
    /// Convection to the air and radiation to a mean radiant node: ordinary buildings.
    RadiantNode,
}

/// How wind carries heat from outer faces.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub enum OuterFilm {
    /// The film contained in the standard U value at all times.
    #[default]
    Standard,
    /// Convection grows with the wind of each hour, radiation by temperature.
    Wind,
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
    /// Long-wave emissivity of the outer face, 0 to 1.
    pub emissivity_outside: f64,
    /// Curtain drawn inside it at night.
    pub curtain: Option<Curtain>,
}

/// A curtain inside the glazing.
#[derive(Clone, Debug, PartialEq)]
pub struct Curtain {
    /// Resistance that it adds, m2K/W, at least 0.
    pub resistance_m2k_w: f64,
    /// Share of long-wave radiation that still passes, 0 to 1.
    pub long_wave_transmittance: f64,
    /// When it is drawn.
    pub drawn: CurtainTimes,
}

/// When a curtain is drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum CurtainTimes {
    /// From sunset to sunrise in the months marked, January first.
    Night([bool; 12]),
    /// Share drawn, 0 to 1, by the schedule.
    Share(Schedule),
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
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
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
    /// Nothing: no heat passes (an inner wall, a party wall).
    Nothing,
}

/// A floor on the ground.
#[derive(Clone, Debug, PartialEq)]
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
}

/// Soil as heat knows it.
#[derive(Clone, Copy, Debug, PartialEq)]
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
#[derive(Clone, Debug, PartialEq)]
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
#[derive(Clone, Debug, PartialEq)]
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

/// A heavy thing in the room.
#[derive(Clone, Debug, PartialEq)]
pub struct HeavyNode {
    /// Name as people say it.
    pub name: String,
    /// Surface to the room, m2, above 0.
    pub area_m2: f64,
    /// Heat capacity, J/K, above 0.
    pub capacity_j_k: f64,
    /// Film to the room, W/m2K, above 0 (convection and radiation).
    pub film_w_m2k: f64,
    /// Share of the sun entering the house that it keeps, 0 to 1.
    pub sun_share: f64,
}

/// Fan and pipes that store heat in the soil under the floor.
#[derive(Clone, Debug, PartialEq)]
pub struct PipeStore {
    /// Number of pipes, at least 1.
    pub pipes: usize,
    /// Length of each, m.
    pub length_m: f64,
    /// Inner diameter, m.
    pub diameter_m: f64,
    /// Depths of the pipe layers, m; the pipes are shared out evenly among them.
    pub depths_m: Vec<f64>,
    /// Air flow of the fan through all pipes together, m3/s.
    pub flow_m3_s: f64,
    /// Electric power of the fan, W; it ends as heat in the moved air.
    pub fan_w: f64,
    /// Charges above this air temperature while the air is warmer than the store, °C.
    pub charge_above_c: Schedule,
    /// Draws below this air temperature while the store is warmer than the air, °C.
    pub draw_below_c: Schedule,
}

/// An inner face behind glazing that warms the air drawn into the store.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirCollector {
    /// Share of the beam entering the house that it takes, 0 to 1.
    pub beam_share: f64,
    /// Share of that heat which the drawn air takes up while the fan runs; the rest, and all of it while the fan
    /// stands, goes to the house air, 0 to 1.
    pub effectiveness: f64,
}

/// Heat given off in the house.
#[derive(Clone, Debug, PartialEq)]
pub struct Gain {
    /// Name as people say it.
    pub name: String,
    /// Sensible heat, W.
    pub heat_w: Schedule,
    /// Share given off by radiation, 0 to 1.
    pub radiant_share: f64,
    /// Where its energy comes from.
    pub energy: EnergySource,
}

/// Where the energy of a gain or heater comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum EnergySource {
    /// Electricity.
    Electricity,
    /// Natural gas from the mains.
    NaturalGas,
    /// Propane.
    Propane,
    /// Heating oil.
    Oil,
    /// Wood or pellets.
    Wood,
    /// People, animals, compost: nothing to pay.
    Free,
}

impl EnergySource {
    /// Does it burn (so that flue, air and carbon monoxide must be thought of)?
    pub fn burns(self) -> bool {
        matches!(
            self,
            Self::NaturalGas | Self::Propane | Self::Oil | Self::Wood
        )
    }
}

/// A heater that holds a set point.
#[derive(Clone, Debug, PartialEq)]
pub struct Heater {
    /// Air temperature that it holds, °C.
    pub set_point_c: Schedule,
    /// Largest heat output, W; infinite for an ideal heater; 0 is no heater.
    pub capacity_w: f64,
    /// Where its energy comes from.
    pub energy: EnergySource,
    /// Heat per energy bought, above 0 (above 1 for a heat pump).
    pub efficiency: f64,
}

/// A cooler that holds a set point.
#[derive(Clone, Debug, PartialEq)]
pub struct Cooler {
    /// Air temperature that it holds, °C.
    pub set_point_c: Schedule,
    /// Largest heat taken away, W; infinite for an ideal cooler.
    pub capacity_w: f64,
}

/// Lamps over the beds.
#[derive(Clone, Debug, PartialEq)]
pub struct Lamp {
    /// Photosynthetic photon flux density at the bed, micromol/m2/s, when on.
    pub ppfd_umol_m2_s: f64,
    /// Electric power, W, when on; all of it ends as heat in the house.
    pub power_w: f64,
    /// Share switched on, 0 to 1.
    pub on: Schedule,
}

/// Standing crop.
#[derive(Clone, Debug, PartialEq)]
pub struct Canopy {
    /// Leaf area per floor area by month, m2/m2, 0 to 8.
    pub leaf_area_index: [f64; 12],
    /// Do the leaves transpire?
    pub transpires: bool,
    /// Share of the floor under beds, 0 to 1.
    pub bed_share: f64,
}

/// Row cover or inner tunnel.
#[derive(Clone, Debug, PartialEq)]
pub struct BedCover {
    /// Name as people say it.
    pub name: String,
    /// Floor area under it, m2, at most the floor's. With 0 m2 the climate under a cover is computed all the same,
    /// without effect on the house.
    pub area_m2: f64,
    /// Cover area per floor area, at least 1 (1 lying flat, about 1.5 on hoops).
    pub area_ratio: f64,
    /// Height of the air under it, m.
    pub height_m: f64,
    /// Resistance of the sheet, m2K/W.
    pub resistance_m2k_w: f64,
    /// Share of sunlight let through, 0 to 1.
    pub solar_transmittance: f64,
    /// Share of long-wave radiation let through, 0 to 1.
    pub long_wave_transmittance: f64,
    /// Long-wave emissivity, 0 to 1; with the transmittance at most 1.
    pub emissivity: f64,
    /// Air passing through it, m3/s per m2 of floor.
    pub air_flow_m3_s_m2: f64,
    /// When it lies on.
    pub on: CoverTimes,
}

/// When a cover lies on the bed.
#[derive(Clone, Debug, PartialEq)]
pub enum CoverTimes {
    /// Day and night in the months marked, January first.
    Months([bool; 12]),
    /// From sunset to sunrise in the months marked.
    Nights([bool; 12]),
    /// While outdoor air is below this temperature, °C.
    OutdoorBelow(f64),
    /// Put on at sunset, taken off at sunrise, when the house air at sunset is below this temperature, °C.
    NightsHouseBelow(f64),
}

/// How the sun that enters is shared out, as shares of what the glazing lets in; what heavy nodes and the collector
/// take comes first, the rest is shared between canopy and floor by leaf area and between walls.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunShares {
    /// Share that falls on inner faces of walls and roof rather than on floor and beds, 0 to 1; none: by view.
    pub walls: Option<f64>,
    /// Share that light things (frames, pots, litter) give to the air at once, 0 to 1.
    pub air: f64,
}
