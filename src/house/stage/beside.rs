//! A house and the room beside it, moved on together.
//!
//! Each holds its own copy of every wall between, seen from its side: a chain whose outside is the other's air, radiant node
//! and sun. Both chains are the same network, so once the two rooms agree they hold the same temperatures, and either's
//! heat balance closes by itself. The rooms agree by turns: the house is solved with the room as last found, then the room
//! with the house, until nothing moves any more.
//!
//! Air carries heat between them that grows with their difference by the law of door and fan. That heat is the unknown: the
//! more of it goes over, the nearer the rooms come and the more difference the law asks for, so that there is one answer,
//! however strong the fan. A fan that keeps to limits carries what lands on them, between none and all that it can.

use super::sums::Sums;
use super::{Across, Boundary, Flows, Found, Frame, PHASE_ROUNDS, State, Step};
use crate::house::affine::Room;
use crate::house::film::kelvin;
use crate::house::vapour::SPECIFIC_HEAT_AIR_J_KGK;
use crate::house::wall::OuterSide;
use crate::house::zone::root;
use crate::house::{Beside, Door, FanRuns, SHARED_WALLS_MAX};

/// Turns at most until the walls between agree.
const WALL_TURNS: usize = 30;
/// Trials at most of the heat that air carries, before its sign is known on both sides.
const TRIALS: usize = 40;
/// Temperatures that agree, K.
const AGREED_K: f64 = 1e-6;
/// How near a fan between the rooms brings the air to its limits, K.
const FAN_K: f64 = 1e-4;
/// Within which factors a trial may change what is thought of as heat per kelvin of difference.
const LEAST_CHANGE: f64 = 0.2;
const MOST_CHANGE: f64 = 20.0;
/// A step beyond what the last two trials say, so that the sign of the error turns.
const BEYOND: f64 = 1.2;
/// Two-way flow through a doorway by warm air over cold: a third of the opening times its discharge coefficient (Brown
/// & Solvason 1962, Int. J. Heat Mass Transfer 5:859-868; the coefficient after ASHRAE Fundamentals; both from memory).
const DOORWAY: f64 = 0.65 / 3.0;
/// m/s2.
const GRAVITY_M_S2: f64 = 9.81;

/// What lets air through between the rooms in an hour.
pub(crate) struct Passage<'a> {
    beside: &'a Beside,
    open: f64,
    fan_on: f64,
}

impl<'a> Passage<'a> {
    /// At an hour of the year.
    pub fn at(beside: &'a Beside, hour: usize) -> Self {
        Self {
            beside,
            open: beside.door.as_ref().map_or(0.0, |door| door.open.at(hour)),
            fan_on: beside.fan.as_ref().map_or(0.0, |fan| fan.on.at(hour)),
        }
    }

    /// Air through the door each way between airs of about these temperatures, m3/s at 1 K of difference; it grows with the
    /// root of it.
    fn door_m3_s_root_k(&self, one_c: f64, other_c: f64) -> f64 {
        let through = |door: &Door| {
            let lift = GRAVITY_M_S2 * door.height_m / kelvin(0.5 * (one_c + other_c));
            DOORWAY * door.area_m2 * lift.sqrt()
        };
        self.open * self.beside.door.as_ref().map_or(0.0, through)
    }

    fn fan_m3_s(&self) -> f64 {
        let flow = self.beside.fan.as_ref().map_or(0.0, |fan| fan.flow_m3_s);
        self.fan_on * flow
    }

    fn fan_w(&self) -> f64 {
        let power = self.beside.fan.as_ref().map_or(0.0, |fan| fan.power_w);
        self.fan_on * power
    }

    /// By how much the fan may go on: above 0 it must run, below it must not, K. None where it follows the clock alone.
    fn excess_k(&self, house_c: f64, room_c: f64) -> Option<f64> {
        let (from_c, to_c, limits) = match self.beside.fan.as_ref()?.runs {
            FanRuns::Always => return None,
            FanRuns::WarmingHouse(limits) => (room_c, house_c, limits),
            FanRuns::WarmingRoom(limits) => (house_c, room_c, limits),
        };
        Some((from_c - to_c - limits.by_k).min(limits.until_c - to_c))
    }
}

