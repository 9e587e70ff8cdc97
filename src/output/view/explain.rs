//! One sowing, month by month.

use chrono::NaiveDate;
use serde::Serialize;

use super::{Note, Spread};
use crate::output::row::row;
use crate::phrase::Phrase;

row! {
    /// One month of a planting, usual year; sums run over the days on which it grows.
    pub struct ExplainMonth {
        /// First day of the month.
        month: NaiveDate, "";
        /// Days of the planting in this month.
        days: u32, "d";
        /// Mean air temperature.
        air_c: f64, "°C";
        /// Mean temperature of the root zone, 0.1 m deep.
        root_zone_c: f64, "°C";
        /// Mean day length.
        day_length_h: f64, "h";
        /// Mean daily photosynthetic light.
        light_mol_m2_day: f64, "mol/m2/day";
        /// Progress to emergence made in this month; 1 is up.
        emergence: f64, "share";
        /// Growing degrees before light and root zone take their part.
        growth_k_d: f64, "K d";
        /// Mean share of growth that light allows, 0 to 1.
        light_factor: f64, "share";
        /// Mean share of growth that the root zone allows, 0 to 1.
        root_factor: f64, "share";
        /// Growth that counts: the sum over the days of degrees times both factors.
        sum_k_d: f64, "K d";
        /// The same since the planting began to grow.
        total_k_d: f64, "K d";
        /// Coldest hour of the leaves.
        leaf_min_c: f64, "°C";
        /// Smallest distance of the leaves from killing cold; below 0 the stand dies.
        cold_margin_k: f64, "K";
        /// Mean degree of hardening, 0 to 1.
        hardening: f64, "share";
        /// Chilling of a crop of warm origin.
        chill_kh: f64, "K h";
        /// Mean share of flowers that set fruit, 0 to 1.
        set: f64, "share";
        /// Picked.
        picked_kg_m2: f64, "kg/m2";
    }
}

row! {
    /// Something that happens to a planting.
    pub struct ExplainEvent {
        /// Day.
        date: NaiveDate, "";
        /// What happens.
        event: Phrase, "";
        /// Why, with what was met and needed; empty where the event says it all.
        cause: Phrase, "";
    }
}

/// One sowing followed through the usual year.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ExplainView {
    /// Where the building stands.
    pub place: String,
    /// Identifier of the crop.
    pub crop: String,
    /// Name of the crop for people.
    pub name: String,
    /// Bed.
    pub bed: String,
    /// Climate of the bed: `bare` or `row cover`.
    pub bed_climate: String,
    /// `direct` or `tray`.
    pub way: String,
    /// Day of sowing.
    pub sow: NaiveDate,
    /// Growing degrees of a day at best temperature, K d.
    pub best_k_d: f64,
    /// Growth sum of first picking, K d.
    pub ready_k_d: f64,
    /// Growth sum of the whole crop, K d.
    pub whole_k_d: f64,
    /// Growth sum from one cut to the next, K d; empty where nothing is cut again.
    pub regrowth_k_d: Option<f64>,
    /// Picked in the usual year, kg/m2.
    pub picked_kg_m2: f64,
    /// Weather years tried.
    pub weather_years: u32,
    /// Weather years in which something is picked.
    pub bearing_years: u32,
    /// Picked over the weather years, kg/m2.
    pub picked_kg_m2_weather_years: Option<Spread>,
    /// Months from sowing to clearing.
    pub months: Vec<ExplainMonth>,
    /// What happens when, in order.
    pub events: Vec<ExplainEvent>,
    /// What to watch.
    pub notes: Vec<Note>,
}
