//! The soil column under one square metre of floor: implicit finite volumes with freezing water.
//!
//! Each layer conducts to its neighbours and sideways to undisturbed ground at its own depth. The side path is the
//! perimeter formula that was fitted to a two-dimensional solution of 756 floors:
//!
//! ```text
//! path(z) = 1.7 w + 0.04 lambda + 0.195 B' + 0.36 z        G(z) = P dz / (R_skirt(z) + path(z) / lambda)
//! ```
//!
//! w wall thickness, lambda conductivity, B' = A / (P / 2), P perimeter, z middle of the layer. R_skirt is zero
//! below the skirt; a layer ends where the skirt ends. The deepest face is adiabatic.

use super::Floor;
use crate::air::LATENT_HEAT_FUSION_J_KG;
use crate::site::UndisturbedGround;

/// Density of water, kg/m3.
const WATER_DENSITY_KG_M3: f64 = 1000.0;
/// Temperature range below 0 °C over which soil water freezes, K. Own choice: sandy and loamy soils freeze most of
/// their water within half a kelvin; no source.
const FREEZING_RANGE_K: f64 = 0.5;
/// Depth down to which layers are equally thin, m (three damping depths of the daily wave in common soils).
const FINE_DEPTH_M: f64 = 0.3;
/// Share of the layers that lie above [`FINE_DEPTH_M`].
const FINE_SHARE: f64 = 0.4;
/// Shortest layer kept when a skirt, slab or pipe depth splits one, m.
const SHORTEST_LAYER_M: f64 = 0.004;
/// Rounds until the phases of all layers stand still under a given face temperature.
const PHASE_ROUNDS: usize = 12;
/// Depth that stands for the root zone, m.
pub(super) const ROOT_DEPTH_M: f64 = 0.1;
/// Depth reported as store temperature where there is no store, m.
pub(super) const DEFAULT_STORE_DEPTH_M: f64 = 0.6;

/// Coefficients of the perimeter formula (fitted to floor_2d, see the module).
const PATH_PER_WALL: f64 = 1.7;
/// m per W/mK.
const PATH_PER_CONDUCTIVITY: f64 = 0.04;
/// m per m of B'.
const PATH_PER_BREADTH: f64 = 0.195;
/// m per m of depth.
const PATH_PER_DEPTH: f64 = 0.36;

/// Layers of a column, per m2 of floor.
#[derive(Clone, Debug)]
pub(super) struct Mesh {
    /// Middle of each layer, m.
    pub depth_m: Vec<f64>,
    /// Conductance from the layer above (for the first: from the floor's face), W/m2K.
    pub up: Vec<f64>,
    /// Conductance sideways, W/m2K.
    pub side: Vec<f64>,
    /// Heat capacity, J/m2K.
    pub capacity: Vec<f64>,
    /// Heat of freezing, J/m2.
    pub latent: Vec<f64>,
    /// Share of the store's heat and weight in its temperature.
    pub store: Vec<f64>,
    /// Undisturbed ground at each layer's depth: mean, and weights of the year's cosine and sine, °C.
    mean_c: f64,
    cosine: Vec<f64>,
    sine: Vec<f64>,
    root: Between,
}

/// A depth between the middles of two layers.
#[derive(Clone, Copy, Debug)]
struct Between {
    above: usize,
    below: usize,
    share_below: f64,
}