/// One of the two in a stage.
struct Half<'s, 'a, const N: usize> {
    state: &'s mut State<N>,
    step: Step<'a>,
    /// What all walls but those between give.
    walls: Sums<N>,
    /// Convection and radiation of the inner faces of the walls between, W/K, as long as the stage lasts.
    films: [(f64, f64); SHARED_WALLS_MAX],
}

impl<const N: usize> Half<'_, '_, N> {
    fn begin_stage(&mut self) {
        self.walls = self.state.reduce_walls(&self.step);
        for (index, shape) in self.step.frame.layout.shapes.iter().enumerate() {
            if let Some(at) = shape.shared {
                self.films[at] = self.state.film_w_k(&self.step, index);
            }
        }
    }

    /// What this one puts before the walls of the other.
    fn sides(&self) -> [OuterSide; SHARED_WALLS_MAX] {
        let mut sides = [OuterSide::default(); SHARED_WALLS_MAX];
        let room = &self.state.room;
        for (index, shape) in self.step.frame.layout.shapes.iter().enumerate() {
            let Some(at) = shape.shared else {
                continue;
            };
            let (convection, radiation) = self.films[at];
            let both = convection + radiation;
            let given = convection * room.air_c
                + radiation * room.radiant_c
                + self.step.at.walls[index].sun_w;
            sides[at] = OuterSide {
                temp_c: given / both,
                film_m2k_w: shape.area_m2 / both,
            };
        }
        sides
    }

    /// Solves this one with what the other gives.
    fn solve(&mut self, across: Across) -> Found {
        self.step.across = across;
        let mut sums = self.walls;
        for (index, shape) in self.step.frame.layout.shapes.iter().enumerate() {
            let Some(at) = shape.shared else {
                continue;
            };
            let (convection, radiation) = self.films[at];
            let face = self.state.walls[index].reduce(
                shape,
                self.step.dt_s,
                across.sides[at],
                self.step.at.walls[index].sun_w,
                convection,
                radiation,
            );
            sums.add_face(&face);
        }
        self.state.solve(&self.step, sums)
    }
}

/// Moves a house and the room beside it on by one step and adds it to the means of the hour.
pub(crate) fn step_both<const N: usize>(
    (house, frame, at, flows): (&mut State<N>, &Frame, &Boundary, &mut Flows),
    (room, room_frame, room_at, room_flows): (&mut State<N>, &Frame, &Boundary, &mut Flows),
    passage: &Passage,
    carried: &mut Carried,
) {
    let starts = [house.begin_step(frame), room.begin_step(room_frame)];
    let steps = [
        Step::new(frame, at, house),
        Step::new(room_frame, room_at, room),
    ];
    let [house_step, room_step] = steps;
    let mut house = Half {
        state: house,
        step: house_step,
        walls: Sums::default(),
        films: [(0.0, 0.0); SHARED_WALLS_MAX],
    };
    let mut room = Half {
        state: room,
        step: room_step,
        walls: Sums::default(),
        films: [(0.0, 0.0); SHARED_WALLS_MAX],
    };
    for stage in 0..2 {
        house.begin_stage();
        room.begin_stage();
        for round in 1..=PHASE_ROUNDS {
            house.state.reduce_beds(&house.step, stage);
            room.state.reduce_beds(&room.step, stage);
            let (found, room_found) = Pair::new(&mut house, &mut room, passage).agree(carried);
            house.step.fresh = false;
            room.step.fresh = false;
            let last = round == PHASE_ROUNDS;
            let settled = house.state.settle_soil(&house.step, stage, last)
                & room.state.settle_soil(&room.step, stage, last);
            if settled {
                house.state.account(&house.step, stage, &found, flows);
                room.state
                    .account(&room.step, stage, &room_found, room_flows);
                break;
            }
        }
        if stage == 0 {
            house.state.second_stage(&mut house.step, starts[0]);
            room.state.second_stage(&mut room.step, starts[1]);
        }
    }
    for (half, start, flows) in [
        (&mut house, starts[0], flows),
        (&mut room, starts[1], room_flows),
    ] {
        half.state.end_step(&half.step, flows);
        half.state.count_stored(&half.step, start, flows);
    }
}

