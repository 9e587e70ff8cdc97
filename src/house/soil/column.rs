//! A soil column in time: in its modes while it is thawed, layer by layer while water freezes in it.

use super::layers::Layers;
use super::mesh::year_angle;
use super::modes::Swinging;
use super::{Mesh, Port};
use crate::house::scheme::WEIGHTS;

/// One column in time.
///
/// Thawed soil is stepped by modes, which is several times faster; both are the same implicit scheme. The modes hand over
/// to the layers in the stage in which the top layer or the soil round the pipes would fall below 0 °C, and take over again
/// at the step after which no layer is frozen. Frost comes from the face, from the pipes or from the side; frost from the
/// side alone (undisturbed ground below 0 °C) is looked for once a day.
///
/// A step: [`begin`](Self::begin), then for both stages [`reduce`](Self::reduce) and [`settle`](Self::settle) until that
/// is content and [`keep`](Self::keep), then [`end`](Self::end).
#[derive(Clone, Debug)]
pub(crate) struct Column {
    swinging: Swinging,
    layers: Layers,
    by_modes: bool,
    scratch: Vec<f64>,
    /// Temperature of the root zone, mean over the step that has ended, °C.
    pub root_c: f64,
    /// Heat from undisturbed ground into the column, mean over the step that has ended, W/m2.
    pub side_w: f64,
}

impl Column {
    /// A column at given temperatures.
    pub fn new(mesh: &Mesh, temps: &[f64]) -> Self {
        let mut column = Self {
            swinging: Swinging::new(mesh),
            layers: Layers::new(mesh, temps),
            by_modes: false,
            scratch: vec![0.0; mesh.len()],
            root_c: 0.0,
            side_w: 0.0,
        };
        column.prefer_modes(mesh);
        column
    }

    /// Takes over the heat of every layer, J/m2.
    pub fn set_heat(&mut self, mesh: &Mesh, heat: &[f64]) {
        self.layers.set_heat(mesh, heat);
        self.by_modes = false;
        self.prefer_modes(mesh);
    }

    /// Heat of each layer above 0 °C thawed, J/m2.
    #[cfg(test)]
    pub fn heat(&self, mesh: &Mesh) -> Vec<f64> {
        let mut heat = Vec::new();
        self.add_heat(mesh, &mut heat);
        heat
    }

    /// The same at the end of a list.
    pub fn add_heat(&self, mesh: &Mesh, list: &mut Vec<f64>) {
        let from = list.len();
        list.extend_from_slice(&self.layers.heat);
        if self.by_modes {
            self.swinging.heat(&mesh.modes, &mut list[from..]);
        }
    }

    /// Temperature of each layer, °C.
    #[cfg(test)]
    pub fn temps(&self, mesh: &Mesh) -> Vec<f64> {
        let mut layers = self.layers.clone();
        layers.set_heat(mesh, &self.heat(mesh));
        layers.temp_c
    }

    fn prefer_modes(&mut self, mesh: &Mesh) {
        if !self.by_modes && (!mesh.water_freezes || self.layers.thawed()) {
            self.swinging.set_heat(&mesh.modes, &self.layers.heat);
            self.by_modes = true;
        }
    }

    /// Moves thawed soil on to where years like the last one lead, which began with `before` J/m2 in the layers. Left as it
    /// is where water freezes, before or after.
    pub fn settle_ahead(&mut self, mesh: &Mesh, before: &[f64]) {
        if !self.by_modes || mesh.water_freezes && before.iter().any(|&heat| heat < 0.0) {
            return;
        }
        let modes = &mesh.modes;
        self.swinging.heat(modes, &mut self.scratch);
        self.layers.set_heat(mesh, &self.scratch);
        self.swinging.settle_ahead(modes, before);
        self.swinging.heat(modes, &mut self.scratch);
        if mesh.water_freezes && self.scratch.iter().any(|&heat| heat < 0.0) {
            self.swinging.set_heat(modes, &self.layers.heat);
        }
    }

