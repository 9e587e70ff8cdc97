//! Where heat comes from and goes, and what would raise the coldest hour.

use serde::Serialize;

use super::{HeatFlow, Note};
use crate::output::row::row;
use crate::phrase::Phrase;
use crate::study::{Outcome, StoreOutcome};

row! {
    /// The building as it is, or with one measure. Coldest hours are medians over the weather years, energy is their mean.
    pub struct MeasureRow of (name: &str, what: &Phrase, with: &Outcome, as_is: &Outcome) {
        /// Name of the measure; `as it is` for the building without any.
        measure: String, "" => name.to_owned();
        /// What is done.
        what: Phrase, "" => what.clone();
        /// Coldest hour of the leaves in the coldest beds, heater off.
        coldest_leaf_unheated_c: f64, "°C", "Leaf low" => with.coldest_leaf_unheated_c;
        /// By how much the measure raises it; negative where it lowers it.
        gain_leaf_unheated_k: f64, "K", "Leaf gain" => with.coldest_leaf_unheated_c - as_is.coldest_leaf_unheated_c;
        /// Coldest hour of the air, heater as it is.
        coldest_air_c: f64, "°C", "Air low" => with.coldest_air_c;
        /// By how much the measure raises it.
        gain_air_k: f64, "K", "Air gain" => with.coldest_air_c - as_is.coldest_air_c;
        /// Heat from the heater in a year.
        heater_kwh: f64, "kWh", "Heater uses" => with.heater_kwh;
        /// Heat that the measure saves in a year; negative where it costs.
        saved_heater_kwh: f64, "kWh", "Heater saves" => as_is.heater_kwh - with.heater_kwh;
        /// Electricity of the fans in a year.
        fan_kwh: f64, "kWh", "Fan uses" => with.fan_kwh;
        /// What heat, fans and lamps then cost less in a year; negative where they cost more, empty where a price is not known.
        saved_cost: Option<f64>, "currency", "Saves a year" => as_is.energy_cost.zip(with.energy_cost).map(|(before, after)| before - after);
    }
}

row! {
    /// What the store's fan uses beside what it gives.
    pub struct StoreRow of (store: &StoreOutcome, as_is: &Outcome) {
        /// Heat drawn from the store, usual year.
        drawn_kwh: f64, "kWh" => store.drawn_kwh;
        /// Heat put into the store, usual year.
        charged_kwh: f64, "kWh" => store.charged_kwh;
        /// Electricity that the fans use beyond that of the house without the store, in a year.
        fan_kwh: f64, "kWh" => as_is.fan_kwh - store.without.fan_kwh;
        /// Heat that the heater gives in a year with the store.
        heater_with_kwh: f64, "kWh" => as_is.heater_kwh;
        /// Heat that it gives without the store.
        heater_without_kwh: f64, "kWh" => store.without.heater_kwh;
        /// Coldest hour of the leaves with the store, heater off.
        coldest_leaf_with_c: f64, "°C" => as_is.coldest_leaf_unheated_c;
        /// The same without the store.
        coldest_leaf_without_c: f64, "°C" => store.without.coldest_leaf_unheated_c;
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
