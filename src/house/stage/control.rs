//! The controls of a stage, solved with the room.

use super::{Found, Step};
use crate::air::WATER_TO_AIR_MOLE_MASS;
use crate::house::affine::{AIR, Affine, RADIANT, Room, STORE, VAPOUR};
use crate::house::bed::Bed;
use crate::house::zone::{AirState, Zone, root};

/// How near the store's duty lands on the set point, K.
const DUTY_K: f64 = 1e-6;

/// The controls of a stage, solved with the room.
pub(super) struct Controls<'a> {
    step: &'a Step<'a>,
    /// Heat to the air and to the radiant node, vapour, without beds and store.
    heat: Affine,
    radiant: Affine,
    vapour: Affine,
    beds: &'a mut [Bed; 2],
    pub(super) room: Room,
    by_radiant: Option<Affine>,
    loop_w: Affine,
    pipe_water: Affine,
}

impl<'a> Controls<'a> {
    pub(super) fn new(
        step: &'a Step<'a>,
        mut heat: Affine,
        mut radiant: Affine,
        beds: &'a mut [Bed; 2],
        room: Room,
    ) -> Self {
        let mut vapour = Affine::default();
        step.add_air(&mut heat, &mut vapour);
        let gain = step.at.hour.gain_radiant_w;
        if step.above.radiant_node {
            radiant.0[0] += gain;
        } else {
            heat.0[0] += gain;
        }
        Self {
            step,
            heat,
            radiant,
            vapour,
            beds,
            room,
            by_radiant: None,
            loop_w: Affine::default(),
            pipe_water: Affine::default(),
        }
    }

    /// The room's equations with the store's fan on for `duty` of the time.
    fn zone(&mut self, duty: f64, charging: bool) -> Zone {
        let step = self.step;
        let hour = step.at.hour;
        let (mut heat, mut radiant, mut vapour) = (self.heat, self.radiant, self.vapour);
        self.loop_w = Affine::default();
        self.pipe_water = Affine::default();
        if duty > 0.0 {
            heat.0[0] += self.run_store(duty, charging);
        } else {
            for bed in self.beds.iter_mut() {
                bed.set_source(&Affine::default());
            }
        }
        for (bed, area) in self.beds.iter().zip(step.frame.floor_m2) {
            if area > 0.0 {
                bed.add_to(&mut heat, area, &bed.to_air);
                bed.add_to(&mut radiant, area, &bed.to_radiant);
                bed.add_to(&mut vapour, area, &bed.evaporation);
            }
        }
        heat.add(-1.0, &self.loop_w);
        vapour.add(-1.0, &self.pipe_water);
        self.by_radiant = None;
        if step.above.radiant_node {
            let own = radiant.0[RADIANT];
            radiant.0[RADIANT] = 0.0;
            let solved = radiant.times(-1.0 / own);
            heat.substitute(RADIANT, &solved);
            vapour.substitute(RADIANT, &solved);
            self.by_radiant = Some(solved);
        }
        let mut zone = Zone::new(hour.outdoor_c, hour.outdoor_kpa, hour.pressure_kpa);
        zone.heat = heat;
        zone.vapour = vapour;
        for (pane, &area) in step.at.panes.iter().zip(&step.frame.layout.pane_m2) {
            zone.add_pane(pane, area, self.room.air_c, step.latent);
        }
        zone
    }

