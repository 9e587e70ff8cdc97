//! A house and the room beside it, moved on together.
//!
//! Each holds its own copy of every wall between, seen from its side: a chain whose outside is the other's air, radiant node
//! and sun. Both chains are the same network, so once the two rooms agree they hold the same temperatures, and either's
//! heat balance closes by itself. The rooms agree by turns: the house is solved with the room as last found, then the room
//! with the house, until nothing moves any more.
//!
//! Air carries heat between them that grows with their difference by the law of door and fan. That heat is the unknown: the
//! more of it goes over, the nearer the rooms come and the more difference the law asks for, so that there is one answer,
//! however strong the fan. A fan that keeps to limits carries what lands on them, between none and all that it can. Each turn
//! tells by how much a watt warms either, so that the next begins where the law would be met.

use super::step::{GRAVITY_M_S2, Sums};
use super::{Across, Boundary, Flows, Found, Frame, PHASE_ROUNDS, State, Step};
use crate::house::affine::Room;
use crate::house::film::kelvin;
use crate::house::scheme::STAGE_S;
use crate::house::vapour::SPECIFIC_HEAT_AIR_J_KGK;
use crate::house::wall::OuterSide;
use crate::house::{Beside, Door, FanRuns, SHARED_WALLS_MAX};

/// Turns at most until both agree; most hours take two to four.
const TURNS: usize = 60;
/// Temperatures that agree, K.
const AGREED_K: f64 = 1e-5;
/// Shares of the time that agree.
const AGREED_DUTY: f64 = 1e-4;
/// A step back of more than this share of the step before says that a kink lies between.
const TURNED_BACK: f64 = 0.5;
/// Two-way flow through a doorway by warm air over cold: a third of the opening times its discharge coefficient (Brown & Solvason
/// 1962, Int. J. Heat Mass Transfer 5:859-868, from memory; the same form and coefficient read in the door of an open building
/// library, ibpsa/modelica-ibpsa, Airflow/Multizone/DoorOpen).
const DOORWAY: f64 = 0.65 / 3.0;

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
}

/// One of the two in a stage.
struct Half<'s, 'a, const N: usize> {
    state: &'s mut State<N>,
    step: Step<'a>,
    /// The room as the step began.
    start: Room,
    /// What all walls but those between give.
    walls: Sums<N>,
    /// Convection and radiation of the inner faces of the walls between, W/K, as long as the stage lasts.
    films: [(f64, f64); SHARED_WALLS_MAX],
}

impl<'s, 'a, const N: usize> Half<'s, 'a, N> {
    fn begin(state: &'s mut State<N>, frame: &'a Frame<'a>, at: &'a Boundary<'a>) -> Self {
        let start = state.begin_step(frame);
        Self {
            step: Step::new(frame, at, state),
            state,
            start,
            walls: Sums::default(),
            films: [(0.0, 0.0); SHARED_WALLS_MAX],
        }
    }

    fn begin_stage(&mut self) {
        self.walls = self.state.reduce_walls(&self.step);
        for (film, &index) in self.films.iter_mut().zip(&self.step.frame.layout.shared) {
            *film = self.state.film_w_k(&self.step, index);
        }
    }

    /// What this one puts before the walls of the other.
    fn sides(&self) -> [OuterSide; SHARED_WALLS_MAX] {
        let mut sides = [OuterSide::default(); SHARED_WALLS_MAX];
        let room = &self.state.room;
        let layout = &self.step.frame.layout;
        for (at, &index) in layout.shared.iter().enumerate() {
            let (convection, radiation) = self.films[at];
            let both = convection + radiation;
            let given = convection * room.air_c
                + radiation * room.radiant_c
                + self.step.at.walls[index].sun_w;
            sides[at] = OuterSide {
                temp_c: given / both,
                film_m2k_w: layout.shapes[index].area_m2 / both,
            };
        }
        sides
    }

    /// Solves this one with what the other gives; says by how much a watt more warms its air, K/W.
    fn solve(&mut self, across: Across) -> (Found, f64) {
        self.step.across = across;
        let mut sums = self.walls;
        let layout = &self.step.frame.layout;
        for (at, &index) in layout.shared.iter().enumerate() {
            let (convection, radiation) = self.films[at];
            let face = self.state.walls[index].reduce(
                &layout.shapes[index],
                across.sides[at],
                self.step.at.walls[index].sun_w,
                convection,
                radiation,
            );
            sums.add_face(&face);
        }
        self.state.solve_warming(&self.step, sums)
    }
}

impl<const N: usize> State<N> {
    /// Solves the room; says by how much a watt more would warm its air, K/W: not at all where a set point is held.
    fn solve_warming(&mut self, step: &Step, walls: Sums<N>) -> (Found, f64) {
        let (found, zone) = self.solve(step, walls);
        let vents_hold = found.vent > 0.0 && found.vent < step.vent_most;
        let heat_holds = found.heater_w > 0.0 && found.unmet_w == 0.0;
        let cooler = step.frame.house.cooler.as_ref();
        let cooler_holds =
            found.cooler_w > 0.0 && cooler.is_some_and(|own| found.cooler_w < own.capacity_w);
        let store_holds = found.duty > 0.0 && found.duty < 1.0;
        if vents_hold || heat_holds || cooler_holds || store_holds {
            return (found, 0.0);
        }
        (found, zone.k_per_w(step.fan + found.vent))
    }
}

