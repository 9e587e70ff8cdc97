//! A thawed column in its own modes: heat conduction in constant soil is a sum of shapes that decay each at its own pace,
//! so that an implicit step is a few multiplications a mode, with no chain from layer to layer.
//!
//! With C the layers' capacities and K the conductances, y = C^(1/2) T obeys dy/dt = -A y + ..., A = C^(-1/2) K C^(-1/2)
//! symmetric and tridiagonal. In its eigenvectors the step of the whole column falls apart into steps of single modes. This
//! is the same implicit scheme as layer by layer, to rounding.
//!
//! Both stages of a step are linear in the modes at its start, in face temperature and store heat of each stage, and in
//! the ground beside. So a step reads and writes each mode once, and at the same time takes from the new modes the few
//! weighted sums that the next step shows to the room: [`Pace`] has the weights, worked out once for a length of step.

use super::eigen::eigen;
use super::step_weights::{
    Drive, FACE, HEAT, Mode, Pace, ROOT, SHOWN, SIDE, STORE, end_step, sums,
};
use super::{Mesh, Port};
use crate::house::scheme::EXTRAPOLATE;

/// What does not change with time, by mode: what drives it and what it shows.
#[derive(Clone, Debug, Default)]
pub(super) struct Modes {
    /// From modes to y = C^(1/2) T: a row a mode.
    vectors: Vec<Vec<f64>>,
    root_capacity: Vec<f64>,
    /// Heat from undisturbed ground beside the column at 0 °C, by mode: mean, and weights of the year's cosine and sine.
    beside: [Vec<f64>; 3],
    /// The same over all layers, W/m2.
    beside_w: [f64; 3],
    pace: Pace,
}

impl Modes {
    /// Modes of a mesh. `root_weights`: how the root zone's temperature is taken from the layers'; `ground_c`: mean and
    /// weights of the year's cosine and sine of the ground beside each layer, °C.
    pub fn new(mesh: &Mesh, root_weights: &[f64], ground_c: [&[f64]; 3]) -> Self {
        let count = mesh.len();
        let root_capacity: Vec<f64> = mesh.capacity.iter().map(|c| c.sqrt()).collect();
        let down = |i: usize| mesh.up.get(i + 1).copied().unwrap_or(0.0);
        let mut decay: Vec<f64> = (0..count)
            .map(|i| (mesh.up[i] + down(i) + mesh.side[i]) / mesh.capacity[i])
            .collect();
        let mut beside: Vec<f64> = (1..count)
            .map(|i| -mesh.up[i] / (root_capacity[i - 1] * root_capacity[i]))
            .collect();
        let vectors = eigen(&mut decay, &mut beside);
        // What a weight on layers' temperatures (or a source in layers) is in modes.
        let turned = |weights: &[f64]| -> Vec<f64> {
            vectors
                .iter()
                .map(|row| {
                    (0..count)
                        .map(|i| row[i] * weights[i] / root_capacity[i])
                        .sum()
                })
                .collect()
        };
        let mut face = vec![0.0; count];
        face[0] = mesh.up[0];
        let (face, store, root) = (turned(&face), turned(&mesh.store), turned(root_weights));
        let (side, heat) = (turned(&mesh.side), turned(&mesh.capacity));
        let modes: Vec<Mode> = (0..count)
            .map(|k| Mode {
                decay: decay[k],
                face: face[k],
                store: store[k],
                root: root[k],
                side: side[k],
                heat: heat[k],
            })
            .collect();
        let sources: [Vec<f64>; 3] =
            ground_c.map(|ground| ground.iter().zip(&mesh.side).map(|(t, g)| t * g).collect());
        Self {
            beside: sources.each_ref().map(|source| turned(source)),
            beside_w: sources.each_ref().map(|source| source.iter().sum()),
            pace: Pace::new(&modes, mesh.up[0]),
            vectors,
            root_capacity,
        }
    }
}

/// A thawed column in time.
#[derive(Clone, Debug, Default)]
pub(super) struct Swinging {
    now: Vec<f64>,
    /// What the ground beside adds to the modes in a step, and to each sum; changes from day to day.
    beside: Vec<f64>,
    beside_shown: [f64; SHOWN],
    /// Ground beside each mode.
    ground: Vec<f64>,
    /// Flow sideways = this less the modes' share, W/m2.
    beside_w: f64,
    /// Sums over the modes at the start of the step.
    shown: [f64; SHOWN],
    drives: [Drive; 2],
    port: Port,
    /// Root zone, °C, and heat from undisturbed ground, W/m2: means over the step that has ended.
    pub root_c: f64,
    pub side_w: f64,
    /// Heat gained in the step that has ended, J/m2.
    pub gained: f64,
    /// Temperature of the top layer, °C, and round the pipes.
    pub top_c: f64,
    pub store_c: f64,
}

impl Swinging {
    pub fn new(mesh: &Mesh) -> Self {
        let count = mesh.len();
        Self {
            now: vec![0.0; count],
            beside: vec![0.0; count],
            ground: vec![0.0; count],
            port: mesh.modes.pace.port,
            ..Self::default()
        }
    }

    /// Takes over the heat of thawed layers.
    pub fn set_heat(&mut self, modes: &Modes, heat: &[f64]) {
        for (k, row) in modes.vectors.iter().enumerate() {
            self.now[k] = modes.of_layers(row, heat);
        }
        self.shown = sums(&self.now, &modes.pace.shown);
    }

