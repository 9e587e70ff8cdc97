//! What stands in a building: heavy things, store, heater, lamps, crop, cover.

use crate::house::Schedule;

/// A heavy thing in the room.
#[derive(Clone, Debug, PartialEq, Default)]
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
#[derive(Clone, Debug, PartialEq, Default)]
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
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct AirCollector {
    /// Share of the beam entering the house that it takes, 0 to 1.
    pub beam_share: f64,
    /// Share of that heat which the drawn air takes up while the fan runs; the rest, and all of it while the fan
    /// stands, goes to the house air, 0 to 1.
    pub effectiveness: f64,
}

/// Heat given off in the house.
#[derive(Clone, Debug, PartialEq, Default)]
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
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
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
    #[default]
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
#[derive(Clone, Debug, PartialEq, Default)]
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
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Cooler {
    /// Air temperature that it holds, °C.
    pub set_point_c: Schedule,
    /// Largest heat taken away, W; infinite for an ideal cooler.
    pub capacity_w: f64,
}

/// Lamps over the beds.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Lamp {
    /// Photosynthetic photon flux density at the bed, micromol/m2/s, when on.
    pub ppfd_umol_m2_s: f64,
    /// Electric power, W, when on; all of it ends as heat in the house.
    pub power_w: f64,
    /// Share switched on, 0 to 1.
    pub on: Schedule,
}

/// Standing crop.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Canopy {
    /// Leaf area per floor area by month, m2/m2, 0 to 8.
    pub leaf_area_index: [f64; 12],
    /// Do the leaves transpire?
    pub transpires: bool,
    /// Share of the floor under beds, 0 to 1.
    pub bed_share: f64,
}

/// A part of the floor whose climate is followed on its own.
#[derive(Clone, Debug, PartialEq)]
pub struct FloorPart {
    /// Name as people say it: that of its cover, `edge`, or both.
    pub name: String,
    /// Floor area of it, m2, at least 0; with 0 m2 its climate is computed all the same, without effect on the house.
    pub area_m2: f64,
    /// What lies over it in cold nights.
    pub cover: Option<BedCover>,
    /// Does it lie in the strip along the outer walls, where the soil loses more sideways?
    pub at_edge: bool,
}

/// Most parts of a floor, the bare middle counted: own choice, more than a family tells apart.
pub const FLOOR_PARTS_MAX: usize = 8;

/// Row cover or inner tunnel.
#[derive(Clone, Debug, PartialEq)]
pub struct BedCover {
    /// Name as people say it.
    pub name: String,
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
    /// Does vapour pass through it as through fabric, beside what its air carries?
    pub porous: bool,
    /// When it lies on.
    pub on: CoverTimes,
}

/// When a cover lies on the bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CoverTimes {
    /// Somebody lays it before a cold night and lifts it when the house has warmed up.
    Handled(Handling),
    /// Day and night in the months marked, January first.
    Months([bool; 12]),
    /// From sunset to sunrise in the months marked.
    Nights([bool; 12]),
    /// In the months marked, from one hour of the clock to another (0 to 24, over midnight where `to` is not after
    /// `from`).
    Clock {
        /// Months, January first.
        months: [bool; 12],
        /// Laid at this hour.
        from_h: f64,
        /// Lifted at this hour.
        to_h: f64,
    },
}

/// By which temperatures of the house's air a cover is laid and lifted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Handling {
    /// Laid in nights and evenings in which the air falls below this, °C.
    pub lay_below_c: f64,
    /// Lifted by day when the air is above this and warmer than the soil under the cover, °C.
    pub lift_above_c: f64,
}

impl Default for Handling {
    /// Laid below 5 °C, lifted above 2 °C: a judgement after growers' diaries (see the module that handles covers).
    fn default() -> Self {
        Self {
            lay_below_c: 5.0,
            lift_above_c: 2.0,
        }
    }
}

/// How the sun that enters is shared out, as shares of what the glazing lets in; what heavy nodes and the collector
/// take comes first, the rest is shared between canopy and floor by leaf area and between walls.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct SunShares {
    /// Share that falls on inner faces of walls and roof rather than on floor and beds, 0 to 1; none: by view.
    pub walls: Option<f64>,
    /// Share that light things (frames, pots, litter) give to the air at once, 0 to 1.
    pub air: f64,
}
