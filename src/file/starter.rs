//! The starter file: every key with a word on it, sensible values, what is not needed commented out.
//!
//! Lines that begin with `#` and no blank are keys ready to be used; lines with `# ` are for reading.

use crate::site::climates;
use crate::site::places::{self, Chosen};

/// Units in which the starter is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Units {
    /// Metres, °C, kW.
    #[default]
    Si,
    /// Feet, °F, Btu/h.
    Us,
}

/// What the starter file is made for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StarterOptions {
    /// A place on the shelf, or a town.
    pub place: String,
    /// Units to write in.
    pub units: Units,
}

impl Default for StarterOptions {
    fn default() -> Self {
        Self {
            place: "helena".to_owned(),
            units: Units::Si,
        }
    }
}

const SI: &str = include_str!("starter_si.toml");
const US: &str = include_str!("starter_us.toml");
/// Stands for the place in the texts.
const PLACE: &str = "PLACE";

/// The text of a starter file; for a place south of the equator it looks north and its winter is in July. A place that a TOML text could not hold is cleaned of what breaks it.
pub fn starter(options: &StarterOptions) -> String {
    let place: String = crate::plain::escaped(&options.place)
        .chars()
        .filter(|c| !matches!(c, '"' | '\\' | '\n'))
        .collect();
    let text = match options.units {
        Units::Si => SI,
        Units::Us => US,
    };
    let text = text.replace(PLACE, &place);
    let latitude_deg = match places::choose(&place) {
        Chosen::Shelf(name) => climates::get(name)
            .and_then(Result::ok)
            .map(|normals| normals.place.latitude_deg),
        Chosen::Town(town, _) => Some(town.latitude_deg),
        Chosen::Unclear { .. } => None,
    };
    let southern = latitude_deg.is_some_and(|latitude_deg| latitude_deg < 0.0);
    if southern {
        TURNED
            .iter()
            .fold(text, |text, (north, south)| text.replace(north, south))
    } else {
        text
    }
}

/// What is turned round south of the equator: the side of the sun, and the months of winter.
const TURNED: [(&str, &str); 3] = [
    ("facing = \"S\"", "facing = \"N\""),
    ("October to April", "April to October"),
    ("November to February", "May to August"),
];