/// Moves a house and the room beside it on by one step and adds it to the means of the hour.
pub(crate) fn step_both<const N: usize>(
    (house, frame, at, flows): (&mut State<N>, &Frame, &Boundary, &mut Flows),
    (room, room_frame, room_at, room_flows): (&mut State<N>, &Frame, &Boundary, &mut Flows),
    passage: &Passage,
    carried: &mut Carried,
) {
    let mut house = Half::begin(house, frame, at);
    let mut room = Half::begin(room, room_frame, room_at);
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
            house.state.second_stage(&mut house.step, house.start);
            room.state.second_stage(&mut room.step, room.start);
        }
    }
    for (half, flows) in [(&mut house, flows), (&mut room, room_flows)] {
        half.state.end_step(&half.step, flows);
        half.state.count_stored(&half.step, half.start, flows);
    }
}

/// What the air carried when last asked: where the next search begins.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Carried {
    /// From the room to the house, W.
    heat_w: f64,
    /// Share of the time that the fan between runs.
    duty: f64,
}

/// Both in a stage, with the air between.
struct Pair<'p, 's, 'a, const N: usize> {
    house: &'p mut Half<'s, 'a, N>,
    room: &'p mut Half<'s, 'a, N>,
    passage: &'p Passage<'p>,
    /// Density of the air between, kg/m3.
    density: f64,
    door_m3_s_root_k: f64,
}

impl<'p, 's, 'a, const N: usize> Pair<'p, 's, 'a, N> {
    fn new(
        house: &'p mut Half<'s, 'a, N>,
        room: &'p mut Half<'s, 'a, N>,
        passage: &'p Passage<'p>,
    ) -> Self {
        let (one_c, other_c) = (house.step.known.air_c, room.step.known.air_c);
        Self {
            density: 0.5 * (house.step.density + room.step.density),
            door_m3_s_root_k: passage.door_m3_s_root_k(one_c, other_c),
            house,
            room,
            passage,
        }
    }

    /// Solves both until walls and air between agree; the fan runs as long as its limits let it.
    fn agree(mut self, carried: &mut Carried) -> (Found, Found) {
        let has_walls = !self.house.step.frame.layout.shared.is_empty();
        let has_air = self.door_m3_s_root_k > 0.0 || self.passage.fan_m3_s() > 0.0;
        if !has_air {
            *carried = Carried::default();
        }
        let (mut share, mut last_w) = (1.0, 0.0_f64);
        let mut found = (Found::default(), Found::default());
        for _ in 0..TURNS {
            let before = (self.house.state.room, self.room.state.room);
            let warming;
            (found, warming) = self.turn(*carried);
            let still = |now: &Room, before: &Room| {
                (now.air_c - before.air_c).abs() < AGREED_K
                    && (now.radiant_c - before.radiant_c).abs() < AGREED_K
            };
            let agreed = !has_walls
                || still(&self.house.state.room, &before.0)
                    && still(&self.room.state.room, &before.1);
            let mut more_w = 0.0;
            if has_air {
                let next = self.next(*carried, warming);
                more_w = next.heat_w - carried.heat_w;
                // Turned back by as much: a kink lies between, and the way is taken in part.
                if more_w * last_w < 0.0 && more_w.abs() > TURNED_BACK * last_w.abs() {
                    share *= 0.5;
                }
                last_w = more_w;
                if !near(more_w, carried.heat_w, warming)
                    || (next.duty - carried.duty).abs() > AGREED_DUTY
                {
                    carried.heat_w += share * more_w;
                    carried.duty += share * (next.duty - carried.duty);
                    continue;
                }
            }
            if agreed && near(more_w, carried.heat_w, warming) {
                break;
            }
        }
        found
    }

    /// Solves both once with what the air carries. Gives what each found, and by how much a watt warms each, K/W.
    fn turn(&mut self, carried: Carried) -> ((Found, Found), [f64; 2]) {
        let (house, room) = (&mut *self.house, &mut *self.room);
        let apart_k = (room.state.room.air_c - house.state.room.air_c).abs();
        let flow_m3_s =
            carried.duty * self.passage.fan_m3_s() + self.door_m3_s_root_k * apart_k.sqrt();
        let flow_kg_s = self.density * flow_m3_s;
        // The room's own vapour taken out: what it held and its leaks stand behind the air between.
        let own = room.step.vapour_kg_kpa / STAGE_S + room.step.leak * room.step.vapour_per_kpa;
        let behind = room.step.vapour_kg_kpa / STAGE_S * room.step.known.vapour_kpa
            + room.step.leak * room.step.vapour_per_kpa * room.step.at.hour.outdoor_kpa;
        let passing = flow_kg_s * house.step.vapour_per_kpa;
        let (of_house, house_k_w) = house.solve(Across {
            sides: room.sides(),
            heat_w: carried.heat_w,
            fan_w: carried.duty * self.passage.fan_w(),
            damp_kg_s: flow_kg_s * own / (own + passing),
            vapour_kpa: behind / own,
        });
        let (of_room, room_k_w) = room.solve(Across {
            sides: house.sides(),
            heat_w: -carried.heat_w,
            fan_w: 0.0,
            damp_kg_s: flow_kg_s,
            vapour_kpa: house.state.room.vapour_kpa,
        });
        ((of_house, of_room), [house_k_w, room_k_w])
    }

