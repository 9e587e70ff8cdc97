//! One step of the whole building: the two stages of [`super::scheme`].
//!
//! What beds, panes and sums build up piece by piece is always inlined: it then stays in registers, where a call would write
//! it to memory in small pieces and wait to read them back as one (measured: 5 % of the time of a year).

mod account;
mod beside;
mod control;
mod step;

pub(crate) use account::Flows;
pub(crate) use beside::{Carried, Passage, step_both};

use control::Controls;
use step::Sums;

use super::affine::{RADIANT, Room};
use super::bed::{Bed, BedFlows, BedHour};
use super::film::room_convection_w_m2k;
use super::handling::Laid;
use super::on_glazing::OnGlazing;
use super::prepare::{Frame, Hour, PaneHour, WallHour};
use super::scheme::EXTRAPOLATE;
use super::soil::Column;
use super::wall::{OuterSide, Wall};
use super::zone::{AirState, Sweat, Sweats, Zone};
use super::{FLOOR_PARTS_MAX, SHARED_WALLS_MAX};

/// Rounds until the phases of all soil layers stand still.
const PHASE_ROUNDS: usize = 12;
/// Gas constant of dry air, kJ/kgK.
const GAS_KJ_KGK: f64 = crate::air::GAS_CONSTANT_DRY_AIR_J_KG_K / 1000.0;

/// Everything that changes in time.
#[derive(Clone, Debug)]
pub(super) struct State<const N: usize> {
    pub room: Room,
    /// Which panes sweat, as last found.
    pub sweats: Sweats,
    pub walls: Vec<Wall>,
    pub columns: Vec<Column>,
    /// One for each column.
    pub beds: Vec<Bed<N>>,
    /// The covers of the floor's parts, the bare middle first.
    pub laid: Vec<Laid>,
    /// Drops and snow.
    pub on_glazing: OnGlazing,
}

/// One hour's boundary.
pub(super) struct Boundary<'a> {
    pub hour: &'a Hour,
    pub walls: &'a [WallHour],
    pub panes: &'a [PaneHour],
    pub month: usize,
    /// Which parts of the floor lie under their covers.
    pub covered: [bool; FLOOR_PARTS_MAX],
}

/// Density of dry air, kg/m3.
pub(super) fn density(air_c: f64, pressure_kpa: f64) -> f64 {
    pressure_kpa / (GAS_KJ_KGK * super::film::kelvin(air_c))
}

/// Things of a step that both stages share.
struct Step<'a> {
    frame: &'a Frame<'a>,
    at: &'a Boundary<'a>,
    density: f64,
    latent: f64,
    leak: f64,
    leak_per_h: f64,
    fan: f64,
    vent_most: f64,
    bed_hours: [BedHour; FLOOR_PARTS_MAX],
    radiation: f64,
    /// From the radiant node through glazing to sky and surroundings, W/K.
    node_w_k: [f64; 2],
    known: AirState,
    /// Is this the step's first solve, so that films are taken anew?
    fresh: bool,
    /// Round the pipes of each part of the floor when the step began, °C.
    store_c: [f64; FLOOR_PARTS_MAX],
    /// Vapour in a kg of air per kPa, kg.
    vapour_per_kpa: f64,
    air_j_k: f64,
    vapour_kg_kpa: f64,
    /// What the room beside gives; nothing where there is none.
    across: Across,
}

/// What the room beside puts before a building in a stage.
#[derive(Clone, Copy, Debug, Default)]
struct Across {
    /// Before each wall between.
    sides: [OuterSide; SHARED_WALLS_MAX],
    /// Heat that the air between brings, W.
    heat_w: f64,
    /// Electric power of the fan between, which warms this building's air, W.
    fan_w: f64,
    /// Air that brings vapour and takes it away, kg/s, and its vapour pressure, kPa.
    damp_kg_s: f64,
    vapour_kpa: f64,
}

/// What a stage found.
#[derive(Clone, Copy, Debug, Default)]
struct Found {
    state: AirState,
    vent: f64,
    heater_w: f64,
    cooler_w: f64,
    unmet_w: f64,
    duty: f64,
    charging: bool,
    /// What panes took.
    sweat: Sweat,
    /// Heat from the moved air to the store, W, and water left in the pipes, kg/s.
    exchanged_w: f64,
    pipe_water_kg_s: f64,
    /// Heat brought by leaks and by vents, W.
    leaks_w: f64,
    vents_w: f64,
}

impl<const N: usize> State<N> {
    /// Moves the building on by one step and adds it to the means of the hour.
    pub fn step(&mut self, frame: &Frame, at: &Boundary, flows: &mut Flows) {
        let start = self.begin_step(frame);
        let mut step = Step::new(frame, at, self);
        self.stage(&mut step, flows, 0);
        self.second_stage(&mut step, start);
        self.stage(&mut step, flows, 1);
        self.end_step(&step, flows);
        self.count_stored(&step, start, flows);
    }

