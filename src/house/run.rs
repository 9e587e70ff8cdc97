//! Years of a building: the first, the settled one, and weather years.

use std::borrow::Cow;
use std::sync::Arc;

use rayon::prelude::*;

use super::affine::{PLAIN, Room, WITH_NODE};
use super::bed::Bed;
use super::check::check;
use super::handling::Laid;
use super::hours::{Runner, Space};
use super::on_glazing::OnGlazing;
use super::prepare::{Frame, Year};
use super::soil::Column;
use super::stage::State;
use super::unheated::PAUSE_WEEKS;
use super::vapour::vapour_kpa;
use super::wall::Wall;
use super::{Beside, HeatedWeeks, House, HouseError, HouseRun, HouseState, HouseYear, InnerFilm};
use crate::calendar::{
    DAYS_PER_YEAR, HOURS_PER_DAY, HOURS_PER_YEAR, WEEKS_PER_YEAR, days_of_week, first_day_of_week,
};
use crate::site::{UndisturbedGround, Weather, Weathers};
use crate::solar::SunYear;

/// Largest difference between two years that counts as the same year, K.
const SETTLED_K: f64 = 0.05;
/// Drift of the soil's state over a year below which it counts as settled, K: less than half of [`SETTLED_K`], since
/// soil that freezes in one year and not in the next moves a night by more than the drift itself (own choice).
const SETTLED_STATE_K: f64 = 0.02;
/// Weather years that one thread runs one after the other.
const YEARS_PER_GROUP: usize = 5;
/// First hour of July.
const MIDYEAR_HOUR: usize = 181 * HOURS_PER_DAY;

/// How a run is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunOptions {
    /// Day of the year (from 0) on which the building is finished and the first year begins.
    pub finished_day: usize,
    /// Years simulated at most before the settled year is taken as it is, at least 2.
    pub max_years: usize,
}

impl Default for RunOptions {
    fn default() -> Self {
        Self {
            finished_day: 172,
            max_years: 25,
        }
    }
}

/// A building, and the room beside it.
pub(super) struct Plant<'a> {
    pub(super) frame: Frame<'a>,
    beside: Option<(&'a Beside, Frame<'a>)>,
}

impl<'a> Plant<'a> {
    pub(super) fn new(house: &'a House, ground: &UndisturbedGround, weather: &Weather) -> Self {
        let beside = house.beside.as_deref();
        Self {
            frame: Frame::new(house, ground, weather),
            beside: beside.map(|beside| (beside, Frame::new(&beside.room, ground, weather))),
        }
    }

    /// The house, and the room beside it, at the beginning of an hour, fresh.
    pub(super) fn runner<'p, const N: usize>(
        &'p self,
        weather: &'p Weather,
        (sun, ground): (&'p SunYear, &'p UndisturbedGround),
        hour: usize,
    ) -> Runner<'p, N> {
        let space = |frame: &'p Frame<'p>| {
            let year = Year {
                frame,
                weather,
                sun,
                ground,
            };
            Space::new(year, fresh(frame, weather, hour))
        };
        let beside = self.beside.as_ref();
        let beside = beside.map(|(beside, frame)| (*beside, space(frame)));
        Runner::new(space(&self.frame), beside)
    }
}

