//! What a later stage would refuse is refused as the project is opened, where it stands in the file: what `check` accepts,
//! every verb runs.

use super::problem::{horizon, known_crop};
use super::{Job, StudyError};
use crate::house::{HouseError, check_house};
use crate::plan::Closing;
use crate::value::{self, ValueError};

/// Runs the tests of all stages that hang on the file alone.
///
/// # Errors
/// [`StudyError::File`] with line and column of the key that is at fault.
pub(super) fn accept(job: &Job) -> Result<(), StudyError> {
    let written = &job.project.written;
    let refused = |key: &str, wrong: String| StudyError::File(written.refused(key, wrong, None));
    check_house(&job.project.house)
        .map_err(|error| refused(house_key(&error), error.to_string()))?;
    let horizon = horizon(job).map_err(|error| refused("year.from", error.to_string()))?;
    if horizon.closing == Closing::Open {
        standing(job, horizon.start)?;
    }
    money(job).map_err(|error| refused(&money_key(job, &error), error.to_string()))
}

/// What stands in the beds when a plan from a day on begins.
fn standing(job: &Job, start: chrono::NaiveDate) -> Result<(), StudyError> {
    let written = &job.project.written;
    for standing in job.project.beds.iter().flat_map(|bed| &bed.standing) {
        let Err(error) = known_crop(job, standing, start) else {
            continue;
        };
        let of_crop = matches!(error, StudyError::Unknown { .. });
        let key = match (written.has("standing"), of_crop) {
            (true, true) => "standing.crop",
            (true, false) => "standing.sown",
            (false, true) => "bed.stands",
            (false, false) => "bed.sown",
        };
        return Err(written.refused(key, error.to_string(), None).into());
    }
    Ok(())
}

/// Household, prices and costs.
fn money(job: &Job) -> Result<(), ValueError> {
    let household = job.household();
    let own = job.project.own_costs();
    let beds_m2 = job.project.beds.iter().map(|bed| bed.area_m2).sum();
    value::market(&household)?;
    value::per_usd(&household)?;
    value::tariff(&household, &own)?;
    value::fixed_costs(&household, &own, &[], beds_m2)?;
    Ok(())
}

/// The key that a figure of money or of the household comes from.
fn money_key(job: &Job, error: &ValueError) -> String {
    let key = match error {
        ValueError::NoExchangeRate { .. } => "money.currency",
        ValueError::UnknownRegion { .. } => "money.region",
        ValueError::NoGroceries => "money.groceries",
        ValueError::UnknownFood { food, .. } => {
            let own = format!("money.prices.{food}");
            if job.project.written.has(&own) {
                return own;
            }
            "household"
        }
        ValueError::OutOfRange { what, .. } if what.starts_with("efficiency") => {
            "heater.efficiency"
        }
        _ => "money",
    };
    key.to_owned()
}

/// The table that a figure of the building comes from.
fn house_key(error: &HouseError) -> &'static str {
    /// What a message says the figure is of, and the table it stands in.
    const PARTS: [(&str, &str); 9] = [
        ("sun that enters", "heavy.sun_share"),
        ("heavy and light", "heavy.sun_share"),
        ("store", "store"),
        ("heater", "heater"),
        ("cooler", "cooler"),
        ("lamp", "lamp"),
        ("vents", "vents"),
        ("scheduled fan", "fan"),
        ("the floor", "ground"),
    ];
    let said = error.to_string();
    let part = PARTS.iter().find(|(of, _)| said.contains(of));
    part.map_or("building", |(_, table)| table)
}
