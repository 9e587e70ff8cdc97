//! The demand of the project's household.

use super::problem::household_with_wishes;
use super::{Job, StudyError};
use crate::value::{self, Household, Market};

/// The household, its wishes taken as appetite as the plan takes them, and what it buys at which prices.
///
/// # Errors
/// [`StudyError::Value`] for a figure out of range or a food that is not on file.
pub fn demand(job: &Job) -> Result<(Household, Market), StudyError> {
    let (household, _) = household_with_wishes(job)?;
    let market = value::market(&household)?;
    Ok((household, market))
}