/// Undisturbed ground, everything else at the outdoor temperature of the hour.
fn fresh<const N: usize>(frame: &Frame, weather: &Weather, hour: usize) -> State<N> {
    let air_c = weather.temp_air_c[hour];
    let vapour_kpa = vapour_kpa(air_c, weather.relative_humidity_pct[hour]);
    let columns = frame.mesh.as_ref().map_or_else(Vec::new, |mesh| {
        let mut temps = vec![0.0; mesh.len()];
        let day = (hour / HOURS_PER_DAY) as f64;
        mesh.of(0).undisturbed_c(day, &mut temps);
        (0..frame.beds)
            .map(|index| Column::new(mesh.of(index), &temps))
            .collect()
    });
    let walls = frame.layout.shapes.iter();
    State {
        room: Room {
            air_c,
            vapour_kpa,
            radiant_c: air_c,
        },
        sweats: Default::default(),
        walls: walls.map(|shape| Wall::new(shape, air_c)).collect(),
        columns,
        beds: vec![Bed::new(air_c, vapour_kpa); frame.beds],
        laid: vec![Laid::default(); frame.beds],
        on_glazing: OnGlazing::new(&frame.layout),
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
    check(house, weather, ground)?;
    match house.inner_film {
        InnerFilm::ToAir => settle::<PLAIN>(house, weather, sun, ground, options),
        InnerFilm::RadiantNode => settle::<WITH_NODE>(house, weather, sun, ground, options),
    }
}

fn settle<const N: usize>(
    house: &House,
    weather: &Weather,
    sun: &SunYear,
    ground: &UndisturbedGround,
    options: &RunOptions,
) -> Result<HouseRun, HouseError> {
    let plant = Plant::new(house, ground, weather);
    let start = options.finished_day % DAYS_PER_YEAR * HOURS_PER_DAY;
    let mut runner = plant.runner::<N>(weather, (sun, ground), start);
    let mut first = HouseYear::blank(house);
    let mut begun = HouseState::default();
    runner.save(&mut begun);
    runner.run(start..start + HOURS_PER_YEAR, Some(&mut first))?;
    first.close(house, plant.frame.pressure_kpa)?;
    let mut years = 1;
    let mut settled = HouseYear::blank(house);
    let mut before: Option<HouseYear> = None;
    loop {
        years += 1;
        runner.settle_ahead(&begun);
        runner.save(&mut begun);
        let [midyear, end] = runner.marked_year(start, &mut settled)?;
        let drift = runner.drift_k(&begun);
        let hours = largest_difference(before.as_ref().unwrap_or(&first), &settled);
        if drift < SETTLED_STATE_K || hours < SETTLED_K || years >= options.max_years {
            settled.close(house, plant.frame.pressure_kpa)?;
            return Ok(HouseRun {
                first,
                settled,
                years_to_settle: years,
                settle_difference_k: hours.min(drift),
                midyear,
                end,
            });
        }
        let mut next = before.unwrap_or_else(|| HouseYear::blank(house));
        std::mem::swap(&mut next, &mut settled);
        before = Some(next);
    }
}

impl<const N: usize> Runner<'_, N> {
    /// A year from hour `start` of one calendar year to the same hour of the next, written over `written`; gives the states
    /// of midyear and of New Year, from which later years start.
    fn marked_year(
        &mut self,
        start: usize,
        written: &mut HouseYear,
    ) -> Result<[HouseState; 2], HouseError> {
        written.begin_again();
        let end = start + HOURS_PER_YEAR;
        let coming = |hour: usize| hour + if hour > start { 0 } else { HOURS_PER_YEAR };
        let mut marks = [(coming(MIDYEAR_HOUR), 0), (coming(0), 1)];
        marks.sort_unstable();
        let mut states = [HouseState::default(), HouseState::default()];
        let mut at = start;
        for (mark, place) in marks {
            self.run(at..mark, Some(&mut *written))?;
            self.save(&mut states[place]);
            at = mark;
        }
        self.run(at..end, Some(written))?;
        Ok(states)
    }

    /// A calendar year in which the weeks are noted in which the heater works; `pause` counts the weeks without it so far, `begun` is
    /// the house as the last of them began.
    fn noted_year(
        &mut self,
        written: &mut HouseYear,
        (pause, begun): &mut (usize, HouseState),
    ) -> Result<(), HouseError> {
        let mut noted = HeatedWeeks::default();
        for week in 0..WEEKS_PER_YEAR {
            let day = first_day_of_week(week);
            let hours = day * HOURS_PER_DAY..(day + days_of_week(week)) * HOURS_PER_DAY;
            let paused = *pause >= PAUSE_WEEKS;
            if paused {
                self.save(begun);
            }
            self.run(hours.clone(), Some(&mut *written))?;
            *pause += 1;
            if written.heater_w[hours].iter().any(|heat_w| *heat_w > 0.0) {
                *pause = 0;
                noted.heated |= 1 << week;
                let state = paused.then(|| (week, Arc::new(begun.clone())));
                noted.begun.extend(state);
            }
        }
        written.heated = noted;
        Ok(())
    }
}

fn largest_difference(a: &HouseYear, b: &HouseYear) -> f64 {
    let column = |a: &[f64], b: &[f64]| {
        a.iter()
            .zip(b)
            .map(|(a, b)| (a - b).abs())
            .fold(0.0, f64::max)
    };
    column(&a.air_c, &b.air_c)
        .max(column(&a.root_zone_c, &b.root_zone_c))
        .max(column(&a.store_c, &b.store_c))
        .max(match (&a.beside, &b.beside) {
            (Some(a), Some(b)) => largest_difference(a, b),
            _ => 0.0,
        })
}

