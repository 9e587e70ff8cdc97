//! A soil column layer by layer: one implicit solve a stage, layers freezing and thawing.

use super::{Mesh, Port};
use crate::house::scheme::{EXTRAPOLATE, STAGE_S};

/// Temperature range below 0 °C over which soil water freezes, K. Own choice: sandy and loamy soils freeze most of
/// their water within half a kelvin; no source.
const FREEZING_RANGE_K: f64 = 0.5;
/// Rounds until the phases of all layers stand still under a given face temperature.
const PHASE_ROUNDS: usize = 12;

/// State of soil water in a layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Phase {
    Thawed,
    Freezing,
    Frozen,
}

/// Heat of a layer as a straight line of its temperature within one phase: slope times T + offset.
#[inline]
fn line(phase: Phase, capacity: f64, latent: f64) -> (f64, f64) {
    match phase {
        Phase::Thawed => (capacity, 0.0),
        Phase::Freezing => (capacity + latent / FREEZING_RANGE_K, 0.0),
        Phase::Frozen => (capacity, -latent),
    }
}

#[inline]
fn phase_of_temp(temp: f64, latent: f64) -> Phase {
    if temp >= 0.0 || latent <= 0.0 {
        Phase::Thawed
    } else if temp > -FREEZING_RANGE_K {
        Phase::Freezing
    } else {
        Phase::Frozen
    }
}

/// One column in time, by its layers.
#[derive(Clone, Debug)]
pub(super) struct Layers {
    /// Temperature of each layer, °C.
    pub temp_c: Vec<f64>,
    /// Heat of each layer above 0 °C thawed, J/m2.
    pub heat: Vec<f64>,
    start: Vec<f64>,
    /// Heat that a stage starts from, J/m2.
    pub known: Vec<f64>,
    phase: Vec<Phase>,
    factored: bool,
    inverse: Vec<f64>,
    carry: Vec<f64>,
    below: Vec<f64>,
    offset: Vec<f64>,
    alone: Vec<f64>,
    by_face: Vec<f64>,
    by_source: Vec<f64>,
    /// Undisturbed ground beside each layer, °C.
    pub beside_c: Vec<f64>,
}

impl Layers {
    /// A column at given temperatures.
    pub fn new(mesh: &Mesh, temps: &[f64]) -> Self {
        let count = mesh.len();
        let mut column = Self {
            temp_c: temps.to_vec(),
            heat: vec![0.0; count],
            start: vec![0.0; count],
            known: vec![0.0; count],
            phase: vec![Phase::Thawed; count],
            factored: false,
            inverse: vec![0.0; count],
            carry: vec![0.0; count],
            below: vec![0.0; count],
            offset: vec![0.0; count],
            alone: vec![0.0; count],
            by_face: vec![0.0; count],
            by_source: vec![0.0; count],
            beside_c: vec![0.0; count],
        };
        for (layer, &temp) in temps.iter().enumerate() {
            let phase = phase_of_temp(temp, mesh.latent[layer]);
            let (slope, offset) = line(phase, mesh.capacity[layer], mesh.latent[layer]);
            column.phase[layer] = phase;
            column.heat[layer] = slope * temp + offset;
        }
        column
    }

    /// Takes over the heat of every layer.
    pub fn set_heat(&mut self, mesh: &Mesh, heat: &[f64]) {
        self.factored = false;
        for (layer, &value) in heat.iter().enumerate().take(mesh.len()) {
            let (capacity, latent) = (mesh.capacity[layer], mesh.latent[layer]);
            let freezing = capacity + latent / FREEZING_RANGE_K;
            self.heat[layer] = value;
            self.temp_c[layer] = if value >= 0.0 || latent <= 0.0 {
                value / capacity
            } else if value > -freezing * FREEZING_RANGE_K {
                value / freezing
            } else {
                (value + latent) / capacity
            };
            self.phase[layer] = phase_of_temp(self.temp_c[layer], latent);
        }
    }

    /// Is no layer frozen, in part or whole?
    pub fn thawed(&self) -> bool {
        !self.any_frost() && self.heat.iter().all(|&heat| heat >= 0.0)
    }

    /// Begins a step.
    pub fn begin(&mut self) {
        self.start.copy_from_slice(&self.heat);
        self.known.copy_from_slice(&self.heat);
    }

    /// Turns to the second stage of a step (see [`crate::house`]).
    pub fn extrapolate(&mut self) {
        for ((known, start), heat) in self.known.iter_mut().zip(&self.start).zip(&self.heat) {
            *known = start + EXTRAPOLATE * (heat - start);
        }
    }

    /// Heat gained since the step began, J/m2.
    pub fn gained(&self) -> f64 {
        self.heat
            .iter()
            .zip(&self.start)
            .map(|(heat, start)| heat - start)
            .sum()
    }

