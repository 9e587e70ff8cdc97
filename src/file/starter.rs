//! The starter file: every key with a word on it, sensible values, what is not needed commented out.
//!
//! Lines that begin with `#` and no blank are keys ready to be used; lines with `# ` are for reading.

use crate::site::climates;
use crate::site::places::{self, Chosen};
use crate::words::worded;

/// Units for people: in which a starter is written and amounts are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
pub enum Units {
    /// Metric, degrees Celsius.
    #[default]
    Si,
    /// Feet, pounds, degrees Fahrenheit.
    Us,
}

worded! {
    /// Shape of the building.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
    #[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
    pub enum StarterShape {
        /// One glazed slope rising to a high insulated wall.
        #[default]
        "single slope" => SingleSlope,
        /// The same against a heated house.
        "lean-to" => LeanTo,
        /// Two slopes and a ridge.
        "gable" => Gable,
        /// Film over bows.
        "hoop" => Hoop,
    }
}

/// What the starter file is made for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StarterOptions {
    /// A place on the shelf, or a town.
    pub place: String,
    /// Shape of the building.
    pub shape: StarterShape,
    /// Units to write in.
    pub units: Units,
}

impl Default for StarterOptions {
    fn default() -> Self {
        Self {
            place: "helena".to_owned(),
            shape: StarterShape::SingleSlope,
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
    let place = crate::plain::escaped(&options.place).replace(['"', '\\', '\n'], "");
    let text = match options.units {
        Units::Si => SI,
        Units::Us => US,
    };
    let text = shaped(&text.replace(PLACE, &place), options.shape, options.units);
    let latitude_deg = match places::choose(&place) {
        Chosen::Shelf(name) => {
            let normals = climates::get(name).and_then(Result::ok);
            normals.map(|normals| normals.place.latitude_deg)
        }
        Chosen::Town(town, _) => Some(town.latitude_deg),
        Chosen::Unclear { .. } => None,
    };
    let turn = |text: String, (north, south): &(&str, &str)| text.replace(north, south);
    match latitude_deg {
        Some(latitude_deg) if latitude_deg < 0.0 => TURNED.iter().fold(text, turn),
        _ => text,
    }
}

/// The text with the building of a shape in place of the single slope.
fn shaped(text: &str, shape: StarterShape, units: Units) -> String {
    // Keys with another value in metres and in feet, and keys that are left out. Only the building's own are changed, and its
    // block names each once.
    type Changed = &'static [(&'static str, &'static str, &'static str)];
    let (changed, left_out): (Changed, &[&str]) = match shape {
        StarterShape::SingleSlope => return text.to_owned(),
        // The back wall is the house's, so nothing is said of it.
        StarterShape::LeanTo => (&[("shape", "lean-to", "lean-to")], &["back"]),
        StarterShape::Gable => (
            &[
                ("shape", "gable", "gable"),
                ("height", "3.5 m", "12 ft"),
                ("low_wall", "2 m", "6 ft"),
                ("glazing", "twin-wall-10mm", "twin-wall-10mm"),
            ],
            &["front", "back", "ends"],
        ),
        StarterShape::Hoop => (
            &[
                ("shape", "hoop", "hoop"),
                ("height", "2.7 m", "9 ft"),
                ("glazing", "film", "film"),
            ],
            &[
                "low_wall",
                "front",
                "back",
                "ends",
                "skirt_depth",
                "skirt",
                "infiltration",
                "infiltration_wind",
            ],
        ),
    };
    let line = |line: &str| {
        let key = line.split_once('=').map_or("", |(key, _)| key.trim());
        match changed.iter().find(|(name, ..)| *name == key) {
            Some((key, si, us)) => {
                let value = if units == Units::Si { si } else { us };
                format!("{key} = \"{value}\"\n")
            }
            None if key == "wall_absorptance" || left_out.contains(&key) => format!("#{line}\n"),
            None => format!("{line}\n"),
        }
    };
    text.lines().map(line).collect()
}

/// What is turned round south of the equator: the side of the sun, and the months of winter.
const TURNED: [(&str, &str); 3] = [
    ("facing = \"S\"", "facing = \"N\""),
    ("October to April", "April to October"),
    ("November to February", "May to August"),
];
