//! The modes' answers in a step of one length: weights worked out once, applied hour by hour.

use super::Port;
use crate::calendar::{HOURS_PER_YEAR, SECONDS_PER_HOUR};
use crate::house::scheme::{EXTRAPOLATE, STAGE_S, WEIGHTS};

/// Sums over the modes that a step shows: what the face and the pipes get in each stage, the root zone's and the side
/// flow's means over the step, the heat. One place more makes them a whole number of registers.
pub(super) const SHOWN: usize = 8;
/// Sums of the face in the two stages.
pub(super) const FACE: [usize; 2] = [0, 1];
/// Sums of the pipes in the two stages.
pub(super) const STORE: [usize; 2] = [2, 3];
/// Root zone, mean over the step.
pub(super) const ROOT: usize = 4;
/// Flow sideways, mean over the step.
pub(super) const SIDE: usize = 5;
/// Heat at the start.
pub(super) const HEAT: usize = 6;

/// Seconds in a model year.
pub(super) const YEAR_S: f64 = HOURS_PER_YEAR as f64 * SECONDS_PER_HOUR;

/// The modes' answers in a step of one length.
#[derive(Clone, Debug, Default)]
pub(super) struct Pace {
    /// New modes = keep now + face_k Ts_k + source_k Q_k + the ground beside; one a mode.
    pub keep: Vec<f64>,
    pub face: [Vec<f64>; 2],
    pub source: [Vec<f64>; 2],
    /// What each mode at the start of a step adds to the sums.
    pub shown: Vec<[f64; SHOWN]>,
    pub stages: Vec<Stages>,
    /// What the face temperature and the store's heat of each stage add to the sums of the step.
    pub by_face: [[f64; SHOWN]; 2],
    pub by_source: [[f64; SHOWN]; 2],
    /// What the room sees but for the known part: alike in both stages.
    pub port: Port,
}

/// A mode's single stages, for a stage that is handed over to the layers in the middle of a step.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Stages {
    /// First stage: keep now + inverse (beside + face Ts + store Q).
    pub keep: f64,
    pub inverse: f64,
    pub face: f64,
    pub store: f64,
    pub root: f64,
    pub side: f64,
    /// What is still to come after a year, as a share of the year's change, while each year leaves the same share.
    pub to_come: f64,
    /// Share of the ground beside in the step's end, and in each sum.
    pub beside: f64,
    pub shown_beside: [f64; SHOWN],
}

/// What drives a mode and what it shows.
pub(super) struct Mode {
    pub decay: f64,
    pub face: f64,
    pub store: f64,
    pub root: f64,
    pub side: f64,
    pub heat: f64,
}

impl Pace {
    pub fn new(modes: &[Mode], up: f64) -> Self {
        let mut pace = Self {
            port: Port {
                conductance: up,
                ..Port::default()
            },
            ..Self::default()
        };
        for mode in modes {
            pace.add(mode);
        }
        pace
    }

    fn add(&mut self, mode: &Mode) {
        let inverse = 1.0 / (1.0 / STAGE_S + mode.decay);
        // Shares of: the modes at the start, what drives the first stage, what drives the second.
        let first = inverse / STAGE_S;
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

/// What drove a stage.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Drive {
    pub face_c: f64,
    pub source: f64,
}

/// Steps the modes under what drove both stages; gives the sums over the new ones.
pub(super) fn end_step(
    now: &mut [f64],
    beside: &[f64],
    pace: &Pace,
    [a, b]: [Drive; 2],
) -> [f64; SHOWN] {
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
pub(super) fn sums(now: &[f64], weights: &[[f64; SHOWN]]) -> [f64; SHOWN] {
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
