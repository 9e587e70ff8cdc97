//! One hour of boundary conditions.

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
    /// Wind, m/s.
    pub wind_m_s: f64,
    /// Sky, °C.
    pub sky_c: f64,
    /// Faces without heat capacity: conductance to outdoors, W/K.
    pub light_w_k: f64,
    /// The same times their equivalent outdoor temperature, W.
    pub light_w: f64,
    /// The part of them that is glazed, W/K.
    pub glazed_w_k: f64,
    /// W.
    pub glazed_w: f64,
    /// Temperature of the inner faces that beds see = known + by_air x air, °C.
    pub faces_known_c: f64,
    /// K/K.
    pub faces_by_air: f64,
    /// Share of a bed's view that is sky through glazing.
    pub sky_share: f64,
    /// Share of a bed's view that is surroundings through glazing.
    pub outdoor_share: f64,
    /// Radiant node's view of the sky and of surroundings through glazing that conducts beside it, m2 of black opening.
    pub node_sky_m2: f64,
    /// m2.
    pub node_outdoor_m2: f64,
    /// What the sky draws from the radiant node through glazing whose U value holds the rest of that passage, W (a
    /// gain is positive).
    pub node_sky_w: f64,
    /// Sun.
    pub sun: SunHour,
    /// Gains to the air and by radiation, lamps, W.
    pub gain_air_w: f64,
    /// W.
    pub gain_radiant_w: f64,
    /// W.
    pub lamp_w: f64,
    /// Constant and windy leaks, 1/h.
    pub leak_per_h: f64,
    /// Scheduled fan, m3/s.
    pub fan_m3_s: f64,
    /// Set points, °C; infinite where there is none.
    pub heater_set_c: f64,
    /// °C.
    pub cooler_set_c: f64,
    /// °C.
    pub vent_set_c: f64,
    /// °C.
    pub charge_above_c: f64,
    /// °C.
    pub draw_below_c: f64,
    /// Share of the hour that is night.
    pub night: f64,
}

/// A kind of pane in one hour: temperature of its inner face = known + by_air x air.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct PaneHour {
    /// °C.
    pub known_c: f64,
    /// K/K.
    pub by_air: f64,
    /// Share of heat set free at the inner face that flows into the room.
    pub inward: f64,
}

/// A wall's outside and sun in one hour.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct WallHour {
    /// Outer side.
    pub outer: OuterSide,
    /// Sun on the inner face, W.
    pub sun_w: f64,
}

fn lean(own: &mut f64, other: f64, share: f64) {
    *own += share * (other - *own);
}

impl Hour {
    /// Moves weather, sun and what follows from them towards another hour; set points and gains stay.
    pub fn lean(&mut self, other: &Self, share: f64) {
        let pairs = [
            (&mut self.outdoor_c, other.outdoor_c),
            (&mut self.outdoor_kpa, other.outdoor_kpa),
            (&mut self.pressure_kpa, other.pressure_kpa),
            (&mut self.wind_m_s, other.wind_m_s),
            (&mut self.sky_c, other.sky_c),
            (&mut self.light_w_k, other.light_w_k),
            (&mut self.light_w, other.light_w),
            (&mut self.glazed_w_k, other.glazed_w_k),
            (&mut self.glazed_w, other.glazed_w),
            (&mut self.faces_known_c, other.faces_known_c),
            (&mut self.faces_by_air, other.faces_by_air),
            (&mut self.sky_share, other.sky_share),
            (&mut self.outdoor_share, other.outdoor_share),
            (&mut self.node_sky_m2, other.node_sky_m2),
            (&mut self.node_outdoor_m2, other.node_outdoor_m2),
            (&mut self.node_sky_w, other.node_sky_w),
            (&mut self.leak_per_h, other.leak_per_h),
            (&mut self.sun.entering_w, other.sun.entering_w),
            (&mut self.sun.air_w, other.sun.air_w),
            (&mut self.sun.collector_w, other.sun.collector_w),
            (&mut self.sun.wall_first_w_m2, other.sun.wall_first_w_m2),
            (&mut self.sun.even_w_m2, other.sun.even_w_m2),
            (&mut self.sun.heavy_w, other.sun.heavy_w),
            (&mut self.sun.floor_w_m2, other.sun.floor_w_m2),
        ];
        for (own, other) in pairs {
            lean(own, other, share);
        }
    }
}

impl WallHour {
    /// Moves towards another hour.
    pub fn lean(&mut self, other: &Self, share: f64) {
        lean(&mut self.outer.temp_c, other.outer.temp_c, share);
        lean(&mut self.outer.film_m2k_w, other.outer.film_m2k_w, share);
        lean(&mut self.sun_w, other.sun_w, share);
    }
}

impl PaneHour {
    /// Moves towards another hour.
    pub fn lean(&mut self, other: &Self, share: f64) {
        lean(&mut self.known_c, other.known_c, share);
        lean(&mut self.by_air, other.by_air, share);
        lean(&mut self.inward, other.inward, share);
    }
}
