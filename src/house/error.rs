//! Why a building cannot be simulated.

/// Why a building cannot be simulated.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
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
    /// A weather or sun column has not 8760 entries, or an entry is not finite.
    #[error("the weather column `{column}` is not 8760 finite figures")]
    Weather {
        /// Column name.
        column: &'static str,
    },
    /// The result is not finite: the figures of the building do not belong together.
    #[error("the simulation left the range of numbers at hour {hour} of the year")]
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