    /// Begins a step; gives the room as it begins.
    fn begin_step(&mut self, frame: &Frame) -> Room {
        for wall in &mut self.walls {
            wall.begin();
        }
        if let Some(mesh) = &frame.mesh {
            for (index, column) in self.columns.iter_mut().enumerate() {
                column.begin(mesh.of(index));
            }
        }
        self.room
    }

    /// Turns to the second stage of a step.
    fn second_stage(&mut self, step: &mut Step, start: Room) {
        for wall in &mut self.walls {
            wall.extrapolate(EXTRAPOLATE);
        }
        step.known = AirState {
            air_c: start.air_c + EXTRAPOLATE * (self.room.air_c - start.air_c),
            vapour_kpa: start.vapour_kpa + EXTRAPOLATE * (self.room.vapour_kpa - start.vapour_kpa),
        };
    }

    /// Adds the heat gained in a step.
    fn count_stored(&self, step: &Step, start: Room, flows: &mut Flows) {
        let frame = step.frame;
        flows.stored_j += step.air_j_k * (self.room.air_c - start.air_c)
            + self
                .walls
                .iter()
                .zip(&frame.layout.shapes)
                .map(|(wall, shape)| wall.gained(shape))
                .sum::<f64>()
            + self
                .columns
                .iter()
                .zip(frame.floor_m2)
                .map(|(column, area)| area * column.gained())
                .sum::<f64>();
    }

    fn stage(&mut self, step: &mut Step, flows: &mut Flows, stage: usize) {
        let walls = self.reduce_walls(step);
        for round in 1..=PHASE_ROUNDS {
            self.reduce_beds(step, stage);
            let (found, _) = self.solve(step, walls);
            step.fresh = false;
            if self.settle_soil(step, stage, round == PHASE_ROUNDS) {
                self.account(step, stage, &found, flows);
                return;
            }
        }
    }

    /// Do the phases of all soil layers stand still with the room as found?
    fn settle_soil(&mut self, step: &Step, stage: usize, last: bool) -> bool {
        let mut settled = true;
        if let Some(mesh) = &step.frame.mesh {
            for (index, column) in self.columns.iter_mut().enumerate() {
                let (bed, mesh) = (&self.beds[index], mesh.of(index));
                let source = bed.source_at(&self.room);
                let face = bed.face_at(&self.room, source);
                settled &= column.settle(mesh, stage, face, source, last);
            }
        }
        settled
    }

    /// Takes out all walls but those to the room beside.
    fn reduce_walls(&mut self, step: &Step) -> Sums<N> {
        let mut sums = Sums::default();
        let layout = &step.frame.layout;
        for index in 0..self.walls.len() {
            let shape = &layout.shapes[index];
            if shape.shared.is_some() {
                continue;
            }
            let outside = &step.at.walls[index];
            let (convection, radiation) = self.film_w_k(step, index);
            let wall = &mut self.walls[index];
            let face = wall.reduce(shape, outside.outer, outside.sun_w, convection, radiation);
            sums.add_face(&face);
        }
        sums
    }

    /// Convection and radiation from the inner face of a wall, W/K.
    fn film_w_k(&self, step: &Step, index: usize) -> (f64, f64) {
        let layout = &step.frame.layout;
        let shape = &layout.shapes[index];
        if N > RADIANT {
            let warmer_k = self.walls[index].face_c - self.room.air_c;
            (
                shape.area_m2 * room_convection_w_m2k(shape.tilt_deg, warmer_k),
                layout.radiant_m2[index] * step.radiation,
            )
        } else {
            (shape.area_m2 * shape.film_w_m2k, 0.0)
        }
    }

    fn reduce_beds(&mut self, step: &Step, stage: usize) {
        let frame = step.frame;
        if let Some(mesh) = &frame.mesh {
            for (index, column) in self.columns.iter_mut().enumerate() {
                let port = column.reduce(mesh.of(index), stage);
                let covered = step.at.covered[index].then(|| &frame.house.parts[index - 1]);
                let cover = covered.and_then(|part| part.cover.as_ref());
                let hour = &step.bed_hours[index];
                let bed = &mut self.beds[index];
                if step.fresh || !bed.stands_on(&port) {
                    bed.reduce(hour, step.at.hour, cover, &port, &self.room);
                } else {
                    bed.port = port;
                }
            }
        }
    }

    /// Solves the room with its controls; the beds are reduced. Gives the room's equations too.
    #[inline]
    fn solve(&mut self, step: &Step, walls: Sums<N>) -> (Found, Zone) {
        let mut controls = Controls::new(step, walls, &mut self.beds, (self.room, self.sweats));
        let found = controls.run();
        self.room = controls.room;
        self.sweats = controls.zone.sweats;
        (found, controls.zone)
    }
}
