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
    let place: String = crate::plain::escaped(&options.place)
        .chars()
        .filter(|c| !matches!(c, '"' | '\\' | '\n'))
        .collect();
    let text = match options.units {
        Units::Si => SI,
        Units::Us => US,
    };
    let text = shaped(&text.replace(PLACE, &place), options.shape, options.units);
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

/// The text with the building of a shape in place of the single slope.
fn shaped(text: &str, shape: StarterShape, units: Units) -> String {
    // Key, then its value in metres and in feet; none: the key is left out.
    type Line = (&'static str, Option<(&'static str, &'static str)>);
    let lines: &[Line] = match shape {
        StarterShape::SingleSlope => return text.to_owned(),
        // The back wall is the house's, so nothing is said of it.
        StarterShape::LeanTo => &[
            ("shape", Some(("\"lean-to\"", "\"lean-to\""))),
            ("back", None),
            ("wall_absorptance", None),
        ],
        StarterShape::Gable => &[
            ("shape", Some(("\"gable\"", "\"gable\""))),
            ("height", Some(("\"3.5 m\"", "\"12 ft\""))),
            ("low_wall", Some(("\"2 m\"", "\"6 ft\""))),
            (
                "glazing",
                Some(("\"twin-wall-10mm\"", "\"twin-wall-10mm\"")),
            ),
            ("front", None),
            ("back", None),
            ("ends", None),
            ("wall_absorptance", None),
        ],
        StarterShape::Hoop => &[
            ("shape", Some(("\"hoop\"", "\"hoop\""))),
            ("height", Some(("\"2.7 m\"", "\"9 ft\""))),
            ("low_wall", None),
            ("glazing", Some(("\"film\"", "\"film\""))),
            ("front", None),
            ("back", None),
            ("ends", None),
            ("wall_absorptance", None),
            ("skirt_depth", None),
            ("skirt", None),
            ("infiltration", None),
            ("infiltration_wind", None),
        ],
    };
    let mut written = String::new();
    for line in text.lines() {
        let key = line.split('=').next().unwrap_or_default().trim();
        let changed = lines
            .iter()
            .find(|(name, _)| *name == key && line.contains('='));
        match changed {
            None => written.push_str(&format!("{line}\n")),
            // Only the building's own keys are changed, and its block names each once.
            Some((name, Some(value))) => {
                let value = if units == Units::Si { value.0 } else { value.1 };
                written.push_str(&format!("{name} = {value}\n"));
            }
            Some((_, None)) => written.push_str(&format!("#{line}\n")),
        }
    }
    written
}

/// What is turned round south of the equator: the side of the sun, and the months of winter.
const TURNED: [(&str, &str); 3] = [
    ("facing = \"S\"", "facing = \"N\""),
    ("October to April", "April to October"),
    ("November to February", "May to August"),
];
