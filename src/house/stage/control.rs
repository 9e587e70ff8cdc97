//! The controls of a stage, solved with the room.

use super::step::{Pipes, Sums};
use super::{Found, Step};
use crate::house::FLOOR_PARTS_MAX;
use crate::house::affine::{AIR, Affine, NUMBER, RADIANT, Room, VAPOUR};
use crate::house::bed::Bed;
use crate::house::vapour::Saturation;
use crate::house::zone::{AirState, Sweats, Zone, root};

/// How near the store's duty lands on the set point, K.
const DUTY_K: f64 = 1e-6;

/// The controls of a stage, solved with the room.
pub(super) struct Controls<'a, const N: usize> {
    step: &'a Step<'a>,
    /// With the store's fan off.
    still: Sums<N>,
    pipes: [Pipes<N>; FLOOR_PARTS_MAX],
    beds: &'a mut [Bed<N>],
    pub(super) room: Room,
    pub(super) zone: Zone,
    by_radiant: Affine<N>,
    /// What the store's fan does, while it runs.
    store: Option<Loop<N>>,
    /// Saturation at the pipes' walls, kPa, and whether they are colder than the dew point; known once it is asked for.
    pipe_kpa: [f64; FLOOR_PARTS_MAX],
    dries: [bool; FLOOR_PARTS_MAX],
}

/// Heat, W, and water, kg/s, that the moved air leaves in the store.
#[derive(Clone, Copy, Debug, Default)]
struct Loop<const N: usize> {
    heat_w: Affine<N>,
    water: Affine<N>,
}

impl<'a, const N: usize> Controls<'a, N> {
    /// `still`: what walls give; `room` and `sweats` as last found.
    #[inline(always)]
    pub(super) fn new(
        step: &'a Step<'a>,
        mut still: Sums<N>,
        beds: &'a mut [Bed<N>],
        (room, sweats): (Room, Sweats),
    ) -> Self {
        step.add_air(&mut still);
        let mut pipes = [Pipes::default(); FLOOR_PARTS_MAX];
        for (index, bed) in beds.iter().enumerate().take(step.frame.beds) {
            let area_m2 = step.frame.floor_m2[index];
            let [to_air, to_radiant, evaporation] = still.add_bed(bed, area_m2);
            if step.frame.exchange.is_some() {
                let (store, own) = bed.store();
                pipes[index] = Pipes {
                    area_m2,
                    store,
                    own,
                    to_air,
                    to_radiant,
                    evaporation,
                };
            }
        }
        let hour = step.at.hour;
        let mut zone = Zone::new(
            hour.outdoor_c,
            hour.outdoor_kpa,
            step.vapour_per_kpa,
            sweats,
        );
        let layout = &step.frame.layout;
        let panes = step.at.panes.iter().zip(&layout.pane_m2);
        for ((pane, area_m2), film) in panes.zip(&layout.pane_w_m2k) {
            zone.add_pane(pane, area_m2 * film, room.air_c, step.latent);
        }
        Self {
            step,
            still,
            pipes,
            beds,
            room,
            zone,
            by_radiant: Affine::default(),
            store: None,
            pipe_kpa: [f64::NAN; FLOOR_PARTS_MAX],
            dries: [false; FLOOR_PARTS_MAX],
        }
    }

    /// Turns the room's equations to the store's fan on for `duty` of the time.
    fn turn_to(&mut self, duty: f64, charging: bool) {
        let mut sums = self.still;
        self.store = (duty > 0.0).then(|| self.run_store(duty, charging, &mut sums));
        if N > RADIANT {
            self.by_radiant = sums.take_out_radiant();
        }
        self.zone.set_sums(&sums.heat, &sums.vapour);
    }

