//! A house and the room beside it, moved on together.
//!
//! Each holds its own copy of every wall between, seen from its side: a chain whose outside is the other's air, radiant node
//! and sun. Both chains are the same network, so once the two rooms agree they hold the same temperatures, and either's
//! heat balance closes by itself. The rooms agree by turns: the house is solved with the room as last found, then the room
//! with the house, and the next guess goes along the secant, until nothing moves any more.

use super::sums::Sums;
use super::{Across, Boundary, Flows, Found, Frame, PHASE_ROUNDS, State, Step};
use crate::house::affine::Room;
use crate::house::film::kelvin;
use crate::house::wall::OuterSide;
use crate::house::zone::{AirState, root};
use crate::house::{Beside, Door, FanRuns, SHARED_WALLS_MAX};

/// Turns at most until both rooms agree; each room's own balance closes whatever they are.
const TURNS: usize = 60;
/// Temperatures and, as heat over what a room's air holds, flows that agree, K.
const AGREED_K: f64 = 1e-6;
/// Vapour pressures that agree, kPa.
const AGREED_KPA: f64 = 1e-6;
/// How near a fan between the rooms brings the air to its limits, K.
const FAN_K: f64 = 1e-4;
/// Least share of a guess's error that the answer takes off: the slope that a step along the secant believes.
const LEAST_SLOPE: f64 = 0.03;
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

    /// Air through the door each way, m3/s, between airs of these temperatures.
    fn door_m3_s(&self, one_c: f64, other_c: f64) -> f64 {
        let through = |door: &Door| {
            let lift = GRAVITY_M_S2 * door.height_m * (one_c - other_c).abs();
            DOORWAY * door.area_m2 * (lift / kelvin(0.5 * (one_c + other_c))).sqrt()
        };
        self.open * self.beside.door.as_ref().map_or(0.0, through)
    }

    fn fan_m3_s(&self, duty: f64) -> f64 {
        let flow = self.beside.fan.as_ref().map_or(0.0, |fan| fan.flow_m3_s);
        duty * self.fan_on * flow
    }

    fn fan_w(&self, duty: f64) -> f64 {
        let power = self.beside.fan.as_ref().map_or(0.0, |fan| fan.power_w);
        duty * self.fan_on * power
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

    fn air(&self) -> AirState {
        AirState {
            air_c: self.state.room.air_c,
            vapour_kpa: self.state.room.vapour_kpa,
        }
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
            let (found, room_found) = agree_with_fan(&mut house, &mut room, passage);
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

/// Solves both with the fan running as long as its limits let it.
fn agree_with_fan<const N: usize>(
    house: &mut Half<N>,
    room: &mut Half<N>,
    passage: &Passage,
) -> (Found, Found) {
    let can = passage.fan_m3_s(1.0) > 0.0;
    let mut found = agree(house, room, passage, f64::from(u8::from(can)));
    if !can {
        return found;
    }
    let Some(at_full) = excess(house, room, passage) else {
        return found;
    };
    if at_full >= 0.0 {
        return found;
    }
    found = agree(house, room, passage, 0.0);
    let at_none = excess(house, room, passage).unwrap_or(0.0);
    if at_none <= 0.0 {
        return found;
    }
    let mut tried = |duty: f64| {
        found = agree(house, room, passage, duty);
        excess(house, room, passage).unwrap_or(0.0)
    };
    root(0.0, at_none, 1.0, at_full, FAN_K, &mut tried);
    found
}

fn excess<const N: usize>(house: &Half<N>, room: &Half<N>, passage: &Passage) -> Option<f64> {
    passage.excess_k(house.state.room.air_c, room.state.room.air_c)
}

/// Solves both in turns until they agree.
fn agree<const N: usize>(
    house: &mut Half<N>,
    room: &mut Half<N>,
    passage: &Passage,
    duty: f64,
) -> (Found, Found) {
    let fan_m3_s = passage.fan_m3_s(duty);
    let density = 0.5 * (house.step.density + room.step.density);
    let mut guess = room.state.room;
    let mut before: Option<(f64, f64)> = None;
    let mut both = (Found::default(), Found::default());
    for _ in 0..TURNS {
        room.state.room = guess;
        let flow_kg_s =
            density * (fan_m3_s + passage.door_m3_s(house.state.room.air_c, guess.air_c));
        let known_c = house.state.room.air_c;
        both.0 = house.solve(Across {
            sides: room.sides(),
            flow_kg_s,
            air: room.air(),
            fan_w: passage.fan_w(duty),
        });
        both.1 = room.solve(Across {
            sides: house.sides(),
            flow_kg_s,
            air: house.air(),
            fan_w: 0.0,
        });
        let found = room.state.room;
        let off_k = found.air_c - guess.air_c;
        let still = off_k.abs() < AGREED_K
            && (house.state.room.air_c - known_c).abs() < AGREED_K
            && (found.radiant_c - guess.radiant_c).abs() < AGREED_K
            && (found.vapour_kpa - guess.vapour_kpa).abs() < AGREED_KPA;
        if still {
            break;
        }
        // Along the secant: of each kelvin that the guess is moved, `slope` is taken off its error.
        let slope = before.map_or(1.0, |(earlier_c, earlier_off_k)| {
            let moved_k = guess.air_c - earlier_c;
            if moved_k.abs() > AGREED_K {
                (-(off_k - earlier_off_k) / moved_k).clamp(LEAST_SLOPE, 1.0)
            } else {
                1.0
            }
        });
        before = Some((guess.air_c, off_k));
        guess = Room {
            air_c: guess.air_c + off_k / slope,
            ..found
        };
    }
    both
}
