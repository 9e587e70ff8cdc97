//! Words that a key may hold, each with what it means, where no type of a stage has them.

use crate::house::Soil;
use crate::value::{Country, Fuel};
use crate::words::worded;

/// The words of a list, in its order.
pub const fn words<T, const N: usize>(list: &[(&'static str, T); N]) -> [&'static str; N] {
    let mut words = [""; N];
    let mut at = 0;
    while at < N {
        words[at] = list[at].0;
        at += 1;
    }
    words
}

worded! {
    /// What a face encloses, where a thing stands.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
    pub enum Of {
        #[default]
        "house" => House,
        "room" => Room,
        "both" => Both,
    }
}

worded! {
    /// What lies behind a face.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
    pub enum BehindWord {
        #[default]
        "outdoor" => Outdoor,
        "sheltered air" => ShelteredAir,
        "ground" => Ground,
        "room" => Room,
        "nothing" => Nothing,
    }
}

worded! {
    /// Does a face let light through?
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum Pane {
        "opaque" => Opaque,
        "glazed" => Glazed,
    }
}

worded! {
    /// Does a bed lie along an outer wall?
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
    pub enum Position {
        #[default]
        "middle" => Middle,
        "edge" => Edge,
    }
}

/// Where the energy of a heater or a gain comes from; nothing for what is free.
pub const ENERGIES: [(&str, Option<Fuel>); 9] = [
    ("electricity", Some(Fuel::Electricity)),
    ("heat pump", Some(Fuel::HeatPump)),
    ("natural gas", Some(Fuel::NaturalGas)),
    ("propane", Some(Fuel::Propane)),
    ("oil", Some(Fuel::HeatingOil)),
    ("kerosene", Some(Fuel::Kerosene)),
    ("wood", Some(Fuel::Firewood)),
    ("pellets", Some(Fuel::Pellets)),
    ("free", None),
];

/// Whose statistics are on file.
pub const COUNTRIES: [(&str, Country); 3] = [
    ("United States", Country::UnitedStates),
    ("Canada", Country::Canada),
    ("United Kingdom", Country::UnitedKingdom),
];

const fn soil(conductivity_w_mk: f64, heat_capacity_j_m3k: f64, water_m3_m3: f64) -> Soil {
    Soil {
        conductivity_w_mk,
        heat_capacity_j_m3k,
        water_m3_m3,
    }
}

/// Conductivity, heat capacity and water of each soil.
///
/// # Source
/// Sand, clay and peat: de Vries (1963), Smits et al. (2010), O'Donnell et al. (2009) as tabulated by Moene & van
/// Dam, Transport in the Atmosphere-Vegetation-Soil Continuum (read). Loam: mean of sand and clay at the same water
/// content (assumption). The three ground kinds of design: ISO 13370 (from memory), their water an assumption.
pub const SOILS: [(&str, Soil); 12] = [
    ("moist loam", soil(1.5, 2.2e6, 0.20)),
    ("moist sand", soil(2.1, 2.12e6, 0.20)),
    ("wet sand", soil(2.5, 2.96e6, 0.40)),
    ("dry sand", soil(0.24, 1.28e6, 0.0)),
    ("moist clay", soil(0.9, 2.27e6, 0.20)),
    ("wet clay", soil(1.4, 3.1e6, 0.40)),
    ("dry clay", soil(0.15, 1.43e6, 0.0)),
    ("moist peat", soil(0.27, 2.13e6, 0.45)),
    ("wet peat", soil(0.50, 4.01e6, 0.60)),
    ("clay or silt", soil(1.5, 3.0e6, 0.30)),
    ("sand or gravel", soil(2.0, 2.0e6, 0.15)),
    ("rock", soil(3.5, 2.0e6, 0.0)),
];
