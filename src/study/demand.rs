//! The demand of the project's household.

use super::{Job, StudyError};
use crate::value::{self, Market};

/// What the household would buy, and at what price.
///
/// # Errors
/// [`StudyError::Value`] for a figure out of range or a food that is not on file.
pub fn market(job: &Job) -> Result<Market, StudyError> {
    let southern = job.site.place.latitude_deg < 0.0;
    Ok(value::market(&job.project.market_household(southern))?)
}
