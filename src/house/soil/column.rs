//! A soil column in time: in its modes while it is thawed, layer by layer while water freezes in it.

use super::layers::Layers;
use super::mesh::year_angle;
use super::modes::Swinging;
use super::{Mesh, Port};

/// One column in time.
///
/// Thawed soil is stepped by modes, which is several times faster; both are the same implicit scheme. The modes hand over
/// to the layers in the stage in which the top layer or the soil round the pipes would fall below 0 °C, and take over again
/// at the step after which no layer is frozen. Frost comes from the face, from the pipes or from the side; frost from the
/// side alone (undisturbed ground below 0 °C) is looked for once a day.
#[derive(Clone, Debug)]
pub(in crate::house) struct Column {
    swinging: Swinging,
    layers: Layers,
    by_modes: bool,
    scratch: Vec<f64>,
}

impl Column {
    /// A column at given temperatures.
    pub fn new(mesh: &Mesh, temps: &[f64]) -> Self {
        let mut column = Self {
            swinging: Swinging::new(mesh),
            layers: Layers::new(mesh, temps),
            by_modes: false,
            scratch: vec![0.0; mesh.len()],
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
    pub fn heat(&self, mesh: &Mesh) -> Vec<f64> {
        let mut heat = self.layers.heat.clone();
        if self.by_modes {
            self.swinging.heat(&mesh.modes, &mut heat);
        }
        heat
    }

    /// Temperature of each layer, °C.
    #[cfg(test)]
    pub fn temps(&self, mesh: &Mesh) -> Vec<f64> {
        let mut layers = self.layers.clone();
        layers.set_heat(mesh, &self.heat(mesh));
        layers.temp_c
    }

    fn prefer_modes(&mut self, mesh: &Mesh) {
        if !self.by_modes && (!mesh.freezes() || self.layers.thawed()) {
            self.swinging.set_heat(&mesh.modes, &self.layers.heat);
            self.by_modes = true;
        }
    }

    /// Takes the undisturbed ground of a day (any real number) of the year.
    pub fn turn_day(&mut self, mesh: &Mesh, day: f64) {
        mesh.undisturbed_c(day, &mut self.layers.beside_c);
        let (sin, cos) = year_angle(day).sin_cos();
        self.swinging.set_beside(&mesh.modes, cos, sin);
        if self.by_modes && mesh.freezes() {
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
        if self.by_modes {
            self.swinging.begin();
        } else {
            self.layers.begin();
        }
    }

    /// Turns to the second stage of a step (see [`crate::house`]).
    pub fn extrapolate(&mut self, factor: f64) {
        if self.by_modes {
            self.swinging.extrapolate(factor);
        } else {
            self.layers.extrapolate(factor);
        }
    }

    /// Heat gained since the step began, J/m2.
    pub fn gained(&self) -> f64 {
        if self.by_modes {
            self.swinging.gained()
        } else {
            self.layers.gained()
        }
    }

    /// Solves the column for a stage of `dt_s` seconds but for face temperature and store heat.
    pub fn reduce(&mut self, mesh: &Mesh, dt_s: f64) -> Port {
        if self.by_modes {
            self.swinging.reduce(mesh, dt_s)
        } else {
            self.layers.reduce(mesh, dt_s)
        }
    }

    /// Temperatures that follow from face temperature and store heat, with every layer in its right phase. False when
    /// a layer has changed its phase: then the column shows another port and the room must be solved again; in the
    /// `last` round the phases are taken as they are, which keeps the balance all the same.
    pub fn settle(&mut self, mesh: &Mesh, dt_s: f64, face_c: f64, source: f64, last: bool) -> bool {
        if !self.by_modes {
            return self.layers.settle(mesh, dt_s, face_c, source, last);
        }
        self.swinging.finish(mesh, face_c, source);
        let frost = self.swinging.top_c < 0.0 || self.swinging.store_c < 0.0;
        if last || !frost || !mesh.freezes() {
            return true;
        }
        self.hand_to_layers(mesh);
        self.layers.reduce(mesh, dt_s);
        self.layers.settle(mesh, dt_s, face_c, source, last);
        false
    }

    /// Hands a stage that has begun over to the layers.
    fn hand_to_layers(&mut self, mesh: &Mesh) {
        self.swinging.start_heat(&mesh.modes, &mut self.scratch);
        self.layers.set_heat(mesh, &self.scratch);
        self.layers.begin();
        self.swinging.known_heat(&mesh.modes, &mut self.scratch);
        self.layers.set_known(&self.scratch);
        self.by_modes = false;
    }

    /// Heat from undisturbed ground into the column at the present temperatures, W/m2.
    pub fn side_flow(&self, mesh: &Mesh) -> f64 {
        if self.by_modes {
            self.swinging.side_flow()
        } else {
            self.layers.side_flow(mesh)
        }
    }

    /// Temperature of the root zone, °C.
    pub fn root_c(&self, mesh: &Mesh) -> f64 {
        if self.by_modes {
            self.swinging.root_c()
        } else {
            mesh.root_c(&self.layers.temp_c)
        }
    }

    /// Temperature of the top layer, °C.
    pub fn top_c(&self) -> f64 {
        if self.by_modes {
            self.swinging.top_c
        } else {
            self.layers.temp_c[0]
        }
    }
}