    /// What the air would carry if both went on as `warming` by a watt, K/W, says.
    ///
    /// Air carries what the law asks for with the fan off, or with it on; between the two what brings the fan to its limits.
    fn next(&self, now: Carried, [house_k_w, room_k_w]: [f64; 2]) -> Carried {
        let (house_c, room_c) = (self.house.state.room.air_c, self.room.state.room.air_c);
        let per_m3_s = self.density * SPECIFIC_HEAT_AIR_J_KGK;
        let (fan_w_k, door) = (
            per_m3_s * self.passage.fan_m3_s(),
            per_m3_s * self.door_m3_s_root_k,
        );
        let nearer_k_w = house_k_w + room_k_w;
        // The difference without any air between.
        let apart_k = room_c - house_c + nearer_k_w * now.heat_w;
        let off_w = carried_w(apart_k, nearer_k_w, 0.0, door);
        let Some(fan) = self.passage.beside.fan.as_ref().filter(|_| fan_w_k > 0.0) else {
            return Carried {
                heat_w: off_w,
                duty: 0.0,
            };
        };
        let on_w = carried_w(apart_k, nearer_k_w, fan_w_k, door);
        // What may still be carried until a temperature has moved by `left_k`.
        let until = |left_k: f64, k_w: f64| {
            if k_w > 0.0 {
                left_k / k_w
            } else {
                f64::INFINITY.copysign(left_k)
            }
        };
        let heat_w = match fan.runs {
            FanRuns::Always => on_w,
            FanRuns::WarmingHouse(limits) => {
                let limit_w = until(room_c - house_c - limits.by_k, nearer_k_w)
                    .min(until(limits.until_c - house_c, house_k_w));
                off_w.max(on_w.min(now.heat_w + limit_w))
            }
            FanRuns::WarmingRoom(limits) => {
                let limit_w = until(house_c - room_c - limits.by_k, nearer_k_w)
                    .min(until(limits.until_c - room_c, room_k_w));
                off_w.min(on_w.max(now.heat_w - limit_w))
            }
        };
        let left_k = apart_k - nearer_k_w * heat_w;
        let by_fan_w = heat_w - door * left_k.abs().sqrt() * left_k;
        let duty = by_fan_w / (fan_w_k * left_k);
        Carried {
            heat_w,
            duty: match fan.runs {
                FanRuns::Always => 1.0,
                _ if heat_w == off_w => 0.0,
                _ if heat_w == on_w || duty.is_nan() => 1.0,
                _ => duty.clamp(0.0, 1.0),
            },
        }
    }
}

/// Does it make no odds that the air should carry so much more?
fn near(more_w: f64, heat_w: f64, [house_k_w, room_k_w]: [f64; 2]) -> bool {
    /// W, and share of what is carried.
    const AGREED_W: f64 = 1e-3;
    const AGREED_SHARE: f64 = 1e-5;
    more_w.abs() * (house_k_w + room_k_w) < AGREED_K
        && more_w.abs() < AGREED_W + AGREED_SHARE * heat_w.abs()
}

/// Heat that fan, W/K, and door, W/K^1.5, carry between two airs that would stand `apart_k` apart without them and come nearer by
/// `nearer_k_w` with each watt.
fn carried_w(apart_k: f64, nearer_k_w: f64, fan_w_k: f64, door: f64) -> f64 {
    /// Newton's steps at most; from above the root they cannot miss.
    const STEPS: usize = 30;
    let apart = apart_k.abs();
    // x^2 + nearer (fan x^2 + door x^3) = apart, with x the root of the difference that is left.
    let square = 1.0 + nearer_k_w * fan_w_k;
    let cube = nearer_k_w * door;
    let mut x = (apart / square).sqrt();
    if cube > 0.0 {
        for _ in 0..STEPS {
            let slope = x * (2.0 * square + 3.0 * cube * x);
            if slope <= 0.0 {
                break;
            }
            let next = x - (x * x * (square + cube * x) - apart) / slope;
            let moved = (x - next).abs();
            x = next.max(0.0);
            if moved <= f64::EPSILON * x {
                break;
            }
        }
    }
    (x * x * (fan_w_k + door * x)).copysign(apart_k)
}