/// What the air carried when last asked: where the next search begins.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Carried {
    /// From the room to the house, W.
    heat_w: f64,
    /// Heat that brings the rooms nearer by a kelvin, W/K.
    w_k: f64,
}

impl Default for Carried {
    fn default() -> Self {
        const FIRST_W_K: f64 = 50.0;
        Self {
            heat_w: 0.0,
            w_k: FIRST_W_K,
        }
    }
}

/// Both in a stage, with the air between.
struct Pair<'p, 's, 'a, const N: usize> {
    house: &'p mut Half<'s, 'a, N>,
    room: &'p mut Half<'s, 'a, N>,
    passage: &'p Passage<'p>,
    has_walls: bool,
    /// Density of the air between, kg/m3.
    density: f64,
    door_m3_s_root_k: f64,
    found: (Found, Found),
}

impl<'p, 's, 'a, const N: usize> Pair<'p, 's, 'a, N> {
    fn new(
        house: &'p mut Half<'s, 'a, N>,
        room: &'p mut Half<'s, 'a, N>,
        passage: &'p Passage<'p>,
    ) -> Self {
        let shapes = &house.step.frame.layout.shapes;
        let (one_c, other_c) = (house.step.known.air_c, room.step.known.air_c);
        Self {
            has_walls: shapes.iter().any(|shape| shape.shared.is_some()),
            density: 0.5 * (house.step.density + room.step.density),
            door_m3_s_root_k: passage.door_m3_s_root_k(one_c, other_c),
            found: Default::default(),
            house,
            room,
            passage,
        }
    }

    /// Solves both; the fan runs as long as its limits let it.
    fn agree(mut self, carried: &mut Carried) -> (Found, Found) {
        let fan = f64::from(u8::from(self.passage.fan_m3_s() > 0.0));
        let full_w = self.carry(fan, carried);
        let excess = |pair: &Self| {
            let (house_c, room_c) = (pair.house.state.room.air_c, pair.room.state.room.air_c);
            pair.passage.excess_k(house_c, room_c)
        };
        let at_full = excess(&self);
        if let (true, Some(at_full)) = (fan > 0.0, at_full.filter(|k| *k < 0.0)) {
            let none_w = self.carry(0.0, carried);
            let at_none = excess(&self).unwrap_or(0.0);
            if at_none > 0.0 {
                let mut tried = |heat_w: f64| {
                    carried.heat_w = heat_w;
                    self.meet(heat_w, (heat_w - none_w) / (full_w - none_w));
                    excess(&self).unwrap_or(0.0)
                };
                root(none_w, at_none, full_w, at_full, FAN_K, &mut tried);
            }
        }
        self.found
    }