impl Mesh {
    /// Layers of a floor; `store_depths_m` are the pipe layers (empty: none).
    pub fn new(floor: &Floor, store_depths_m: &[f64], ground: &UndisturbedGround) -> Self {
        let faces = faces(floor);
        let count = faces.len() - 1;
        let slab_m = floor.slab.map_or(0.0, |slab| slab.thickness_m);
        let mut mesh = Self {
            depth_m: Vec::with_capacity(count),
            up: Vec::with_capacity(count),
            side: Vec::with_capacity(count),
            capacity: Vec::with_capacity(count),
            latent: Vec::with_capacity(count),
            store: vec![0.0; count],
            mean_c: ground.mean_c,
            cosine: Vec::with_capacity(count),
            sine: Vec::with_capacity(count),
            root: Between {
                above: 0,
                below: 0,
                share_below: 0.0,
            },
        };
        let mut resistance_above = floor.mulch_m2k_w;
        for pair in faces.windows(2) {
            let (top, bottom) = (pair[0], pair[1]);
            let (thick, depth) = (bottom - top, 0.5 * (top + bottom));
            let in_slab = floor.slab.filter(|_| depth < slab_m);
            let (conductivity, volumetric, water) = match in_slab {
                Some(slab) => (
                    slab.conductivity_w_mk,
                    slab.density_kg_m3 * slab.heat_capacity_j_kgk,
                    0.0,
                ),
                None => (
                    floor.soil.conductivity_w_mk,
                    floor.soil.heat_capacity_j_m3k,
                    floor.soil.water_m3_m3,
                ),
            };
            let half = 0.5 * thick / conductivity;
            mesh.up.push(1.0 / (resistance_above + half));
            resistance_above = half;
            mesh.depth_m.push(depth);
            mesh.capacity.push(volumetric * thick);
            mesh.latent
                .push(water * WATER_DENSITY_KG_M3 * LATENT_HEAT_FUSION_J_KG * thick);
            mesh.side.push(side_conductance(floor, depth, thick));
            let wave = |day: f64| ground.temp_c(depth, day) - ground.mean_c;
            mesh.cosine.push(wave(0.0));
            mesh.sine
                .push(wave(crate::calendar::DAYS_PER_YEAR as f64 / 4.0));
        }
        mesh.root = mesh.between(slab_m + ROOT_DEPTH_M);
        let default_depth = [DEFAULT_STORE_DEPTH_M];
        let depths = if store_depths_m.is_empty() {
            &default_depth[..]
        } else {
            store_depths_m
        };
        for &depth in depths {
            let at = mesh.between(depth);
            let weight = 1.0 / depths.len() as f64;
            mesh.store[at.above] += weight * (1.0 - at.share_below);
            mesh.store[at.below] += weight * at.share_below;
        }
        mesh
    }

    /// Number of layers.
    pub fn len(&self) -> usize {
        self.depth_m.len()
    }

    /// Undisturbed ground at each layer's depth on a day (any real number) of the year, °C.
    pub fn undisturbed_c(&self, day: f64, out: &mut [f64]) {
        let angle = std::f64::consts::TAU * day / crate::calendar::DAYS_PER_YEAR as f64;
        let (sin, cos) = angle.sin_cos();
        for ((temp, a), b) in out.iter_mut().zip(&self.cosine).zip(&self.sine) {
            *temp = self.mean_c + a * cos + b * sin;
        }
    }

    /// Temperature of the root zone in a column, °C.
    pub fn root_c(&self, temps: &[f64]) -> f64 {
        let at = self.root;
        temps[at.above] * (1.0 - at.share_below) + temps[at.below] * at.share_below
    }

    fn between(&self, depth: f64) -> Between {
        let below = self
            .depth_m
            .partition_point(|&middle| middle < depth)
            .min(self.len() - 1);
        let above = below.saturating_sub(1);
        let span = self.depth_m[below] - self.depth_m[above];
        let share_below = if span > 0.0 {
            ((depth - self.depth_m[above]) / span).clamp(0.0, 1.0)
        } else {
            1.0
        };
        Between {
            above,
            below,
            share_below,
        }
    }
}

/// Side conductance of a layer to undisturbed ground, W/K per m2 of floor.
fn side_conductance(floor: &Floor, depth: f64, thick: f64) -> f64 {
    if floor.perimeter_m <= 0.0 {
        return 0.0;
    }
    let conductivity = floor.soil.conductivity_w_mk;
    let breadth = floor.area_m2 / (0.5 * floor.perimeter_m);
    let path = PATH_PER_WALL * floor.wall_thickness_m
        + PATH_PER_CONDUCTIVITY * conductivity
        + PATH_PER_BREADTH * breadth
        + PATH_PER_DEPTH * depth;
    let skirt = floor
        .skirt
        .filter(|skirt| depth < skirt.depth_m)
        .map_or(0.0, |skirt| skirt.resistance_m2k_w);
    floor.perimeter_m * thick / (skirt + path / conductivity) / floor.area_m2
}

/// Faces between the layers, from 0 to the column's depth: equally thin down to [`FINE_DEPTH_M`], then growing; with
/// a face where the slab and the skirt end.
fn faces(floor: &Floor) -> Vec<f64> {
    let count = floor.layers.max(2);
    let fine = ((count as f64 * FINE_SHARE).round() as usize).clamp(1, count - 1);
    let coarse = count - fine;
    let fine_depth = FINE_DEPTH_M.min(0.5 * floor.depth_m);
    let thin = fine_depth / fine as f64;
    let growth = growth_for(thin, coarse, floor.depth_m - fine_depth);
    let mut faces: Vec<f64> = (0..=fine).map(|layer| thin * layer as f64).collect();
    let (mut thick, mut depth) = (thin, fine_depth);
    for _ in 0..coarse {
        thick *= growth;
        depth += thick;
        faces.push(depth);
    }
    if let Some(last) = faces.last_mut() {
        *last = floor.depth_m;
    }
    let ends = [
        floor.slab.map(|slab| slab.thickness_m),
        floor.skirt.map(|skirt| skirt.depth_m),
    ];
    for end in ends.into_iter().flatten() {
        put_face(&mut faces, end);
    }
    faces
}

