//! The controls of a stage, solved with the room.

use super::{Found, Step};
use crate::air::WATER_TO_AIR_MOLE_MASS;
use crate::house::affine::{AIR, Affine, RADIANT, Room, VAPOUR};
use crate::house::bed::Bed;
use crate::house::zone::{AirState, Zone, root};

/// How near the store's duty lands on the set point, K.
const DUTY_K: f64 = 1e-6;

/// Sums over the room, affine in air, vapour and radiant node.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    /// Heat to the air, W.
    heat: Affine,
    /// Heat to the radiant node, W.
    radiant: Affine,
    /// Vapour to the air, kg/s.
    vapour: Affine,
}

/// A bed as the store sees it.
#[derive(Clone, Copy, Debug, Default)]
struct Pipes {
    area_m2: f64,
    /// Temperature round the pipes without the store's heat, °C, and its growth with that heat, K per W/m2.
    store: Affine,
    own: f64,
    /// What the store's heat sends up again to the air, to the radiant node (W/W) and as vapour (kg/s per W).
    to_air: f64,
    to_radiant: f64,
    evaporation: f64,
}

/// The controls of a stage, solved with the room.
pub(super) struct Controls<'a> {
    step: &'a Step<'a>,
    /// With the store's fan off.
    still: Sums,
    pipes: [Pipes; 2],
    beds: &'a mut [Bed; 2],
    pub(super) room: Room,
    zone: Zone,
    by_radiant: Option<Affine>,
    loop_w: Affine,
    pipe_water: Affine,
    /// Are the pipes under a bed colder than the dew point?
    dries: [bool; 2],
}

impl<'a> Controls<'a> {
    pub(super) fn new(
        step: &'a Step<'a>,
        heat: Affine,
        radiant: Affine,
        beds: &'a mut [Bed; 2],
        room: Room,
    ) -> Self {
        let mut still = Sums {
            heat,
            radiant,
            vapour: Affine::default(),
        };
        step.add_air(&mut still.heat, &mut still.vapour);
        let gain = step.at.hour.gain_radiant_w;
        if step.above.radiant_node {
            still.radiant.0[0] += gain;
            still.radiant.add(1.0, &step.through_glazing());
        } else {
            still.heat.0[0] += gain;
        }
        let mut pipes = [Pipes::default(); 2];
        for (index, bed) in beds.iter().enumerate().take(step.frame.beds()) {
            pipes[index] = still.add_bed(bed, step.frame.floor_m2[index]);
        }
        let hour = step.at.hour;
        let mut zone = Zone::new(hour.outdoor_c, hour.outdoor_kpa, hour.pressure_kpa);
        for (pane, &area) in step.at.panes.iter().zip(&step.frame.layout.pane_m2) {
            zone.add_pane(pane, area, room.air_c, step.latent);
        }
        Self {
            step,
            still,
            pipes,
            beds,
            room,
            zone,
            by_radiant: None,
            loop_w: Affine::default(),
            pipe_water: Affine::default(),
            dries: step.pipe_kpa.map(|kpa| room.vapour_kpa > kpa),
        }
    }

    /// Turns the room's equations to the store's fan on for `duty` of the time.
    fn turn_to(&mut self, duty: f64, charging: bool) {
        let mut sums = self.still;
        self.loop_w = Affine::default();
        self.pipe_water = Affine::default();
        if duty > 0.0 {
            self.run_store(duty, charging, &mut sums);
        }
        self.by_radiant = None;
        if self.step.above.radiant_node {
            let own = sums.radiant.0[RADIANT];
            sums.radiant.0[RADIANT] = 0.0;
            let solved = sums.radiant.times(-1.0 / own);
            sums.heat.substitute(RADIANT, &solved);
            sums.vapour.substitute(RADIANT, &solved);
            self.by_radiant = Some(solved);
        }
        self.zone.set_sums(&sums.heat, &sums.vapour);
    }