/// Simulates consecutive weather years, from the states of a settled year; of each only what `of` makes of it, by its place, is
/// kept: the hours of many would fill the memory.
///
/// Years are run in groups of five, in parallel; the groups do not depend on the number of threads. The first group begins in
/// the settled state of 1 January. Every later one begins in the settled state of 1 July and lives through the second
/// half of the year before it, so that the soil remembers that year's own autumn. What it forgets are earlier years'
/// departures from the usual, by then deep in the soil (tested to stay below 0.1 K against years that are chained one
/// to the other).
///
/// # Errors
/// As [`simulate`]; or the states belong to another building; and what `of` refuses.
pub fn simulate_each<T: Send, E: From<HouseError> + Send>(
    house: &House,
    weathers: &Weathers,
    sky: (&SunYear, &UndisturbedGround),
    run: &HouseRun,
    of: impl Fn(usize, &HouseYear) -> Result<T, E> + Sync,
) -> Result<Vec<T>, E> {
    let weathers = (weathers.len(), |at: usize| weathers.year(at));
    simulate_groups(house, weathers, sky, run, YEARS_PER_GROUP, of)
}

/// Consecutive weather years with all hours, every year chained to the one before, on one thread.
pub fn simulate_years_chained(
    house: &House,
    weathers: &[Weather],
    sky: (&SunYear, &UndisturbedGround),
    run: &HouseRun,
) -> Result<Vec<HouseYear>, HouseError> {
    let all = weathers.len().max(1);
    let years = |at: usize| Cow::Borrowed(&weathers[at]);
    let weathers = (weathers.len(), years);
    simulate_groups(house, weathers, sky, run, all, |_, year| Ok(year.clone()))
}

/// Years in groups; `weathers` are how many, and each by its place.
fn simulate_groups<'w, T: Send, E: From<HouseError> + Send>(
    house: &House,
    (count, weather): (usize, impl Fn(usize) -> Cow<'w, Weather> + Sync),
    (sun, ground): (&SunYear, &UndisturbedGround),
    run: &HouseRun,
    group: usize,
    of: impl Fn(usize, &HouseYear) -> Result<T, E> + Sync,
) -> Result<Vec<T>, E> {
    if count == 0 {
        return Err(HouseError::NoWeather.into());
    }
    let first = weather(0);
    check(house, &first, ground)?;
    let plant = Plant::new(house, ground, &first);
    let starts: Vec<usize> = (0..count).step_by(group).collect();
    let groups: Vec<Result<Vec<T>, E>> = starts
        .into_par_iter()
        .map(|start| {
            let years: Vec<Cow<Weather>> =
                (start..count.min(start + group)).map(&weather).collect();
            for year in &years {
                check(house, year, ground)?;
            }
            let before = start.checked_sub(1).map(&weather);
            let weathers = (before.as_deref(), &years[..]);
            let sky = (sun, ground);
            let of = |at: usize, year: &HouseYear| of(start + at, year);
            match house.inner_film {
                InnerFilm::ToAir => plant.run_group::<PLAIN, T, E>(weathers, sky, run, &of),
                InnerFilm::RadiantNode => {
                    plant.run_group::<WITH_NODE, T, E>(weathers, sky, run, &of)
                }
            }
        })
        .collect();
    let mut years = Vec::with_capacity(count);
    for group in groups {
        years.extend(group?);
    }
    Ok(years)
}

impl Plant<'_> {
    /// Years one after the other, each written over the one before; the weather of the year before the first is lived through from
    /// midyear.
    fn run_group<const N: usize, T, E: From<HouseError>>(
        &self,
        (before, weathers): (Option<&Weather>, &[Cow<'_, Weather>]),
        sky: (&SunYear, &UndisturbedGround),
        run: &HouseRun,
        of: &impl Fn(usize, &HouseYear) -> Result<T, E>,
    ) -> Result<Vec<T>, E> {
        let own = weathers.first().map(Cow::as_ref);
        let first = before.or(own).ok_or(HouseError::NoWeather)?;
        let mut runner = self.runner::<N>(first, sky, 0);
        let start = if before.is_some() {
            &run.midyear
        } else {
            &run.end
        };
        if !runner.load(start) {
            return Err(HouseError::OtherHouse.into());
        }
        if before.is_some() {
            runner.run(MIDYEAR_HOUR..HOURS_PER_YEAR, None)?;
        }
        let mut written = HouseYear::blank(self.frame.house);
        let mut found = Vec::with_capacity(weathers.len());
        let mut so_far = (PAUSE_WEEKS, HouseState::default());
        for (at, weather) in weathers.iter().enumerate() {
            written.begin_again();
            runner.under(weather);
            runner.noted_year(&mut written, &mut so_far)?;
            written.close(self.frame.house, self.frame.pressure_kpa)?;
            found.push(of(at, &written)?);
        }
        Ok(found)
    }
}
