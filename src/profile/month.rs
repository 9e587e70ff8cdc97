//! Months of a year inside.

/// Hourly columns of one year, 8760 values each; an absent measure is an empty slice.
#[derive(Clone, Copy, Debug, Default)]
pub struct HourColumns<'a> {
    /// Air inside, °C.
    pub air_c: &'a [f64],
    /// Root zone, °C.
    pub root_zone_c: &'a [f64],
    /// Mean of the buried store, °C.
    pub store_c: &'a [f64],
    /// Relative humidity inside, %.
    pub relative_humidity_pct: &'a [f64],
    /// Photosynthetic light at the beds, mol/m2 in the hour.
    pub light_mol_m2: &'a [f64],
    /// Heater, W.
    pub heater_w: &'a [f64],
    /// Fan, W.
    pub fan_w: &'a [f64],
    /// Share of the hour that the vents stood open, 0 to 1.
    pub vent_open: &'a [f64],
}

/// One month inside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MonthRow {
    /// Month, 0 = January.
    pub month: usize,
    /// Mean air, °C.
    pub air_mean_c: f64,
    /// Mean of the daily minima, °C.
    pub air_min_c: f64,
    /// Mean of the daily maxima, °C.
    pub air_max_c: f64,
    /// Coldest hour, °C.
    pub coldest_hour_c: f64,
    /// Mean root zone, °C.
    pub root_zone_mean_c: f64,
    /// Coldest hour of the root zone, °C.
    pub root_zone_min_c: f64,
    /// Mean store, °C; NaN where there is none.
    pub store_mean_c: f64,
    /// Mean light, mol/m2/day.
    pub light_mol_m2_day: f64,
    /// Mean day length, h.
    pub day_length_h: f64,
    /// Hours with air below 0 °C.
    pub hours_below_0_c: f64,
    /// Hours with air above 30 °C.
    pub hours_above_30_c: f64,
    /// Heater, kWh.
    pub heater_kwh: f64,
    /// Fan, kWh.
    pub fan_kwh: f64,
    /// Hours with vents open.
    pub vented_hours: f64,
    /// Mean relative humidity, %.
    pub relative_humidity_pct: f64,
}