    /// Puts the store's heat into the beds and what comes of it, with the fan's own heat, into the sums.
    fn run_store(&mut self, duty: f64, charging: bool, sums: &mut Sums) {
        let step = self.step;
        let (Some(exchange), Some(store)) = (step.frame.exchange, &step.frame.house.store) else {
            return;
        };
        let floor_m2 = step.frame.floor_m2[0] + step.frame.floor_m2[1];
        let collected = step
            .frame
            .house
            .collector
            .map_or(0.0, |c| c.effectiveness * step.at.hour.sun.collector_w);
        let lift_k = (store.fan_w + collected) / exchange.capacity_flow_w_k;
        let conductance = duty * exchange.effectiveness * exchange.capacity_flow_w_k / floor_m2;
        let moist =
            duty * exchange.effectiveness * exchange.mass_flow_kg_s * WATER_TO_AIR_MOLE_MASS
                / step.at.hour.pressure_kpa
                / floor_m2;
        for (index, bed) in self.beds.iter_mut().enumerate().take(step.frame.beds()) {
            let pipes = &self.pipes[index];
            // Pipes that are colder than the dew point dry the air.
            let saturated = step.pipe_kpa[index];
            let mut water = Affine::default();
            if charging && self.dries[index] {
                water.0[0] = -moist * saturated;
                water.0[VAPOUR] = moist;
            }
            let mut source = pipes.store.times(-conductance);
            source.0[0] += conductance * lift_k;
            source.0[AIR] += conductance;
            source.add(step.latent, &water);
            let source = source.times(1.0 / (1.0 + conductance * pipes.own));
            bed.set_source(&source);
            let area = pipes.area_m2;
            let mut sensible = source;
            sensible.add(-step.latent, &water);
            self.loop_w.add(area, &sensible);
            self.pipe_water.add(area, &water);
            sums.heat.add(area * pipes.to_air, &source);
            sums.radiant.add(area * pipes.to_radiant, &source);
            sums.vapour.add(area * pipes.evaporation, &source);
        }
        sums.heat.add(-1.0, &self.loop_w);
        sums.vapour.add(-1.0, &self.pipe_water);
        sums.heat.0[0] += duty * store.fan_w;
    }

    /// Mean temperature round the pipes with the air at a state and the fan off, °C.
    fn store_c(&self, state: AirState) -> f64 {
        let room = self.room_at(state);
        let total = self.pipes[0].area_m2 + self.pipes[1].area_m2;
        self.pipes
            .iter()
            .map(|pipes| pipes.store.at(&room) * pipes.area_m2 / total)
            .sum()
    }

    fn room_at(&self, state: AirState) -> Room {
        let mut room = Room {
            air_c: state.air_c,
            vapour_kpa: state.vapour_kpa,
            radiant_c: state.air_c,
            ..Room::default()
        };
        if let Some(solved) = &self.by_radiant {
            room.radiant_c = solved.at(&room);
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
        let store_c = self.store_c(free);
        let charging = free.air_c > hour.charge_above_c && free.air_c > store_c;
        let drawing = free.air_c < hour.draw_below_c && free.air_c < store_c;
        if !charging && !drawing {
            return (0.0, false);
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
        for bed in 0..self.dries.len() {
            let given_off = found.state.vapour_kpa < self.step.pipe_kpa[bed];
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
            bed.set_source(&Affine::default());
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
        let zone = &mut self.zone;
        if let (Some(heater), true) = (
            &step.frame.house.heater,
            found.state.air_c < hour.heater_set_c,
        ) {
            let (asked, held) = zone.power_to_hold(hour.heater_set_c, flow);
            found.heater_w = asked.min(heater.capacity_w).max(0.0);
            found.unmet_w = (asked - found.heater_w).max(0.0);
            found.state = if found.heater_w < asked {
                zone.solve(flow, found.heater_w)
            } else {
                held
            };
        } else if let (Some(cooler), true) = (
            &step.frame.house.cooler,
            found.state.air_c > hour.cooler_set_c,
        ) {
            let (asked, held) = zone.power_to_hold(hour.cooler_set_c, flow);
            found.cooler_w = (-asked).min(cooler.capacity_w).max(0.0);
            found.state = if found.cooler_w < -asked {
                zone.solve(flow, -found.cooler_w)
            } else {
                held
            };
        }
        self.room = self.room_at(found.state);
        found.sweat = self.zone.sweat(found.state, step.latent);
        found.exchanged_w = self.loop_w.at(&self.room);
        found.pipe_water_kg_s = self.pipe_water.at(&self.room);
        found.leaks_w = self.zone.brought_w(step.leak, self.room.air_c);
        found.vents_w = self.zone.brought_w(flow, self.room.air_c);
        found
    }

    /// Opens the vents for warmth, then for humidity: outdoor air drawn in, kg/s, and what comes of it.
    fn open_vents(&mut self, free: AirState) -> (f64, AirState) {
        let step = self.step;
        let hour = step.at.hour;
        let most = step.fan + step.vent_most;
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
            flow = self.zone.flow_for_humidity(limit, 0.0, flow, most);
            state = self.zone.solve(flow, 0.0);
        }
        (flow, state)
    }
}

impl Sums {
    /// Adds a bed with its store at rest; gives it as the store sees it.
    fn add_bed(&mut self, bed: &Bed, area_m2: f64) -> Pipes {
        let (to_air, air_by_store) = bed.open(&bed.to_air);
        let (to_radiant, radiant_by_store) = bed.open(&bed.to_radiant);
        let (evaporation, evaporation_by_store) = bed.open(&bed.evaporation);
        self.heat.add(area_m2, &to_air);
        self.radiant.add(area_m2, &to_radiant);
        self.vapour.add(area_m2, &evaporation);
        let (store, own) = bed.store();
        Pipes {
            area_m2,
            store,
            own,
            to_air: air_by_store,
            to_radiant: radiant_by_store,
            evaporation: evaporation_by_store,
        }
    }
}