    /// Puts the store's heat into the beds and what comes of it, with the fan's own heat, into the sums.
    fn run_store(&mut self, duty: f64, charging: bool, sums: &mut Sums<N>) -> Loop<N> {
        let step = self.step;
        let mut moved = Loop::default();
        let (Some(exchange), Some(store)) = (step.frame.exchange, &step.frame.house.store) else {
            return moved;
        };
        let floor_m2: f64 = step.frame.floor_m2.iter().sum();
        let collected = step
            .frame
            .house
            .collector
            .map_or(0.0, |c| c.effectiveness * step.at.hour.sun.collector_w);
        let lift_k = (store.fan_w + collected) / exchange.capacity_flow_w_k;
        let share = duty * exchange.effectiveness / floor_m2;
        let conductance = share * exchange.capacity_flow_w_k;
        let moist = share * exchange.mass_flow_kg_s * step.vapour_per_kpa;
        for (index, bed) in self.beds.iter_mut().enumerate().take(step.frame.beds) {
            let pipes = &self.pipes[index];
            // Pipes that are colder than the dew point dry the air.
            let mut water = Affine::default();
            if charging && self.dries[index] {
                water.0[NUMBER] = -moist * self.pipe_kpa[index];
                water.0[VAPOUR] = moist;
            }
            let per = 1.0 / (1.0 + conductance * pipes.own);
            let mut source = pipes
                .store
                .mix(-conductance * per, step.latent * per, &water);
            source.0[NUMBER] += conductance * lift_k * per;
            source.0[AIR] += conductance * per;
            bed.source = source;
            let area = pipes.area_m2;
            let sensible = source.mix(area, -area * step.latent, &water);
            moved.heat_w.add(1.0, &sensible);
            moved.water.add(area, &water);
            sums.heat.add(area * pipes.to_air, &source);
            if N > RADIANT {
                sums.radiant.add(area * pipes.to_radiant, &source);
            }
            sums.vapour.add(area * pipes.evaporation, &source);
        }
        sums.heat.add(-1.0, &moved.heat_w);
        sums.vapour.add(-1.0, &moved.water);
        sums.heat.0[NUMBER] += duty * store.fan_w;
        moved
    }

    /// Mean temperature round the pipes with the air at a state and the fan off, °C.
    fn store_c(&self, state: AirState) -> f64 {
        let room = self.room_at(state);
        let pipes = &self.pipes[..self.step.frame.beds];
        let total: f64 = pipes.iter().map(|pipes| pipes.area_m2).sum();
        pipes
            .iter()
            .map(|pipes| pipes.store.at(&room, 0.0) * pipes.area_m2 / total)
            .sum()
    }

    fn room_at(&self, state: AirState) -> Room {
        let mut room = Room {
            air_c: state.air_c,
            vapour_kpa: state.vapour_kpa,
            radiant_c: state.air_c,
        };
        if N > RADIANT {
            room.radiant_c = self.by_radiant.at(&room, 0.0);
        }
        room
    }

    /// Share of the time that the store's fan must run, and whether it charges. The room's equations are left with
    /// whatever duty was tried last.
    fn duty(&mut self, free: AirState) -> (f64, bool) {
        let step = self.step;
        if step.frame.exchange.is_none() {
            return (0.0, false);
        }
        let hour = step.at.hour;
        let (warm, cold) = (
            free.air_c > hour.charge_above_c,
            free.air_c < hour.draw_below_c,
        );
        if !warm && !cold {
            return (0.0, false);
        }
        let store_c = self.store_c(free);
        let charging = warm && free.air_c > store_c;
        let drawing = cold && free.air_c < store_c;
        if !charging && !drawing {
            return (0.0, false);
        }
        if charging && self.pipe_kpa[0].is_nan() {
            self.pipe_kpa = step.store_c.map(|store_c| Saturation::at(store_c).kpa);
            self.dries = self.pipe_kpa.map(|kpa| self.room.vapour_kpa > kpa);
        }
        let (set_c, sign) = if charging {
            (hour.charge_above_c, 1.0)
        } else {
            (hour.draw_below_c, -1.0)
        };
        let mut excess = |duty: f64| {
            self.turn_to(duty, charging);
            sign * (self.zone.solve(step.fan, 0.0).air_c - set_c)
        };
        let at_full = excess(1.0);
        if at_full >= 0.0 {
            return (1.0, charging);
        }
        let at_none = sign * (free.air_c - set_c);
        (
            root(0.0, at_none, 1.0, at_full, DUTY_K, &mut excess),
            charging,
        )
    }

