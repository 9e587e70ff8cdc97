//! From the solved stage to the means of the hour.

use super::{BedFlows, Found, State, Step};
use crate::house::FLOOR_PARTS_MAX;
use crate::house::affine::RADIANT;
use crate::house::scheme::WEIGHTS;

/// Means over an hour.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Flows {
    pub air_c: f64,
    pub vapour_kpa: f64,
    /// By part of the floor, the bare middle first.
    pub leaf_c: [f64; FLOOR_PARTS_MAX],
    pub bed_air_c: [f64; FLOOR_PARTS_MAX],
    pub bed_kpa: [f64; FLOOR_PARTS_MAX],
    pub root_c: [f64; FLOOR_PARTS_MAX],
    pub face_c: f64,
    pub store_c: f64,
    pub sun_w: f64,
    pub gains_w: f64,
    pub lamp_w: f64,
    pub fan_heat_w: f64,
    pub fan_w: f64,
    pub heater_w: f64,
    pub cooler_w: f64,
    pub unmet_w: f64,
    pub glazing_w: f64,
    pub sky_w: f64,
    pub walls_w: f64,
    /// From the room beside, through walls and with air.
    pub beside_w: f64,
    pub leaks_w: f64,
    pub vents_w: f64,
    pub ground_w: f64,
    pub latent_w: f64,
    pub floor_w: f64,
    pub store_w: f64,
    pub duty: f64,
    pub vent_m3_s: f64,
    pub leak_per_h: f64,
    pub condensation_kg_s: f64,
    pub evaporation_kg_s: f64,
    /// Heat gained by all nodes, J (a sum, not a mean).
    pub stored_j: f64,
}

impl<const N: usize> State<N> {
    /// Adds what a stage did to the means of the step.
    pub(super) fn account(&mut self, step: &Step, stage: usize, found: &Found, flows: &mut Flows) {
        let weight = WEIGHTS[stage];
        let hour = step.at.hour;
        let frame = step.frame;
        let room = self.room;
        let (mut walls, mut glazing) = (0.0, 0.0);
        let mut sun = hour.sun.air_w + hour.sun.collector_w;
        let across = &step.across;
        let mut beside = across.heat_w;
        for (index, wall) in self.walls.iter_mut().enumerate() {
            let outside = &step.at.walls[index];
            let shape = &frame.layout.shapes[index];
            let side = shape.shared.map_or(outside.outer, |at| across.sides[at]);
            let flow = wall.finish(shape, side.temp_c, &room);
            if shape.shared.is_some() {
                beside += flow;
            } else if frame.layout.wall_glazed[index] {
                glazing += flow;
            } else {
                walls += flow;
            }
            sun += outside.sun_w;
        }
        let sweat = &found.sweat;
        let light_glazed = hour.glazed_w - hour.glazed_w_k * room.air_c;
        let light = hour.light_w - hour.light_w_k * room.air_c;
        flows.glazing_w += weight * (glazing + light_glazed - sweat.outward_w);
        flows.walls_w += weight * (walls + light - light_glazed);
        if N > RADIANT {
            flows.sky_w += weight * step.through_glazing_w(room.radiant_c);
        }
        self.account_beds(step, stage, flows, &mut sun);
        flows.sun_w += weight * sun;
        let (exchanged, pipe_water) = (found.exchanged_w, found.pipe_water_kg_s);
        flows.store_w -= weight * exchanged;
        flows.latent_w += weight * (sweat.heat_w + pipe_water * step.latent);
        flows.condensation_kg_s += weight * (sweat.water_kg_s + pipe_water);
        let store_fan = frame.house.store.as_ref().map_or(0.0, |store| store.fan_w) * found.duty;
        flows.beside_w += weight * beside;
        flows.fan_heat_w += weight * (store_fan + across.fan_w);
        flows.fan_w += weight * (store_fan + across.fan_w + step.vent_fan_w(found.vent));
        flows.duty += weight
            * if found.charging {
                found.duty
            } else {
                -found.duty
            };
        flows.air_c += weight * room.air_c;
        flows.vapour_kpa += weight * room.vapour_kpa;
        flows.heater_w += weight * found.heater_w;
        flows.cooler_w += weight * found.cooler_w;
        flows.unmet_w += weight * found.unmet_w;
        flows.leaks_w += weight * found.leaks_w;
        flows.vents_w += weight * found.vents_w;
        flows.vent_m3_s += weight * found.vent / step.density;
    }

    fn account_beds(&mut self, step: &Step, stage: usize, flows: &mut Flows, sun: &mut f64) {
        let weight = WEIGHTS[stage];
        let frame = step.frame;
        let Some(mesh) = &frame.mesh else {
            for bed in 0..frame.house.parts.len() + 1 {
                flows.leaf_c[bed] += weight * self.room.air_c;
                flows.bed_air_c[bed] += weight * self.room.air_c;
                flows.bed_kpa[bed] += weight * self.room.vapour_kpa;
                flows.root_c[bed] += weight * self.room.air_c;
            }
            flows.face_c += weight * self.room.air_c;
            flows.store_c += weight * self.room.air_c;
            return;
        };
        let floor_m2 = frame.floor_m2.iter().sum::<f64>().max(f64::MIN_POSITIVE);
        for (index, column) in self.columns.iter_mut().enumerate() {
            let (area, mesh) = (frame.floor_m2[index], mesh.of(index));
            let bed = &mut self.beds[index];
            let done: BedFlows = bed.finish(&self.room);
            let hour = &step.bed_hours[index];
            *sun += area * (hour.leaf_sun + hour.soil_sun + hour.sheet_sun + hour.room_sun);
            flows.sky_w += weight * area * done.sky_w;
            flows.latent_w -= weight * area * done.latent_w;
            flows.evaporation_kg_s += weight * area * done.evaporation_kg_s;
            flows.floor_w -= weight * area * mesh.up[0] * (bed.face_c - column.top_c());
            flows.leaf_c[index] += weight * bed.leaf_c;
            flows.bed_air_c[index] += weight * bed.air_c;
            flows.bed_kpa[index] += weight * bed.vapour_kpa;
            column.keep(mesh, stage);
            flows.store_c += weight * area / floor_m2 * bed.store_c;
        }
        flows.face_c += weight * self.beds[0].face_c;
    }

    /// Ends the step of the soil and adds what it did, and what was the same in both stages.
    pub(super) fn end_step(&mut self, step: &Step, flows: &mut Flows) {
        let hour = step.at.hour;
        let fans = step.scheduled_fan_w();
        flows.fan_heat_w += fans;
        flows.fan_w += fans;
        flows.gains_w += hour.gain_air_w + hour.gain_radiant_w;
        flows.lamp_w += hour.lamp_w;
        flows.leak_per_h += step.leak_per_h;
        let Some(mesh) = &step.frame.mesh else {
            return;
        };
        for (index, column) in self.columns.iter_mut().enumerate() {
            column.end(mesh.of(index));
            flows.ground_w += step.frame.floor_m2[index] * column.side_w;
            flows.root_c[index] += column.root_c;
        }
    }
}
