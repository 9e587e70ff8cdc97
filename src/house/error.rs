//! Why a building cannot be simulated.

use crate::site::TableError;
use crate::sun::GlazingError;

/// Why a building cannot be simulated.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum HouseError {
    /// A figure of the building is out of its range.
    #[error("{what} is {value}, {must}")]
    OutOfRange {
        /// Which figure of which part.
        what: String,
        /// The figure.
        value: f64,
        /// What it must be.
        must: &'static str,
    },
    /// A list that must not be empty is empty.
    #[error("{what} has no entry")]
    Empty {
        /// Which list.
        what: String,
    },
    /// The weather is not a whole year of plausible figures.
    #[error(transparent)]
    Weather(#[from] TableError),
    /// The glazing's figures are out of range.
    #[error(transparent)]
    Glazing(#[from] GlazingError),
    /// A glazed face with no outdoors behind it.
    #[error("the glazed face {name} has neither outdoors nor the room beside behind it")]
    GlazedInside { name: String },
    /// A wall to a room beside that is not there.
    #[error("the wall {name} leads to a room that is simulated with the house, but there is none")]
    NoRoomBeside { name: String },
    /// A room beside that does not fit its house.
    #[error(
        "{name} does not fit its house: it must have the same walls between in layers, the same inner film, and no beds, store, lamps or room of its own"
    )]
    RoomBeside { name: String },
    /// Something that needs soil in a house without floor on the ground.
    #[error("{what} needs a floor on the ground")]
    NoFloor {
        /// What needs it.
        what: &'static str,
    },
    /// The result is not finite: the figures of the building do not belong together.
    #[error(
        "the air inside leaves -150 to 500 °C at hour {hour} of the year: are gains, heater and cooler those of a building of this size?"
    )]
    NotFinite {
        /// Hour of the year, from 0.
        hour: usize,
    },
    /// The heat balance does not close.
    #[error(
        "the heat balance is off by {residual_pct:.3} % of the throughput, more than {allowed_pct} %"
    )]
    Balance {
        /// Share that is missing, %.
        residual_pct: f64,
        /// Largest share allowed, %.
        allowed_pct: f64,
    },
    /// The start state has another number of nodes than the building.
    #[error("the start state belongs to another building")]
    OtherHouse,
    /// No weather year was given.
    #[error("no weather year to simulate")]
    NoWeather,
}
