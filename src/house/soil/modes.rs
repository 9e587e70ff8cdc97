//! A thawed column in its own modes: heat conduction in constant soil is a sum of shapes that decay each at its own pace,
//! so that an implicit step is one multiplication a mode, with no chain from layer to layer.
//!
//! With C the layers' capacities and K the conductances, y = C^(1/2) T obeys dy/dt = -A y + ..., A = C^(-1/2) K C^(-1/2)
//! symmetric and tridiagonal. In its eigenvectors the step of the whole column falls apart into steps of single modes. This
//! is the same implicit scheme as layer by layer, to rounding.

use super::eigen::eigen;
use super::{Mesh, Port};

/// Modes that are worked on side by side.
const LANES: usize = 4;

/// As many figures as are worked on side by side.
type Lane = [f64; LANES];

/// What does not change with time, by mode: what drives it and what it shows.
#[derive(Clone, Debug, Default)]
pub(super) struct Modes {
    /// Decay, 1/s.
    decay: Vec<f64>,
    /// From modes to y = C^(1/2) T: a row a mode.
    vectors: Vec<Vec<f64>>,
    root_capacity: Vec<f64>,
    face: Vec<f64>,
    store: Vec<f64>,
    side: Vec<f64>,
    root: Vec<f64>,
    heat: Vec<f64>,
    /// Heat from undisturbed ground beside the column at 0 °C: mean, and weights of the year's cosine and sine.
    beside: [Vec<f64>; 3],
    /// The same over all layers, W/m2.
    beside_w: [f64; 3],
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
        let sources: [Vec<f64>; 3] =
            ground_c.map(|ground| ground.iter().zip(&mesh.side).map(|(t, g)| t * g).collect());
        Self {
            beside: sources.each_ref().map(|source| turned(source)),
            beside_w: sources.each_ref().map(|source| source.iter().sum()),
            face: turned(&face),
            store: turned(&mesh.store),
            side: turned(&mesh.side),
            root: turned(root_weights),
            heat: turned(&mesh.capacity),
            decay,
            vectors,
            root_capacity,
        }
    }

    /// Heat in the layers, J/m2, of a column's modes.
    fn layers_heat(&self, rows: &[Row], part: impl Fn(&Row) -> &Lane, out: &mut [f64]) {
        out.fill(0.0);
        for (k, row) in self.vectors.iter().enumerate() {
            let size = part(&rows[k / LANES])[k % LANES];
            for (heat, v) in out.iter_mut().zip(row) {
                *heat += size * v;
            }
        }
        for (heat, c) in out.iter_mut().zip(&self.root_capacity) {
            *heat *= c;
        }
    }
}

/// Some modes in time.
#[derive(Clone, Copy, Debug, Default)]
struct Row {
    now: Lane,
    start: Lane,
    known: Lane,
    alone: Lane,
    beside: Lane,
}

/// Some modes' answers in a stage of one length.
#[derive(Clone, Copy, Debug, Default)]
struct Answer {
    inverse: Lane,
    by_face: Lane,
    by_source: Lane,
    face: Lane,
    store: Lane,
    root: Lane,
    side: Lane,
    heat: Lane,
}

/// A thawed column in time.
#[derive(Clone, Debug)]
pub(super) struct Swinging {
    rows: Vec<Row>,
    answers: Vec<Answer>,
    dt_s: f64,
    port: Port,
    /// Flow sideways = this less the modes' share, W/m2.
    beside_w: f64,
    side_sum: Lane,
    root_sum: Lane,
    /// Temperature of the top layer, °C, and round the pipes.
    pub top_c: f64,
    pub store_c: f64,
}

#[inline]
fn total(lane: Lane) -> f64 {
    (lane[0] + lane[1]) + (lane[2] + lane[3])
}

impl Swinging {
    pub fn new(mesh: &Mesh) -> Self {
        let lanes = mesh.len().div_ceil(LANES);
        Self {
            rows: vec![Row::default(); lanes],
            answers: vec![Answer::default(); lanes],
            dt_s: 0.0,
            port: Port::default(),
            beside_w: 0.0,
            side_sum: Lane::default(),
            root_sum: Lane::default(),
            top_c: 0.0,
            store_c: 0.0,
        }
    }

    /// Takes over the heat of thawed layers.
    pub fn set_heat(&mut self, modes: &Modes, heat: &[f64]) {
        for (k, row) in modes.vectors.iter().enumerate() {
            self.rows[k / LANES].now[k % LANES] = row
                .iter()
                .zip(heat)
                .zip(&modes.root_capacity)
                .map(|((v, h), c)| v * h / c)
                .sum();
        }
    }