    /// Takes the undisturbed ground of a day (any real number) of the year.
    pub fn turn_day(&mut self, mesh: &Mesh, day: f64) {
        mesh.undisturbed_c(day, &mut self.layers.beside_c);
        let (sin, cos) = year_angle(day).sin_cos();
        self.swinging.set_beside(&mesh.modes, cos, sin);
        let frost_beside = self.layers.beside_c.iter().any(|&beside| beside < 0.0);
        if self.by_modes && mesh.water_freezes && frost_beside {
            self.swinging.heat(&mesh.modes, &mut self.scratch);
            if self.scratch.iter().any(|&heat| heat < 0.0) {
                self.layers.set_heat(mesh, &self.scratch);
                self.by_modes = false;
            }
        }
    }

    /// Begins a step.
    pub fn begin(&mut self, mesh: &Mesh) {
        self.prefer_modes(mesh);
        (self.root_c, self.side_w) = (0.0, 0.0);
        if !self.by_modes {
            self.layers.begin();
        }
    }

    /// Solves the column for a stage (0 or 1) but for face temperature and store heat.
    pub fn reduce(&mut self, mesh: &Mesh, stage: usize) -> Port {
        if self.by_modes {
            self.swinging.reduce(&mesh.modes, stage)
        } else {
            self.layers.reduce(mesh)
        }
    }

    /// Temperatures that follow from face temperature and store heat, with every layer in its right phase. False when
    /// a layer has changed its phase: then the column shows another port and the room must be solved again; in the
    /// `last` round the phases are taken as they are, which keeps the balance all the same.
    pub fn settle(
        &mut self,
        mesh: &Mesh,
        stage: usize,
        face_c: f64,
        source: f64,
        last: bool,
    ) -> bool {
        if !self.by_modes {
            return self.layers.settle(mesh, face_c, source, last);
        }
        self.swinging.drive(mesh, stage, face_c, source);
        let frost = self.swinging.top_c < 0.0 || self.swinging.store_c < 0.0;
        if last || !frost || !mesh.water_freezes {
            return true;
        }
        self.hand_to_layers(mesh, stage);
        self.layers.reduce(mesh);
        self.layers.settle(mesh, face_c, source, last);
        false
    }

    /// Hands a stage that has begun over to the layers.
    fn hand_to_layers(&mut self, mesh: &Mesh, stage: usize) {
        if stage > 0 {
            let (root_c, side_w) = self.swinging.first_stage(&mesh.modes);
            self.root_c = WEIGHTS[0] * root_c;
            self.side_w = WEIGHTS[0] * side_w;
        }
        self.swinging.heat(&mesh.modes, &mut self.scratch);
        self.layers.set_heat(mesh, &self.scratch);
        self.layers.begin();
        self.swinging
            .known_heat(&mesh.modes, stage, &mut self.scratch);
        self.layers.known.copy_from_slice(&self.scratch);
        self.by_modes = false;
    }

    /// Keeps a stage that has settled.
    pub fn keep(&mut self, mesh: &Mesh, stage: usize) {
        if self.by_modes {
            return;
        }
        self.root_c += WEIGHTS[stage] * mesh.root_c(&self.layers.temp_c);
        self.side_w += WEIGHTS[stage] * self.layers.side_flow(mesh);
        if stage == 0 {
            self.layers.extrapolate();
        }
    }

    /// Ends a step.
    pub fn end(&mut self, mesh: &Mesh) {
        if self.by_modes {
            self.swinging.end(&mesh.modes);
            self.root_c = self.swinging.root_c;
            self.side_w = self.swinging.side_w;
        }
    }

    /// Heat gained in the step that has ended, J/m2.
    pub fn gained(&self) -> f64 {
        if self.by_modes {
            self.swinging.gained
        } else {
            self.layers.gained()
        }
    }

    /// Temperature of the top layer at the end of the stage, °C.
    pub fn top_c(&self) -> f64 {
        if self.by_modes {
            self.swinging.top_c
        } else {
            self.layers.temp_c[0]
        }
    }
}
