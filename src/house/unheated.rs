//! A house without its heater, lived through where that makes a difference.
//!
//! Until a heater works for the first time in a winter the house is what it would be without it. So the house is left
//! without its heater from the week on in which it is first needed, and followed until it is needed no more; a pause of
//! [`PAUSE_WEEKS`] makes the two alike again.

use std::ops::Range;
use std::sync::Arc;

use rayon::prelude::*;

use super::affine::{PLAIN, WITH_NODE};
use super::run::Plant;
use super::{House, HouseError, HouseState, HouseYear, InnerFilm};
use crate::calendar::{HOURS_PER_DAY, WEEKS_PER_YEAR, days_of_week, first_day_of_week};
use crate::numbers::lowest;
use crate::site::{UndisturbedGround, Weathers};
use crate::solar::SunYear;

/// Weeks without heat after which a house is taken to be what it would be without its heater (own choice; what the ground of a
/// summer still holds of a winter's heat moved the coldest hours of three buildings, held at 2 to 18 °C, by 0.002 K at most).
pub(super) const PAUSE_WEEKS: usize = 8;

/// The weeks of a year in which the heater works.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HeatedWeeks {
    /// A bit for each week of the year, the lowest for the first.
    pub(super) heated: u64,
    /// Heated weeks after a pause, and the house as each begins.
    pub(super) begun: Vec<(usize, Arc<HouseState>)>,
}

/// Days of consecutive weather years and the coldest hour of the air on each, °C.
pub type ColdDays = (Range<usize>, Vec<f64>);

/// Weeks in a row, counted from the first year, in which the heater works; pauses shorter than [`PAUSE_WEEKS`] count in.
struct Winter<'a> {
    /// Weeks of the first year that stand for the autumn before it.
    before: Range<usize>,
    weeks: Range<usize>,
    begun: &'a HouseState,
}

/// Simulates a house without its heater where that differs from the house with it, of which the heated weeks of all weather years
/// are known: gives the days and their coldest hours. None where the heater pauses so seldom that the whole must be lived.
///
/// The first year's January follows on an autumn like the first year's own.
///
/// # Errors
/// As [`super::simulate_each`], and what `goes_on` says before each winter.
pub fn cold_days_without<E: From<HouseError> + Send>(
    without: &House,
    weathers: &Weathers,
    sky: (&SunYear, &UndisturbedGround),
    years: &[&HeatedWeeks],
    goes_on: &(impl Fn() -> Result<(), E> + Sync),
) -> Result<Option<Vec<ColdDays>>, E> {
    let Some(winters) = winters(years) else {
        return Ok(None);
    };
    let plant = Plant::new(without, sky.1, &weathers.year(0));
    let lived = winters.par_iter().map(|winter| {
        goes_on()?;
        match without.inner_film {
            InnerFilm::ToAir => plant.live::<PLAIN, E>(weathers, sky, winter),
            InnerFilm::RadiantNode => plant.live::<WITH_NODE, E>(weathers, sky, winter),
        }
    });
    lived.collect::<Result<Vec<ColdDays>, E>>().map(Some)
}

/// All winters of consecutive years; none where one lasts a year or longer.
fn winters<'a>(years: &[&'a HeatedWeeks]) -> Option<Vec<Winter<'a>>> {
    let mut winters: Vec<Winter> = Vec::new();
    let mut of_first = None;
    for (at, year) in years.iter().enumerate() {
        for place in (0..WEEKS_PER_YEAR).filter(|week| year.heated >> week & 1 == 1) {
            let week = at * WEEKS_PER_YEAR + place;
            match winters.last_mut() {
                Some(last) if week < last.weeks.end + PAUSE_WEEKS => last.weeks.end = week + 1,
                _ => winters.push(Winter {
                    before: 0..0,
                    weeks: week..week + 1,
                    begun: year
                        .begun
                        .iter()
                        .find(|begun| begun.0 == place)
                        .map(|begun| &begun.1)?,
                }),
            }
            if at == 0 {
                of_first = winters.last().map(|last| (last.weeks.clone(), last.begun));
            }
        }
    }
    if winters
        .iter()
        .any(|winter| winter.weeks.len() >= WEEKS_PER_YEAR)
    {
        return None;
    }
    // Does the first winter go on from the autumn before?
    if let (Some(first), Some((autumn, begun))) = (winters.first_mut(), of_first)
        && autumn.start > first.weeks.start
        && first.weeks.start + WEEKS_PER_YEAR < autumn.end + PAUSE_WEEKS
    {
        *first = Winter {
            before: autumn.start..WEEKS_PER_YEAR,
            weeks: 0..first.weeks.end,
            begun,
        };
    }
    Some(winters)
}

impl Plant<'_> {
    fn live<const N: usize, E: From<HouseError>>(
        &self,
        weathers: &Weathers,
        sky: (&SunYear, &UndisturbedGround),
        winter: &Winter,
    ) -> Result<ColdDays, E> {
        let first = winter.weeks.start / WEEKS_PER_YEAR;
        let years = first..(winter.weeks.end - 1) / WEEKS_PER_YEAR + 1;
        let years: Vec<_> = years.map(|at| weathers.year(at)).collect();
        let mut runner = self.runner::<N>(&years[0], sky, 0);
        if !runner.load(winter.begun) {
            return Err(HouseError::OtherHouse.into());
        }
        let hours = |week: usize| {
            let day = first_day_of_week(week % WEEKS_PER_YEAR);
            day * HOURS_PER_DAY..(day + days_of_week(week)) * HOURS_PER_DAY
        };
        for week in winter.before.clone() {
            runner.run(hours(week), None)?;
        }
        let mut written = HouseYear::blank(self.frame.house);
        let mut coldest_c = Vec::new();
        for week in winter.weeks.clone() {
            if week % WEEKS_PER_YEAR == 0 {
                runner.under(&years[week / WEEKS_PER_YEAR - first]);
            }
            runner.run(hours(week), Some(&mut written))?;
            let days = written.air_c[hours(week)].chunks(HOURS_PER_DAY);
            coldest_c.extend(days.map(lowest));
        }
        let begin = first_day_of_week(winter.weeks.start);
        Ok((begin..begin + coldest_c.len(), coldest_c))
    }
}
