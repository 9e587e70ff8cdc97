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
use super::{Mesh, Port};
use crate::house::scheme::{EXTRAPOLATE, WEIGHTS};

/// Sums over the modes that a step shows: what the face and the pipes get in each stage, the root zone's and the side
/// flow's means over the step, the heat. One place more makes them a whole number of registers.
const SHOWN: usize = 8;
/// Sums of the face in the two stages.
const FACE: [usize; 2] = [0, 1];
/// Sums of the pipes in the two stages.
const STORE: [usize; 2] = [2, 3];
/// Root zone, mean over the step.
const ROOT: usize = 4;
/// Flow sideways, mean over the step.
const SIDE: usize = 5;
/// Heat at the start.
const HEAT: usize = 6;

/// Seconds in a model year.
const YEAR_S: f64 = crate::calendar::HOURS_PER_YEAR as f64 * 3600.0;

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

/// The modes' answers in a step of one length.
#[derive(Clone, Debug, Default)]
struct Pace {
    /// New modes = keep now + face_k Ts_k + source_k Q_k + the ground beside; one a mode.
    keep: Vec<f64>,
    face: [Vec<f64>; 2],
    source: [Vec<f64>; 2],
    /// What each mode at the start of a step adds to the sums.
    shown: Vec<[f64; SHOWN]>,
    stages: Vec<Stages>,
    /// What the face temperature and the store's heat of each stage add to the sums of the step.
    by_face: [[f64; SHOWN]; 2],
    by_source: [[f64; SHOWN]; 2],
    /// What the room sees but for the known part: alike in both stages.
    port: Port,
}

/// A mode's single stages, for a stage that is handed over to the layers in the middle of a step.
#[derive(Clone, Copy, Debug, Default)]
struct Stages {
    /// First stage: keep now + inverse (beside + face Ts + store Q).
    keep: f64,
    inverse: f64,
    face: f64,
    store: f64,
    root: f64,
    side: f64,
    /// What is still to come after a year, as a share of the year's change, while each year leaves the same share.
    to_come: f64,
    /// Share of the ground beside in the step's end, and in each sum.
    beside: f64,
    shown_beside: [f64; SHOWN],
}

/// What drives a mode and what it shows.
struct Mode {
    decay: f64,
    face: f64,
    store: f64,
    root: f64,
    side: f64,
    heat: f64,
}

impl Pace {
    fn new(modes: &[Mode], up: f64, stage_s: f64) -> Self {
        let mut pace = Self {
            port: Port {
                conductance: up,
                ..Port::default()
            },
            ..Self::default()
        };
        for mode in modes {
            pace.add(mode, stage_s);
        }
        pace
    }

    fn add(&mut self, mode: &Mode, stage_s: f64) {
        let inverse = 1.0 / (1.0 / stage_s + mode.decay);
        // Shares of: the modes at the start, what drives the first stage, what drives the second.
        let first = inverse / stage_s;
        let passed = first * EXTRAPOLATE;
        let keep = first * (1.0 - EXTRAPOLATE) + passed * first;
        let by_first = passed * inverse;
        let beside = by_first + inverse;
        // The modes known to each stage, and each stage's own modes, as shares of the same three.
        let mean = |of: f64, at: [f64; 2]| of * (WEIGHTS[0] * at[0] + WEIGHTS[1] * at[1]);
        let shown = |by_stage: [f64; 2], known: [f64; 2], heat: f64| {
            [
                mode.face * known[0],
                mode.face * known[1],
                mode.store * known[0],
                mode.store * known[1],
                mean(mode.root, by_stage),
                mean(mode.side, by_stage),
                heat,
                0.0,
            ]
        };
        let of_start = shown([first, keep], [first, keep], mode.heat);
        let of_first = shown([inverse, by_first], [0.0, by_first], 0.0);
        let of_second = shown([0.0, inverse], [0.0, 0.0], 0.0);
        let of_beside = shown([inverse, beside], [inverse, beside], 0.0);
        for place in 0..SHOWN {
            for (stage, of) in [of_first, of_second].into_iter().enumerate() {
                self.by_face[stage][place] += of[place] * mode.face;
                self.by_source[stage][place] += of[place] * mode.store;
            }
        }
        self.keep.push(keep);
        for (stage, by) in [by_first, inverse].into_iter().enumerate() {
            self.face[stage].push(by * mode.face);
            self.source[stage].push(by * mode.store);
        }
        self.shown.push(of_start);
        self.stages.push(Stages {
            keep: first,
            inverse,
            face: mode.face,
            store: mode.store,
            root: mode.root,
            side: mode.side,
            to_come: 1.0 / (mode.decay * YEAR_S).exp_m1(),
            beside,
            shown_beside: of_beside,
        });
        let port = &mut self.port;
        port.conductance -= mode.face * mode.face * inverse;
        port.source_share += mode.face * mode.store * inverse;
        port.store_by_face += mode.store * mode.face * inverse;
        port.store_by_source += mode.store * mode.store * inverse;
    }
}

