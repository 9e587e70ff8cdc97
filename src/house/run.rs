//! Years of a building: the first, the settled one, and weather years.

use super::affine::Room;
use super::bed::Bed;
use super::check::check;
use super::prepare::{Layout, Prepared};
use super::soil::{Column, Mesh};
use super::stage::{Frame, State};
use super::wall::Wall;
use super::year::run_hours;
use super::{House, HouseError, HouseRun, HouseState, HouseYear};
use crate::air::vapour_pressure_kpa;
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY, HOURS_PER_YEAR};
use crate::site::{UndisturbedGround, Weather};
use crate::solar::SunYear;

/// Largest difference between two years that counts as the same year, K.
const SETTLED_K: f64 = 0.05;

/// How a run is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunOptions {
    /// Steps an hour, 1 to 60; weather is interpolated between the middles of the hours when there are more than one.
    pub steps_per_hour: usize,
    /// Day of the year (from 0) on which the building is finished and the first year begins.
    pub finished_day: usize,
    /// Years simulated at most before the settled year is taken as it is, at least 2.
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

/// A building with the parts that stay the same from year to year.
struct Plant<'a> {
    house: &'a House,
    layout: Layout,
    mesh: Option<Mesh>,
    pressure_kpa: f64,
}

impl<'a> Plant<'a> {
    fn new(house: &'a House, ground: &UndisturbedGround, weather: &Weather) -> Self {
        let depths = house
            .store
            .as_ref()
            .map_or(&[][..], |store| &store.depths_m);
        let hours = weather.pressure_pa.len().max(1) as f64;
        Self {
            house,
            layout: Layout::new(house),
            mesh: house
                .floor
                .as_ref()
                .map(|floor| Mesh::new(floor, depths, ground)),
            pressure_kpa: weather.pressure_pa.iter().sum::<f64>() / hours / 1000.0,
        }
    }

    fn frame(&self) -> Frame<'_> {
        Frame::new(
            self.house,
            &self.layout,
            self.mesh.as_ref(),
            self.pressure_kpa,
        )
    }

    /// Undisturbed ground, everything else at the outdoor temperature of the hour.
    fn fresh(&self, frame: &Frame, prepared: &Prepared, weather: &Weather, hour: usize) -> State {
        let _ = prepared;
        let air_c = weather.temp_air_c[hour];
        let vapour_kpa = vapour_pressure_kpa(air_c, weather.relative_humidity_pct[hour]);
        let columns = self.mesh.as_ref().map_or_else(Vec::new, |mesh| {
            let mut temps = vec![0.0; mesh.len()];
            mesh.undisturbed_c((hour / HOURS_PER_DAY) as f64, &mut temps);
            (0..frame.beds())
                .map(|_| Column::new(mesh, &temps))
                .collect()
        });
        State {
            room: Room {
                air_c,
                vapour_kpa,
                radiant_c: air_c,
                store_w_m2: 0.0,
            },
            walls: self
                .layout
                .shapes
                .iter()
                .map(|shape| Wall::new(shape, air_c))
                .collect(),
            columns,
            beds: [Bed::new(air_c, vapour_kpa); 2],
            cover_latched: false,
        }
    }
}

impl State {
    /// The state as plain figures.
    fn save(&self) -> HouseState {
        let mut nodes = vec![
            self.room.air_c,
            self.room.radiant_c,
            f64::from(u8::from(self.cover_latched)),
        ];
        for bed in &self.beds {
            nodes.extend([bed.leaf_c, bed.face_c, bed.sheet_c, bed.air_c]);
        }
        for wall in &self.walls {
            nodes.push(wall.face_c);
            nodes.extend(&wall.temp_c);
        }
        for column in &self.columns {
            nodes.extend(&column.heat);
        }
        HouseState {
            nodes,
            humidity_kpa: vec![
                self.room.vapour_kpa,
                self.beds[0].vapour_kpa,
                self.beds[1].vapour_kpa,
            ],
        }
    }

