//! Figures that a simulation can work with.

use super::{House, HouseError, RunOptions};
use crate::calendar::HOURS_PER_YEAR;
use crate::site::Weather;
use crate::solar::SunYear;

/// Refuses a building, weather or options that cannot be simulated.
pub(super) fn check(
    house: &House,
    weather: &Weather,
    sun: &SunYear,
    options: &RunOptions,
) -> Result<(), HouseError> {
    if weather.check().is_err() || sun.hours.len() != HOURS_PER_YEAR {
        return Err(HouseError::Weather { column: "all" });
    }
    if house.surfaces.is_empty() {
        return Err(HouseError::Empty {
            what: "the list of surfaces".into(),
        });
    }
    let _ = options;
    Ok(())
}
