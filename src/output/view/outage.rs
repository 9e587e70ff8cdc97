//! Power, heater or fans fail in the cold.

use chrono::NaiveDate;
use serde::Serialize;

use super::Note;
use crate::output::row::row;

row! {
    /// How long until one temperature is reached at one place.
    pub struct OutageRow {
        /// `as it is`, or `never had a store`.
        building: String, "";
        /// `leaf` or `root zone`, 0.1 m deep.
        place: String, "";
        /// `bare`, or the name of the cover over the bed.
        cover: String, "";
        /// Crop that the limit kills in its hardening of that day; empty for a plain temperature.
        crop: String, "";
        /// Name of the crop for people.
        crop_name: String, "";
        /// The temperature.
        limit_c: f64, "°C";
        /// Hours from the failure until it is reached; empty where it is not within the hours looked ahead.
        hours: Option<u32>, "h";
        /// Lowest within the hours looked ahead.
        lowest_c: f64, "°C";
    }
}

/// Power, heater or fans fail in the cold.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct OutageView {
    /// Where the building stands.
    pub place: String,
    /// What fails: `power`, `heater` or `fans`.
    pub fails: String,
    /// What of this house stands still then: `heater`, `fans`, `heater and fans`; empty where it has none of them.
    pub stands_still: String,
    /// Day of the failure, in the planning year.
    pub date: NaiveDate,
    /// Clock hour at which it does, local standard time.
    pub clock_hour: u32,
    /// Weather year it is taken from, from 1; 0 where only the usual year was run.
    pub weather_year: u32,
    /// Hours looked ahead.
    pub ahead_h: u32,
    /// Mean air outside over the first three days, °C.
    pub spell_mean_c: f64,
    /// Coldest hour outside within the hours looked ahead, °C.
    pub coldest_outside_c: f64,
    /// Lowest leaf temperature in the coldest beds with everything working, °C.
    pub lowest_leaf_working_c: f64,
    /// Hours until each temperature.
    pub rows: Vec<OutageRow>,
    /// Cautions, and what else to know.
    pub notes: Vec<Note>,
}
