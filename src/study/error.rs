//! Why a study cannot be made.

use crate::crops::Table;
use crate::file::{EditError, FileError};
use crate::house::HouseError;
use crate::plan::PlanFileError;
use crate::site::places::EstimateError;
use crate::site::{NormalsError, WeatherError};
use crate::value::ValueError;
use crate::value::receipts::BadRow;

/// Why a study cannot be made.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum StudyError {
    /// The text of a project or of a crop file cannot be used.
    #[error("{0}")]
    File(#[from] FileError),
    /// A changed building cannot be written into the file.
    #[error("{0}")]
    Edit(#[from] EditError),
    /// A changed building was written into the file, but the file then describes another.
    #[error("the changed building cannot be written as a change of this file")]
    NotTheSame,
    /// The weather file cannot be used.
    #[error("{0}")]
    Weather(#[from] WeatherError),
    /// The climate of a place cannot be used.
    #[error("{0}")]
    Normals(#[from] NormalsError),
    /// No climate can be estimated for a place.
    #[error("{0}")]
    Estimate(#[from] EstimateError),
    /// A written place says nothing that can be taken.
    #[error("{wrong}; {right}")]
    Place {
        /// What is wrong.
        wrong: String,
        /// What would be right.
        right: String,
    },
    /// The building cannot be simulated.
    #[error("{0}")]
    House(#[from] HouseError),
    /// A figure of the household or its costs cannot be used.
    #[error("{0}")]
    Value(#[from] ValueError),
    /// Rows of the receipts cannot be used.
    #[error("{}", receipts(file, rows))]
    Receipts {
        /// File.
        file: String,
        /// The rows, in the order of the file.
        rows: Vec<BadRow>,
    },
    /// The project names receipts whose text was not handed over.
    #[error("the receipts `{0}` were not read")]
    NoReceiptsText(String),
    /// A saved plan cannot be used.
    #[error("{0}")]
    PlanFile(#[from] PlanFileError),
    /// A name that nothing on the shelf has.
    #[error("there is no {what} `{name}`{}", near.as_ref().map_or_else(|| elsewhere(what), |near| format!("; did you mean `{near}`?")))]
    Unknown {
        /// What was looked for.
        what: &'static str,
        /// The name given.
        name: String,
        /// The nearest name there is.
        near: Option<String>,
    },
    /// A plain name that several crops have.
    #[error("there are several kinds of `{name}`: {}; name one of them", kinds.join(", "))]
    SeveralKinds {
        /// The name given.
        name: String,
        /// Ids of the crops that have it.
        kinds: Vec<String>,
    },
    /// A crop is not grown by the way asked for.
    #[error("`{crop}` is not grown that way; leave the way out, or see `bedyear crops {crop}`")]
    NotThatWay {
        /// Crop id.
        crop: String,
    },
    /// A plan from a day on which there is no building.
    #[error(
        "the plan begins on {start}, before the building is finished on {finished}; begin on that day or later"
    )]
    BeforeFinished {
        /// First day of the plan.
        start: chrono::NaiveDate,
        /// Day the building is finished.
        finished: chrono::NaiveDate,
    },
    /// A plan looked back on before it begins.
    #[error("the plan begins on {start}: on {at} there is nothing yet to look back on")]
    BeforePlan {
        /// First day of the plan.
        start: chrono::NaiveDate,
        /// Day asked for.
        at: chrono::NaiveDate,
    },
    /// Something is to fail that the building has not.
    #[error("there is no {what} that could fail: the project names none")]
    NothingToFail {
        /// What was to fail.
        what: &'static str,
    },
    /// Something stands in a bed before it was sown.
    #[error("`{crop}` is said to stand in a bed on {start}, but came there on {since} only")]
    NotYetSown {
        /// Crop id.
        crop: String,
        /// Day it came into the bed.
        since: chrono::NaiveDate,
        /// First day of the plan.
        start: chrono::NaiveDate,
    },
    /// Nobody waits for the answer any more (see [`super::Job::given_up`]).
    #[error("given up for newer work")]
    GivenUp,
    /// Nothing was simulated that a bed could stand in.
    #[error("no year was simulated")]
    NoBed,
    /// A plan from the journal needs a first day.
    #[error("a plan from the journal needs a day to begin on: --from YYYY-MM-DD, or --from today")]
    NoStart,
    /// A building cannot be tuned to a record.
    #[error("{0}")]
    Tune(String),
    /// The project names a weather file whose text was not handed over.
    #[error("the weather file `{0}` was not read")]
    NoWeatherText(String),
}

/// Where the names of a kind are listed.
fn elsewhere(what: &str) -> String {
    let listed = (what == "crop").then_some("; `bedyear crops` lists them all");
    listed.unwrap_or_default().to_owned()
}

/// Rows named in one message; a file of another kind is wrong in every row (own choice).
const ROWS_NAMED: usize = 20;

/// One line for each bad row.
fn receipts(file: &str, rows: &[BadRow]) -> String {
    let named = rows.iter().take(ROWS_NAMED);
    let mut lines: Vec<String> = named.map(|row| format!("{file}: {row}")).collect();
    if rows.len() > ROWS_NAMED {
        lines.push(format!("{file}: and {} more rows", rows.len() - ROWS_NAMED));
    }
    lines.join("\n")
}

impl StudyError {
    pub(super) fn unknown(what: &'static str, name: &str, near: Option<&str>) -> Self {
        Self::Unknown {
            what,
            name: name.to_owned(),
            near: near.map(str::to_owned),
        }
    }

    pub(super) fn no_crop(table: &Table, name: &str) -> Self {
        Self::unknown("crop", name, table.nearest(name))
    }

    /// Is it the input that is wrong, rather than the work that failed?
    pub fn is_input(&self) -> bool {
        !matches!(
            self,
            StudyError::House(HouseError::Balance { .. } | HouseError::NotFinite { .. })
        )
    }
}