    /// Takes over a saved state; false if it belongs to another building.
    fn load(&mut self, mesh: Option<&Mesh>, saved: &HouseState) -> bool {
        let own = self.save();
        if own.nodes.len() != saved.nodes.len()
            || own.humidity_kpa.len() != saved.humidity_kpa.len()
        {
            return false;
        }
        let mut nodes = saved.nodes.iter().copied();
        let mut next = || nodes.next().unwrap_or(0.0);
        self.room.air_c = next();
        self.room.radiant_c = next();
        self.cover_latched = next() > 0.5;
        for bed in &mut self.beds {
            bed.leaf_c = next();
            bed.face_c = next();
            bed.sheet_c = next();
            bed.air_c = next();
        }
        for wall in &mut self.walls {
            wall.face_c = next();
            for temp in &mut wall.temp_c {
                *temp = next();
            }
        }
        if let Some(mesh) = mesh {
            for column in &mut self.columns {
                let heat: Vec<f64> = (0..mesh.len()).map(|_| next()).collect();
                column.set_heat(mesh, &heat);
            }
        }
        self.room.vapour_kpa = saved.humidity_kpa[0];
        self.beds[0].vapour_kpa = saved.humidity_kpa[1];
        self.beds[1].vapour_kpa = saved.humidity_kpa[2];
        true
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
    check(house, weather, sun, ground, options)?;
    let plant = Plant::new(house, ground, weather);
    let frame = plant.frame();
    let prepared = Prepared::new(house, &plant.layout, weather, sun, ground);
    let start = options.finished_day % DAYS_PER_YEAR * HOURS_PER_DAY;
    let mut state = plant.fresh(&frame, &prepared, weather, start);
    let steps = options.steps_per_hour;
    let covered = house.cover.is_some();
    let mut first = HouseYear::blank(covered);
    let whole = start..start + HOURS_PER_YEAR;
    run_hours(
        &frame,
        &prepared,
        &mut state,
        whole,
        steps,
        Some(&mut first),
    )?;
    first.close()?;
    if start > 0 {
        run_hours(
            &frame,
            &prepared,
            &mut state,
            start..HOURS_PER_YEAR,
            steps,
            None,
        )?;
    }
    let mut years = 1;
    let mut settled = HouseYear::blank(covered);
    let mut before: Option<HouseYear> = None;
    let mut difference = f64::INFINITY;
    while years < options.max_years.max(2) {
        years += 1;
        settled = HouseYear::blank(covered);
        run_hours(
            &frame,
            &prepared,
            &mut state,
            0..HOURS_PER_YEAR,
            steps,
            Some(&mut settled),
        )?;
        if let Some(before) = &before {
            difference = largest_difference(before, &settled);
            if difference < SETTLED_K {
                break;
            }
        }
        before = Some(settled.clone());
    }
    settled.close()?;
    Ok(HouseRun {
        first,
        settled,
        years_to_settle: years,
        settle_difference_k: difference,
        end: state.save(),
    })
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
    let first = weathers.first().ok_or(HouseError::NoWeather)?;
    for weather in weathers {
        check(house, weather, sun, ground, options)?;
    }
    let plant = Plant::new(house, ground, first);
    let frame = plant.frame();
    let mut state: Option<State> = None;
    let mut years = Vec::with_capacity(weathers.len());
    for weather in weathers {
        let prepared = Prepared::new(house, &plant.layout, weather, sun, ground);
        let state = match &mut state {
            Some(state) => state,
            empty => {
                let mut fresh = plant.fresh(&frame, &prepared, weather, 0);
                if !fresh.load(plant.mesh.as_ref(), start) {
                    return Err(HouseError::OtherHouse);
                }
                empty.insert(fresh)
            }
        };
        let mut year = HouseYear::blank(house.cover.is_some());
        let all = 0..HOURS_PER_YEAR;
        run_hours(
            &frame,
            &prepared,
            state,
            all,
            options.steps_per_hour,
            Some(&mut year),
        )?;
        year.close()?;
        years.push(year);
    }
    Ok(years)
}
