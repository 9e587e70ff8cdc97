use crate::house::light::SunHour;
use crate::house::wall::OuterSide;

/// Most kinds of panes told apart for condensation.
pub(crate) const MOST_PANES: usize = 6;

/// One hour of boundary conditions.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Hour {
    /// Outdoor air, °C.
    pub outdoor_c: f64,
    /// Outdoor vapour pressure, kPa.
    pub outdoor_kpa: f64,
    /// Air pressure, kPa.
    pub pressure_kpa: f64,
    pub wind_m_s: f64,
    pub sky_c: f64,
    /// Faces without heat capacity: conductance to outdoors, W/K.
    pub light_w_k: f64,
    /// The same times their equivalent outdoor temperature, W.
    pub light_w: f64,
    /// The part of them that is glazed, W/K, W.
    pub glazed_w_k: f64,
    pub glazed_w: f64,
    /// Temperature of the inner faces that beds see = known + by_air x air, °C.
    pub faces_known_c: f64,
    pub faces_by_air: f64,
    /// Share of a bed's view that is sky through glazing.
    pub sky_share: f64,
    /// Share of a bed's view that is surroundings through glazing.
    pub outdoor_share: f64,
    /// Radiant node's view of the sky and of surroundings through glazing that conducts beside it, m2 of black opening.
    pub node_sky_m2: f64,
    pub node_outdoor_m2: f64,
    /// What the sky draws from the radiant node through glazing whose U value holds the rest of that passage, W (a
    /// gain is positive).
    pub node_sky_w: f64,
    pub sun: SunHour,
    /// Gains to the air and by radiation, lamps, W.
    pub gain_air_w: f64,
    pub gain_radiant_w: f64,
    pub lamp_w: f64,
    /// Constant and windy leaks, 1/h.
    pub leak_per_h: f64,
    /// Scheduled fan, m3/s.
    pub fan_m3_s: f64,
    /// Set points, °C; infinite where there is none.
    pub heater_set_c: f64,
    pub cooler_set_c: f64,
    pub vent_set_c: f64,
    pub charge_above_c: f64,
    pub draw_below_c: f64,
    /// Share of the hour that is night.
    pub night: f64,
}

/// A kind of pane in one hour: temperature of its inner face = known + by_air x air.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct PaneHour {
    pub known_c: f64,
    /// Also the share of heat set free at the inner face that flows into the room.
    pub by_air: f64,
}

/// A wall's outside and sun in one hour.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct WallHour {
    /// Outer side.
    pub outer: OuterSide,
    /// Sun on the inner face, W.
    pub sun_w: f64,
}