    /// Solves the column for a stage but for face temperature and store heat.
    pub fn reduce(&mut self, mesh: &Mesh) -> Port {
        if !self.factored {
            self.factor(mesh);
        }
        let per_s = 1.0 / STAGE_S;
        let count = mesh.len();
        let side = &mesh.side[..count];
        let known = &self.known[..count];
        let offset = &self.offset[..count];
        let beside = &self.beside_c[..count];
        let inverse = &self.inverse[..count];
        let below = &self.below[..count];
        let carry = &self.carry[..count];
        let alone = &mut self.alone[..count];
        for i in 0..count {
            alone[i] = ((known[i] - offset[i]) * per_s + side[i] * beside[i]) * inverse[i];
        }
        let mut lower = 0.0;
        for i in (0..count).rev() {
            lower = alone[i] + below[i] * lower;
            alone[i] = lower;
        }
        let mut upper = 0.0;
        for i in 0..count {
            upper = alone[i] + carry[i] * upper;
            alone[i] = upper;
        }
        self.port(mesh)
    }

    fn port(&self, mesh: &Mesh) -> Port {
        let top = mesh.up[0];
        let mut port = Port {
            conductance: top * (1.0 - self.by_face[0]),
            known: top * self.alone[0],
            source_share: top * self.by_source[0],
            ..Port::default()
        };
        for (layer, &weight) in mesh.store.iter().enumerate() {
            if weight != 0.0 {
                port.store_known += weight * self.alone[layer];
                port.store_by_face += weight * self.by_face[layer];
                port.store_by_source += weight * self.by_source[layer];
            }
        }
        port
    }

    /// Temperatures that follow from face temperature and store heat, with every layer in its right phase. False when
    /// a layer has changed its phase: then the column shows another port and the room must be solved again; in the
    /// `last` round the phases are taken as they are, which keeps the balance all the same.
    pub fn settle(&mut self, mesh: &Mesh, face_c: f64, source: f64, last: bool) -> bool {
        if self.finish(mesh, face_c, source, last) {
            return true;
        }
        for _ in 0..PHASE_ROUNDS {
            self.reduce(mesh);
            if self.finish(mesh, face_c, source, last) {
                break;
            }
        }
        false
    }

    fn finish(&mut self, mesh: &Mesh, face_c: f64, source: f64, last: bool) -> bool {
        let count = mesh.len();
        let alone = &self.alone[..count];
        let by_face = &self.by_face[..count];
        let by_source = &self.by_source[..count];
        let temp = &mut self.temp_c[..count];
        let mut coldest = f64::INFINITY;
        for i in 0..count {
            temp[i] = alone[i] + by_face[i] * face_c + by_source[i] * source;
            coldest = coldest.min(temp[i]);
        }
        if coldest < 0.0 || self.any_frost() {
            if !last && self.change_phases(mesh) {
                self.factored = false;
                return false;
            }
            for i in 0..count {
                let (slope, offset) = line(self.phase[i], mesh.capacity[i], mesh.latent[i]);
                self.heat[i] = slope * self.temp_c[i] + offset;
            }
        } else {
            let heat = &mut self.heat[..count];
            let capacity = &mesh.capacity[..count];
            for i in 0..count {
                heat[i] = capacity[i] * self.temp_c[i];
            }
        }
        true
    }

    fn any_frost(&self) -> bool {
        self.phase.iter().any(|&phase| phase != Phase::Thawed)
    }

    fn change_phases(&mut self, mesh: &Mesh) -> bool {
        let mut changed = false;
        for ((phase, &temp), &latent) in self.phase.iter_mut().zip(&self.temp_c).zip(&mesh.latent) {
            let now = match (*phase, phase_of_temp(temp, latent)) {
                // No leap over the freezing range: heat is steepest there, and a leap back and forth would not end.
                (Phase::Thawed, Phase::Frozen) | (Phase::Frozen, Phase::Thawed) => Phase::Freezing,
                (_, next) => next,
            };
            changed |= now != *phase;
            *phase = now;
        }
        changed
    }

    /// Heat from undisturbed ground into the column at the present temperatures, W/m2.
    pub fn side_flow(&self, mesh: &Mesh) -> f64 {
        mesh.side
            .iter()
            .zip(&self.beside_c)
            .zip(&self.temp_c)
            .map(|((side, beside), temp)| side * (beside - temp))
            .sum()
    }

    fn factor(&mut self, mesh: &Mesh) {
        let count = mesh.len();
        let mut carry_below = 0.0;
        for i in (0..count).rev() {
            let (slope, offset) = line(self.phase[i], mesh.capacity[i], mesh.latent[i]);
            let down = if i + 1 < count { mesh.up[i + 1] } else { 0.0 };
            let pivot = slope / STAGE_S + mesh.up[i] + mesh.side[i] + down - down * carry_below;
            let inverse = 1.0 / pivot;
            self.offset[i] = offset;
            self.inverse[i] = inverse;
            self.carry[i] = mesh.up[i] * inverse;
            self.below[i] = down * inverse;
            carry_below = self.carry[i];
        }
        // Unit answers to the face and to the store's heat.
        let mut lower = 0.0;
        for i in (0..count).rev() {
            lower = mesh.store[i] * self.inverse[i] + self.below[i] * lower;
            self.by_source[i] = lower;
        }
        let (mut face, mut source) = (1.0, 0.0);
        for i in 0..count {
            face *= self.carry[i];
            source = self.by_source[i] + self.carry[i] * source;
            self.by_face[i] = face;
            self.by_source[i] = source;
        }
        self.factored = true;
    }
}