    /// Heat of the layers, J/m2: now, at the step's start, and as known to the stage.
    pub fn heat(&self, modes: &Modes, out: &mut [f64]) {
        modes.layers_heat(&self.rows, |row| &row.now, out);
    }

    pub fn start_heat(&self, modes: &Modes, out: &mut [f64]) {
        modes.layers_heat(&self.rows, |row| &row.start, out);
    }

    pub fn known_heat(&self, modes: &Modes, out: &mut [f64]) {
        modes.layers_heat(&self.rows, |row| &row.known, out);
    }

    /// Takes the undisturbed ground beside the layers at an angle of the year's wave, by its cosine and sine.
    pub fn set_beside(&mut self, modes: &Modes, cos: f64, sin: f64) {
        let [mean, by_cos, by_sin] = &modes.beside;
        for (k, ((m, c), s)) in mean.iter().zip(by_cos).zip(by_sin).enumerate() {
            self.rows[k / LANES].beside[k % LANES] = m + c * cos + s * sin;
        }
        let [mean, by_cos, by_sin] = modes.beside_w;
        self.beside_w = mean + by_cos * cos + by_sin * sin;
    }

    pub fn begin(&mut self) {
        for row in &mut self.rows {
            row.start = row.now;
            row.known = row.now;
        }
    }

    pub fn extrapolate(&mut self, factor: f64) {
        for row in &mut self.rows {
            for i in 0..LANES {
                row.known[i] = row.start[i] + factor * (row.now[i] - row.start[i]);
            }
        }
    }

    pub fn reduce(&mut self, mesh: &Mesh, dt_s: f64) -> Port {
        if self.dt_s != dt_s {
            self.prepare(mesh, dt_s);
        }
        let per_s = 1.0 / dt_s;
        let (mut face, mut store) = (Lane::default(), Lane::default());
        for (row, answer) in self.rows.iter_mut().zip(&self.answers) {
            for i in 0..LANES {
                row.alone[i] = (row.known[i] * per_s + row.beside[i]) * answer.inverse[i];
                face[i] += answer.face[i] * row.alone[i];
                store[i] += answer.store[i] * row.alone[i];
            }
        }
        self.port.known = total(face);
        self.port.store_known = total(store);
        self.port
    }

    /// Modes that follow from face temperature and store heat.
    pub fn finish(&mut self, mesh: &Mesh, face_c: f64, source: f64) {
        let (mut root, mut side) = (Lane::default(), Lane::default());
        for (row, answer) in self.rows.iter_mut().zip(&self.answers) {
            for i in 0..LANES {
                let now = row.alone[i] + answer.by_face[i] * face_c + answer.by_source[i] * source;
                row.now[i] = now;
                root[i] += answer.root[i] * now;
                side[i] += answer.side[i] * now;
            }
        }
        self.root_sum = root;
        self.side_sum = side;
        let port = &self.port;
        // The flux into the column is that from the face to the top layer.
        let flux = port.conductance * face_c - port.known - port.source_share * source;
        self.top_c = face_c - flux / mesh.up[0];
        self.store_c =
            port.store_known + port.store_by_face * face_c + port.store_by_source * source;
    }

    /// Heat gained since the step began, J/m2.
    pub fn gained(&self) -> f64 {
        let mut sum = Lane::default();
        for (row, answer) in self.rows.iter().zip(&self.answers) {
            for i in 0..LANES {
                sum[i] += answer.heat[i] * (row.now[i] - row.start[i]);
            }
        }
        total(sum)
    }

    pub fn root_c(&self) -> f64 {
        total(self.root_sum)
    }

    pub fn side_flow(&self) -> f64 {
        self.beside_w - total(self.side_sum)
    }

    fn prepare(&mut self, mesh: &Mesh, dt_s: f64) {
        let modes = &mesh.modes;
        self.answers.fill(Answer::default());
        let mut port = Port {
            conductance: mesh.up[0],
            ..Port::default()
        };
        for k in 0..modes.decay.len() {
            let inverse = 1.0 / (1.0 / dt_s + modes.decay[k]);
            let (face, store) = (modes.face[k], modes.store[k]);
            let (at, lane) = (k / LANES, k % LANES);
            let answer = &mut self.answers[at];
            answer.inverse[lane] = inverse;
            answer.by_face[lane] = face * inverse;
            answer.by_source[lane] = store * inverse;
            answer.face[lane] = face;
            answer.store[lane] = store;
            answer.root[lane] = modes.root[k];
            answer.side[lane] = modes.side[k];
            answer.heat[lane] = modes.heat[k];
            port.conductance -= face * face * inverse;
            port.source_share += face * store * inverse;
            port.store_by_face += store * face * inverse;
            port.store_by_source += store * store * inverse;
        }
        self.port = port;
        self.dt_s = dt_s;
    }
}