    /// Finds the heat that the air carries with the fan running for `duty` of the time, W, and leaves both solved with it.
    fn carry(&mut self, duty: f64, carried: &mut Carried) -> f64 {
        if duty <= 0.0 && self.door_m3_s_root_k <= 0.0 {
            self.meet(0.0, 0.0);
            return 0.0;
        }
        let mut excess_k = |heat_w: f64| {
            let apart_k = self.meet(heat_w, duty);
            apart_k - self.asked_k(heat_w, duty)
        };
        let (mut heat_w, mut w_k) = (carried.heat_w, carried.w_k);
        let mut off_k = excess_k(heat_w);
        for _ in 0..TRIALS {
            if off_k.abs() < AGREED_K {
                break;
            }
            let next_w = heat_w + BEYOND * off_k * w_k;
            let next_k = excess_k(next_w);
            if (next_k > 0.0) != (off_k > 0.0) {
                let near = AGREED_K;
                heat_w = root(heat_w, off_k, next_w, next_k, near, &mut excess_k);
                break;
            }
            let seen_w_k = (next_w - heat_w) / (off_k - next_k);
            if seen_w_k > 0.0 {
                w_k = seen_w_k.clamp(LEAST_CHANGE * w_k, MOST_CHANGE * w_k);
            } else {
                w_k *= MOST_CHANGE;
            }
            (heat_w, off_k) = (next_w, next_k);
        }
        *carried = Carried { heat_w, w_k };
        heat_w
    }

    /// Difference of the rooms at which the air carries so much heat, K.
    fn asked_k(&self, heat_w: f64, duty: f64) -> f64 {
        /// Newton's steps at most; from above the root they cannot miss.
        const STEPS: usize = 30;
        let per_m3_s = self.density * SPECIFIC_HEAT_AIR_J_KGK;
        let fan_w_k = per_m3_s * duty * self.passage.fan_m3_s();
        let door = per_m3_s * self.door_m3_s_root_k;
        if door <= 0.0 {
            return heat_w / fan_w_k;
        }
        // fan x^2 + door x^3 = heat, with x the root of the difference.
        let amount = heat_w.abs();
        let mut x = (amount / door).cbrt();
        for _ in 0..STEPS {
            let slope = x * (2.0 * fan_w_k + 3.0 * door * x);
            if slope <= 0.0 {
                break;
            }
            let next = x - (x * x * (fan_w_k + door * x) - amount) / slope;
            let moved = (x - next).abs();
            x = next.max(0.0);
            if moved <= f64::EPSILON * x {
                break;
            }
        }
        (x * x).copysign(heat_w)
    }

    /// Solves both with so much heat carried from the room to the house, W. Gives by how much the room is warmer, K.
    fn meet(&mut self, heat_w: f64, duty: f64) -> f64 {
        let (house, room) = (&mut *self.house, &mut *self.room);
        let fan_m3_s = duty * self.passage.fan_m3_s();
        for _ in 0..WALL_TURNS {
            let before = (house.state.room, room.state.room);
            let apart_k = (before.1.air_c - before.0.air_c).abs();
            let flow_kg_s = self.density * (fan_m3_s + self.door_m3_s_root_k * apart_k.sqrt());
            // The room's own vapour taken out: what it held and its leaks stand behind the air between.
            let own = room.step.vapour_kg_kpa / room.step.dt_s
                + room.step.leak * room.step.vapour_per_kpa;
            let behind = room.step.vapour_kg_kpa / room.step.dt_s * room.step.known.vapour_kpa
                + room.step.leak * room.step.vapour_per_kpa * room.step.at.hour.outdoor_kpa;
            let passing = flow_kg_s * house.step.vapour_per_kpa;
            self.found.0 = house.solve(Across {
                sides: room.sides(),
                heat_w,
                fan_w: duty * self.passage.fan_w(),
                damp_kg_s: flow_kg_s * own / (own + passing),
                vapour_kpa: behind / own,
            });
            self.found.1 = room.solve(Across {
                sides: house.sides(),
                heat_w: -heat_w,
                fan_w: 0.0,
                damp_kg_s: flow_kg_s,
                vapour_kpa: house.state.room.vapour_kpa,
            });
            let still = |now: &Room, before: &Room| {
                (now.air_c - before.air_c).abs() < AGREED_K
                    && (now.radiant_c - before.radiant_c).abs() < AGREED_K
            };
            let agreed = still(&house.state.room, &before.0) && still(&room.state.room, &before.1);
            if !self.has_walls || agreed {
                break;
            }
        }
        room.state.room.air_c - house.state.room.air_c
    }
}