/// Adds a face at `depth`, or moves the nearest one there when the layer between would be too thin.
fn put_face(faces: &mut Vec<f64>, depth: f64) {
    let last = faces.len() - 1;
    if depth <= SHORTEST_LAYER_M || depth >= faces[last] - SHORTEST_LAYER_M {
        return;
    }
    let after = faces.partition_point(|&face| face < depth);
    if depth - faces[after - 1] < SHORTEST_LAYER_M && after > 1 {
        faces[after - 1] = depth;
    } else if faces[after] - depth < SHORTEST_LAYER_M && after < last {
        faces[after] = depth;
    } else {
        faces.insert(after, depth);
    }
}

/// Growth factor with which `count` layers after one of `thin` fill `depth`.
fn growth_for(thin: f64, count: usize, depth: f64) -> f64 {
    /// Bisection steps: enough for the last bit of a factor between 0.5 and 3.
    const STEPS: usize = 60;
    let filled = |growth: f64| -> f64 {
        let mut thick = thin;
        (0..count)
            .map(|_| {
                thick *= growth;
                thick
            })
            .sum()
    };
    let (mut low, mut high) = (0.5, 10.0);
    for _ in 0..STEPS {
        let middle = 0.5 * (low + high);
        if filled(middle) < depth {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

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

/// One column in time.
#[derive(Clone, Debug)]
pub(super) struct Column {
    /// Temperature of each layer, °C.
    pub temp_c: Vec<f64>,
    /// Heat of each layer above 0 °C thawed, J/m2.
    pub heat: Vec<f64>,
    start: Vec<f64>,
    known: Vec<f64>,
    phase: Vec<Phase>,
    factored: bool,
    factored_dt: f64,
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

/// What a column shows to the room for one stage: affine in the face temperature Ts and the store's heat Q (W/m2).
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Port {
    /// Flux into the column = conductance Ts - known - source_share Q, W/m2.
    pub conductance: f64,
    /// W/m2.
    pub known: f64,
    /// Share of Q that comes back to the face.
    pub source_share: f64,
    /// Store temperature = store_known + store_by_face Ts + store_by_source Q.
    pub store_known: f64,
    /// K per K.
    pub store_by_face: f64,
    /// K per W/m2.
    pub store_by_source: f64,
}

impl Column {
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
            factored_dt: 0.0,
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
        for layer in 0..mesh.len() {
            let (capacity, latent) = (mesh.capacity[layer], mesh.latent[layer]);
            let value = heat[layer];
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

    /// Begins a step.
    pub fn begin(&mut self) {
        self.start.copy_from_slice(&self.heat);
        self.known.copy_from_slice(&self.heat);
    }

    /// Turns to the second stage of a step (see [`super::stage`]).
    pub fn extrapolate(&mut self, factor: f64) {
        for ((known, start), heat) in self.known.iter_mut().zip(&self.start).zip(&self.heat) {
            *known = start + factor * (heat - start);
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

    /// Solves the column for a stage of `dt_s` seconds but for face temperature and store heat.
    pub fn reduce(&mut self, mesh: &Mesh, dt_s: f64) -> Port {
        if !self.factored || self.factored_dt != dt_s {
            self.factor(mesh, dt_s);
        }
        let per_s = 1.0 / dt_s;
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
    pub fn settle(&mut self, mesh: &Mesh, dt_s: f64, face_c: f64, source: f64, last: bool) -> bool {
        if self.finish(mesh, face_c, source, last) {
            return true;
        }
        for _ in 0..PHASE_ROUNDS {
            self.reduce(mesh, dt_s);
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

    fn factor(&mut self, mesh: &Mesh, dt_s: f64) {
        let count = mesh.len();
        let mut carry_below = 0.0;
        for i in (0..count).rev() {
            let (slope, offset) = line(self.phase[i], mesh.capacity[i], mesh.latent[i]);
            let down = if i + 1 < count { mesh.up[i + 1] } else { 0.0 };
            let pivot = slope / dt_s + mesh.up[i] + mesh.side[i] + down - down * carry_below;
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
        self.factored_dt = dt_s;
    }
}