    /// Store fan, vents, cooler or heater, in that order.
    ///
    /// Whether the pipes dry the air is taken from the latest temperatures; where the answer is drier than saturation
    /// in them, they do not, for dry pipes give off no water.
    pub(super) fn run(&mut self) -> Found {
        let mut found = self.run_once();
        for bed in 0..self.step.frame.beds {
            let given_off = found.state.vapour_kpa < self.pipe_kpa[bed];
            if self.dries[bed] && found.charging && found.duty > 0.0 && given_off {
                self.dries[bed] = false;
                found = self.run_once();
            }
        }
        found
    }

    fn run_once(&mut self) -> Found {
        let step = self.step;
        let hour = step.at.hour;
        for bed in self.beds.iter_mut() {
            bed.source = Affine::default();
        }
        self.turn_to(0.0, false);
        let mut state = self.zone.solve(step.fan, 0.0);
        let (duty, charging) = self.duty(state);
        if duty > 0.0 {
            self.turn_to(duty, charging);
            state = self.zone.solve(step.fan, 0.0);
        }
        let (flow, state) = self.open_vents(state);
        let mut found = Found {
            state,
            vent: flow - step.fan,
            duty,
            charging,
            ..Found::default()
        };
        let (zone, house, free_c) = (&mut self.zone, step.frame.house, found.state.air_c);
        // Holds a set point by heat (`sign` 1) or cold (-1): the power given, and the power missing.
        let mut hold = |set_c: f64, sign: f64, capacity_w: f64| {
            let (power_w, held) = zone.power_to_hold(set_c, flow);
            let asked_w = sign * power_w;
            let given_w = asked_w.min(capacity_w).max(0.0);
            found.state = if given_w < asked_w {
                zone.solve(flow, sign * given_w)
            } else {
                held
            };
            [given_w, (asked_w - given_w).max(0.0)]
        };
        if let (Some(heater), true) = (&house.heater, free_c < hour.heater_set_c) {
            [found.heater_w, found.unmet_w] = hold(hour.heater_set_c, 1.0, heater.capacity_w);
        } else if let (Some(cooler), true) = (&house.cooler, free_c > hour.cooler_set_c) {
            [found.cooler_w, _] = hold(hour.cooler_set_c, -1.0, cooler.capacity_w);
        }
        self.room = self.room_at(found.state);
        found.sweat = self.zone.sweat(found.state, step.latent);
        if let Some(moved) = &self.store {
            found.exchanged_w = moved.heat_w.at(&self.room, 0.0);
            found.pipe_water_kg_s = moved.water.at(&self.room, 0.0);
        }
        found.leaks_w = self.zone.brought_w(step.leak, self.room.air_c);
        found.vents_w = self.zone.brought_w(flow, self.room.air_c);
        found
    }

    /// Opens the vents for warmth, then for humidity: outdoor air drawn in, kg/s, and what comes of it.
    fn open_vents(&mut self, free: AirState) -> (f64, AirState) {
        let step = self.step;
        let hour = step.at.hour;
        let most = step.fan + step.vent_most.max(0.0);
        let (mut flow, mut state) = (step.fan, free);
        if state.air_c > hour.vent_set_c && hour.outdoor_c < state.air_c {
            flow = self
                .zone
                .flow_to_hold(hour.vent_set_c, most)
                .clamp(step.fan, most);
            state = self.zone.solve(flow, 0.0);
        }
        let vents = step.frame.house.air.vents.as_ref();
        if let Some(limit) = vents.and_then(|vents| vents.humidity_pct) {
            let heater = step.frame.house.heater.as_ref();
            let heater = heater.map_or((f64::NEG_INFINITY, 0.0), |heater| {
                (hour.heater_set_c, heater.capacity_w)
            });
            flow = self.zone.flow_for_humidity(limit, heater, flow, most);
            state = self.zone.solve(flow, 0.0);
        }
        (flow, state)
    }
}
