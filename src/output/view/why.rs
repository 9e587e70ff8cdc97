//! Where heat comes from and goes, and what would raise the coldest hour.

use serde::Serialize;

use super::{HeatFlow, Note};
use crate::output::row::row;
use crate::phrase::Phrase;

row! {
    /// The building as it is, or with one measure. Coldest hours are medians over the weather years, energy is their mean.
    pub struct MeasureRow {
        /// Name of the measure; `as it is` for the building without any.
        measure: String, "";
        /// What is done.
        what: Phrase, "";
        /// Coldest hour of the leaves in the coldest beds, heater off.
        coldest_leaf_unheated_c: f64, "°C", "Leaf low";
        /// By how much the measure raises it; negative where it lowers it.
        gain_leaf_unheated_k: f64, "K", "Leaf gain";
        /// Coldest hour of the air, heater as it is.
        coldest_air_c: f64, "°C", "Air low";
        /// By how much the measure raises it.
        gain_air_k: f64, "K", "Air gain";
        /// Heat from the heater in a year.
        heater_kwh: f64, "kWh", "Heater uses";
        /// Heat that the measure saves in a year; negative where it costs.
        saved_heater_kwh: f64, "kWh", "Heater saves";
        /// Electricity of the fans in a year.
        fan_kwh: f64, "kWh", "Fan uses";
        /// What heat, fans and lamps then cost less in a year; negative where they cost more, empty where a price is not known.
        saved_cost: Option<f64>, "currency", "Saves a year";
    }
}

row! {
    /// What the store's fan uses beside what it gives.
    pub struct StoreRow {
        /// Heat drawn from the store, usual year.
        drawn_kwh: f64, "kWh";
        /// Heat put into the store, usual year.
        charged_kwh: f64, "kWh";
        /// Electricity that the fans use beyond that of the house without the store, in a year.
        fan_kwh: f64, "kWh";
        /// Heat that the heater gives in a year with the store.
        heater_with_kwh: f64, "kWh";
        /// Heat that it gives without the store.
        heater_without_kwh: f64, "kWh";
        /// Coldest hour of the leaves with the store, heater off.
        coldest_leaf_with_c: f64, "°C";
        /// The same without the store.
        coldest_leaf_without_c: f64, "°C";
    }
}

/// Where heat comes from and goes, and what would raise the coldest hour.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct WhyView {
    /// Where the building stands.
    pub place: String,
    /// Currency of what is saved.
    pub currency: String,
    /// Heat by path and month, settled year.
    pub heat_flows: Vec<HeatFlow>,
    /// The building as it is, then the measures, the one that raises the coldest hour at the leaves most first.
    pub measures: Vec<MeasureRow>,
    /// With and without the store; empty where there is none.
    pub store: Option<StoreRow>,
    /// What else to know.
    pub notes: Vec<Note>,
}
