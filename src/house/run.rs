//! Years of a building: the first, the settled one, and weather years.

use super::{House, HouseError, HouseRun, HouseState, HouseYear};
use crate::site::{UndisturbedGround, Weather};
use crate::solar::SunYear;

/// How a run is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunOptions {
    /// Steps an hour, 1 to 60; weather is interpolated between the middles of the hours when there are more than one.
    pub steps_per_hour: usize,
    /// Day of the year (from 0) on which the building is finished and the first year begins.
    pub finished_day: usize,
    /// Years simulated at most before the settled year is taken as it is.
    pub max_years: usize,
}

impl Default for RunOptions {
    fn default() -> Self {
        Self {
            steps_per_hour: 1,
            finished_day: 172,
            max_years: 25,
        }
    }
}

/// Simulates a building from the day it is finished until a year repeats itself.
///
/// # Errors
/// [`HouseError`] names the first figure that is out of range, or the hour at which the result is not finite.
pub fn simulate(
    house: &House,
    weather: &Weather,
    sun: &SunYear,
    ground: &UndisturbedGround,
    options: &RunOptions,
) -> Result<HouseRun, HouseError> {
    let _ = (house, weather, sun, ground, options);
    Err(HouseError::NoWeather)
}

/// Simulates consecutive weather years, from the state in which a settled year ends.
///
/// # Errors
/// As [`simulate`].
pub fn simulate_years(
    house: &House,
    weathers: &[Weather],
    sun: &SunYear,
    ground: &UndisturbedGround,
    start: &HouseState,
    options: &RunOptions,
) -> Result<Vec<HouseYear>, HouseError> {
    let _ = (house, weathers, sun, ground, start, options);
    Err(HouseError::NoWeather)
}
