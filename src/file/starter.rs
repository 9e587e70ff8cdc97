//! The starter file: every key with a word on it, sensible values, what is not needed commented out.
//!
//! Lines that begin with `#` and no blank are keys ready to be used; lines with `# ` are for reading.

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
    /// A place on the shelf.
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

/// The text of a starter file. A place that a TOML text could not hold is cleaned of what breaks it.
pub fn starter(options: &StarterOptions) -> String {
    let place: String = crate::plain::escaped(&options.place)
        .chars()
        .filter(|c| !matches!(c, '"' | '\\' | '\n'))
        .collect();
    let text = match options.units {
        Units::Si => SI,
        Units::Us => US,
    };
    text.replace(PLACE, &place)
}