impl Modes {
    /// Modes of a mesh. `root_weights`: how the root zone's temperature is taken from the layers'; `ground_c`: mean and
    /// weights of the year's cosine and sine of the ground beside each layer, °C; `stage_s`: length of a stage, s.
    pub fn new(mesh: &Mesh, root_weights: &[f64], ground_c: [&[f64]; 3], stage_s: f64) -> Self {
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
            pace: Pace::new(&modes, mesh.up[0], stage_s),
            vectors,
            root_capacity,
        }
    }
}

/// What drove a stage.
#[derive(Clone, Copy, Debug, Default)]
struct Drive {
    face_c: f64,
    source: f64,
}

/// A thawed column in time.
#[derive(Clone, Debug)]
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
    root_c: f64,
    side_w: f64,
    gained: f64,
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
            beside_shown: [0.0; SHOWN],
            ground: vec![0.0; mesh.len()],
            beside_w: 0.0,
            shown: [0.0; SHOWN],
            drives: [Drive::default(); 2],
            port: mesh.modes.pace.port,
            root_c: 0.0,
            side_w: 0.0,
            gained: 0.0,
            top_c: 0.0,
            store_c: 0.0,
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
        modes.layers_heat(|k| self.mode(k), out);
    }

    /// Heat that a stage starts from, J/m2.
    pub fn known_heat(&self, modes: &Modes, stage: usize, out: &mut [f64]) {
        modes.layers_heat(
            |k| {
                let start = self.mode(k);
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

    fn mode(&self, k: usize) -> f64 {
        self.now[k]
    }

    /// A mode at the end of the first stage.
    fn first(&self, modes: &Modes, k: usize) -> f64 {
        let (mode, drive) = (&modes.pace.stages[k], &self.drives[0]);
        let driven = self.ground[k] + mode.face * drive.face_c + mode.store * drive.source;
        mode.keep * self.mode(k) + mode.inverse * driven
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

    /// Heat gained in the step that has ended, J/m2.
    pub fn gained(&self) -> f64 {
        self.gained
    }

    /// Root zone, mean over the step that has ended, °C.
    pub fn root_c(&self) -> f64 {
        self.root_c
    }

    /// Heat from undisturbed ground, mean over the step that has ended, W/m2.
    pub fn side_w(&self) -> f64 {
        self.side_w
    }
}

/// Steps the modes under what drove both stages; gives the sums over the new ones.
fn end_step(now: &mut [f64], beside: &[f64], pace: &Pace, [a, b]: [Drive; 2]) -> [f64; SHOWN] {
    let count = now.len();
    let (beside, keep) = (&beside[..count], &pace.keep[..count]);
    let [face_a, face_b] = pace.face.each_ref().map(|by| &by[..count]);
    if a.source == 0.0 && b.source == 0.0 {
        for k in 0..count {
            now[k] = (keep[k] * now[k] + beside[k]) + (face_a[k] * a.face_c + face_b[k] * b.face_c);
        }
    } else {
        let [source_a, source_b] = pace.source.each_ref().map(|by| &by[..count]);
        for k in 0..count {
            now[k] = (keep[k] * now[k] + beside[k])
                + (face_a[k] * a.face_c + face_b[k] * b.face_c)
                + (source_a[k] * a.source + source_b[k] * b.source);
        }
    }
    sums(now, &pace.shown)
}

/// Every sum over the modes; even and odd modes apart, so that additions need not wait for one another.
fn sums(now: &[f64], weights: &[[f64; SHOWN]]) -> [f64; SHOWN] {
    let (mut even, mut odd) = ([0.0; SHOWN], [0.0; SHOWN]);
    let (now, last) = now.as_chunks::<2>();
    let (weights, last_weights) = weights.as_chunks::<2>();
    for ([a, b], [of_a, of_b]) in now.iter().zip(weights) {
        for place in 0..SHOWN {
            even[place] += of_a[place] * a;
            odd[place] += of_b[place] * b;
        }
    }
    for (a, of_a) in last.iter().zip(last_weights) {
        for place in 0..SHOWN {
            even[place] += of_a[place] * a;
        }
    }
    std::array::from_fn(|place| even[place] + odd[place])
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