    /// Moves each mode on to where years like the last one lead, from its change since the layers held `before`, J/m2. Of
    /// a mode's distance from there a year leaves exp(-decay x year), under a face that each year drives alike.
    pub fn settle_ahead(&mut self, modes: &Modes, before: &[f64]) {
        for (k, row) in modes.vectors.iter().enumerate() {
            let earlier = modes.of_layers(row, before);
            self.now[k] += modes.pace.stages[k].to_come * (self.now[k] - earlier);
        }
        self.shown = sums(&self.now, &modes.pace.shown);
    }

    /// Heat of the layers at the start of the step, J/m2.
    pub fn heat(&self, modes: &Modes, out: &mut [f64]) {
        modes.layers_heat(|k| self.now[k], out);
    }

    /// Heat that a stage starts from, J/m2.
    pub fn known_heat(&self, modes: &Modes, stage: usize, out: &mut [f64]) {
        modes.layers_heat(
            |k| {
                let start = self.now[k];
                match stage {
                    0 => start,
                    _ => start + EXTRAPOLATE * (self.first(modes, k) - start),
                }
            },
            out,
        );
    }

    /// Root zone, °C, and side flow, W/m2, at the end of the first stage.
    pub fn first_stage(&self, modes: &Modes) -> (f64, f64) {
        let (mut root, mut side) = (0.0, 0.0);
        for (k, mode) in modes.pace.stages.iter().enumerate() {
            let first = self.first(modes, k);
            root += mode.root * first;
            side += mode.side * first;
        }
        (root, self.beside_w - side)
    }

    /// A mode at the end of the first stage.
    fn first(&self, modes: &Modes, k: usize) -> f64 {
        let (mode, drive) = (&modes.pace.stages[k], &self.drives[0]);
        let driven = self.ground[k] + mode.face * drive.face_c + mode.store * drive.source;
        mode.keep * self.now[k] + mode.inverse * driven
    }

    /// Takes the undisturbed ground beside the layers at an angle of the year's wave, by its cosine and sine.
    pub fn set_beside(&mut self, modes: &Modes, cos: f64, sin: f64) {
        let [mean, by_cos, by_sin] = &modes.beside;
        self.beside_shown = [0.0; SHOWN];
        for (k, mode) in modes.pace.stages.iter().enumerate() {
            let ground = mean[k] + by_cos[k] * cos + by_sin[k] * sin;
            self.ground[k] = ground;
            self.beside[k] = mode.beside * ground;
            for (sum, share) in self.beside_shown.iter_mut().zip(&mode.shown_beside) {
                *sum += share * ground;
            }
        }
        let [mean, by_cos, by_sin] = modes.beside_w;
        self.beside_w = mean + by_cos * cos + by_sin * sin;
    }

    /// What the column shows to the room in a stage.
    pub fn reduce(&mut self, modes: &Modes, stage: usize) -> Port {
        self.port.known = self.sum(modes, FACE[stage], stage);
        self.port.store_known = self.sum(modes, STORE[stage], stage);
        self.port
    }

    /// A sum over the modes, with what the stages before `stage` added to it.
    fn sum(&self, modes: &Modes, place: usize, stage: usize) -> f64 {
        let pace = &modes.pace;
        let mut sum = self.shown[place] + self.beside_shown[place];
        for before in 0..stage {
            let drive = &self.drives[before];
            sum += pace.by_face[before][place] * drive.face_c
                + pace.by_source[before][place] * drive.source;
        }
        sum
    }

    /// Takes face temperature and store heat of a stage; what follows for the top layer and the pipes.
    pub fn drive(&mut self, mesh: &Mesh, stage: usize, face_c: f64, source: f64) {
        self.drives[stage] = Drive { face_c, source };
        let port = &self.port;
        // The flux into the column is that from the face to the top layer.
        let flux = port.conductance * face_c - port.known - port.source_share * source;
        self.top_c = face_c - flux / mesh.up[0];
        self.store_c =
            port.store_known + port.store_by_face * face_c + port.store_by_source * source;
    }

    /// Ends a step: the modes that follow from what drove its stages.
    pub fn end(&mut self, modes: &Modes) {
        self.root_c = self.sum(modes, ROOT, 2);
        self.side_w = self.beside_w - self.sum(modes, SIDE, 2);
        let pace = &modes.pace;
        let shown = end_step(&mut self.now, &self.beside, pace, self.drives);
        self.gained = shown[HEAT] - self.shown[HEAT];
        self.shown = shown;
    }
}

impl Modes {
    /// The mode that `row` leads to, of layers that hold `heat`, J/m2.
    fn of_layers(&self, row: &[f64], heat: &[f64]) -> f64 {
        row.iter()
            .zip(heat)
            .zip(&self.root_capacity)
            .map(|((v, h), c)| v * h / c)
            .sum()
    }

    /// Heat in the layers, J/m2, of given modes.
    fn layers_heat(&self, size: impl Fn(usize) -> f64, out: &mut [f64]) {
        out.fill(0.0);
        for (k, row) in self.vectors.iter().enumerate() {
            let size = size(k);
            for (heat, v) in out.iter_mut().zip(row) {
                *heat += size * v;
            }
        }
        for (heat, c) in out.iter_mut().zip(&self.root_capacity) {
            *heat *= c;
        }
    }
}
