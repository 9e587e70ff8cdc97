//! The demand of the project's household.

use super::{Job, StudyError};
use crate::value::{self, Household, Market};

/// The household, and what it buys at which prices.
///
/// # Errors
/// [`StudyError::Value`] for a figure out of range or a food that is not on file.
pub fn demand(job: &Job) -> Result<(Household, Market), StudyError> {
    let household = job.household();
    let market = value::market(&household)?;
    Ok((household, market))
}