    /// Puts the store's heat into the beds; gives the fan's own heat, W.
    fn run_store(&mut self, duty: f64, charging: bool) -> f64 {
        let step = self.step;
        let (Some(exchange), Some(store)) = (step.frame.exchange, &step.frame.house.store) else {
            return 0.0;
        };
        let floor_m2 = step.frame.floor_m2[0] + step.frame.floor_m2[1];
        let collected = step
            .frame
            .house
            .collector
            .map_or(0.0, |c| c.effectiveness * step.at.hour.sun.collector_w);
        let lift_k =
            store.fan_w / exchange.capacity_flow_w_k + collected / exchange.capacity_flow_w_k;
        let conductance = duty * exchange.effectiveness * exchange.capacity_flow_w_k / floor_m2;
        let moist =
            duty * exchange.effectiveness * exchange.mass_flow_kg_s * WATER_TO_AIR_MOLE_MASS
                / step.at.hour.pressure_kpa
                / floor_m2;
        for (index, bed) in self.beds.iter_mut().enumerate().take(step.frame.beds()) {
            let area = step.frame.floor_m2[index];
            // Pipes that are colder than the dew point dry the air; taken at the latest temperatures.
            let store = bed.store();
            let saturated = step.pipe_kpa[index];
            let wet = charging && self.room.vapour_kpa > saturated;
            let mut water = Affine::default();
            if wet {
                water.0[0] = -moist * saturated;
                water.0[VAPOUR] = moist;
            }
            let mut driving = Affine::number(lift_k);
            driving.0[AIR] = 1.0;
            driving.add(-1.0, &store);
            let own = -driving.0[STORE];
            driving.0[STORE] = 0.0;
            let mut source = driving.times(conductance);
            source.add(step.latent, &water);
            let source = source.times(1.0 / (1.0 + conductance * own));
            let mut sensible = source;
            sensible.add(-step.latent, &water);
            bed.set_source(&source);
            self.loop_w.add(area, &sensible);
            self.pipe_water.add(area, &water);
        }
        duty * store.fan_w
    }

    /// Mean temperature round the pipes with the air at a state, °C.
    fn store_c(&self, state: AirState) -> f64 {
        let room = self.room_at(state);
        let areas = self.step.frame.floor_m2;
        let total = areas[0] + areas[1];
        self.beds
            .iter()
            .zip(areas)
            .map(|(bed, area)| bed.store().at(&room) * area / total)
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

    /// Share of the time that the store's fan must run, and whether it charges.
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
        let mut excess =
            |duty: f64| sign * (self.zone(duty, charging).solve(step.fan, 0.0).air_c - set_c);
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
    pub(super) fn run(&mut self) -> Found {
        let step = self.step;
        let hour = step.at.hour;
        let mut zone = self.zone(0.0, false);
        let mut state = zone.solve(step.fan, 0.0);
        let (duty, charging) = self.duty(state);
        if duty > 0.0 {
            zone = self.zone(duty, charging);
            state = zone.solve(step.fan, 0.0);
        }
        let mut flow = step.fan;
        if state.air_c > hour.vent_set_c && hour.outdoor_c < state.air_c {
            flow = zone
                .flow_to_hold(hour.vent_set_c, step.fan + step.vent_most)
                .clamp(step.fan, step.fan + step.vent_most);
            state = zone.solve(flow, 0.0);
        }
        if let Some(limit) = step
            .frame
            .house
            .air
            .vents
            .as_ref()
            .and_then(|v| v.humidity_pct)
        {
            flow = zone.flow_for_humidity(limit, 0.0, flow, step.fan + step.vent_most);
            state = zone.solve(flow, 0.0);
        }
        let mut found = Found {
            state,
            vent: flow - step.fan,
            heater_w: 0.0,
            cooler_w: 0.0,
            unmet_w: 0.0,
            duty,
            charging,
            loop_w: self.loop_w,
            pipe_water: self.pipe_water,
            zone,
        };
        if let (Some(heater), true) = (
            &step.frame.house.heater,
            found.state.air_c < hour.heater_set_c,
        ) {
            let (asked, held) = found.zone.power_to_hold(hour.heater_set_c, flow);
            found.heater_w = asked.min(heater.capacity_w).max(0.0);
            found.unmet_w = (asked - found.heater_w).max(0.0);
            found.state = if found.heater_w < asked {
                found.zone.solve(flow, found.heater_w)
            } else {
                held
            };
        } else if let (Some(cooler), true) = (
            &step.frame.house.cooler,
            found.state.air_c > hour.cooler_set_c,
        ) {
            let (asked, held) = found.zone.power_to_hold(hour.cooler_set_c, flow);
            found.cooler_w = (-asked).min(cooler.capacity_w).max(0.0);
            found.state = if found.cooler_w < -asked {
                found.zone.solve(flow, -found.cooler_w)
            } else {
                held
            };
        }
        self.room = self.room_at(found.state);
        found
    }
}
