//! The layers of a soil column and their ties sideways.

use super::modes::Modes;
use crate::air::LATENT_HEAT_FUSION_J_KG;
use crate::house::Floor;
use crate::numbers::halved;
use crate::site::UndisturbedGround;

/// Density of water, kg/m3.
const WATER_DENSITY_KG_M3: f64 = 1000.0;
/// Depth down to which layers are equally thin, m (three damping depths of the daily wave in common soils).
const FINE_DEPTH_M: f64 = 0.3;
/// Share of the layers that lie above [`FINE_DEPTH_M`].
const FINE_SHARE: f64 = 0.4;
/// Shortest layer kept when a skirt, slab or pipe depth splits one, m.
const SHORTEST_LAYER_M: f64 = 0.004;
/// Depth that stands for the root zone, m.
const ROOT_DEPTH_M: f64 = 0.1;
/// Depth reported as store temperature where there is no store, m.
const DEFAULT_STORE_DEPTH_M: f64 = 0.6;

/// Coefficients of the perimeter formula (fitted to floor_2d, see the module).
const PATH_PER_WALL: f64 = 1.7;
/// m per W/mK.
const PATH_PER_CONDUCTIVITY: f64 = 0.04;
/// m per m of B'.
const PATH_PER_BREADTH: f64 = 0.195;
/// m per m of depth.
const PATH_PER_DEPTH: f64 = 0.36;

/// Layers of a column, per m2 of floor.
#[derive(Clone, Debug, Default)]
pub(crate) struct Mesh {
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
    /// Is there water that freezes?
    pub water_freezes: bool,
    /// The same layers by their modes.
    pub(super) modes: Modes,
}

/// A depth between the middles of two layers.
#[derive(Clone, Copy, Debug, Default)]
struct Between {
    above: usize,
    below: usize,
    share_below: f64,
}

impl Mesh {
    /// Layers of a part of a floor whose ties sideways are `ties` times the floor's; `store_depths_m` are the pipe layers
    /// (empty: none).
    pub fn new(
        floor: &Floor,
        store_depths_m: &[f64],
        ground: &UndisturbedGround,
        ties: f64,
    ) -> Self {
        let faces = faces(floor);
        let count = faces.len() - 1;
        let slab_m = floor.slab.map_or(0.0, |slab| slab.thickness_m);
        let mut mesh = Self {
            store: vec![0.0; count],
            mean_c: ground.mean_c,
            ..Self::default()
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
            mesh.side.push(ties * side_conductance(floor, depth, thick));
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
        mesh.water_freezes = mesh.latent.iter().any(|&latent| latent > 0.0);
        let mut root = vec![0.0; count];
        root[mesh.root.above] += 1.0 - mesh.root.share_below;
        root[mesh.root.below] += mesh.root.share_below;
        let mean = vec![mesh.mean_c; count];
        mesh.modes = Modes::new(&mesh, &root, [&mean, &mesh.cosine, &mesh.sine]);
        mesh
    }

    /// Number of layers.
    pub fn len(&self) -> usize {
        self.depth_m.len()
    }

    /// Undisturbed ground at each layer's depth on a day (any real number) of the year, °C.
    pub fn undisturbed_c(&self, day: f64, out: &mut [f64]) {
        let (sin, cos) = year_angle(day).sin_cos();
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

/// Angle of the year's wave on a day (any real number).
pub(super) fn year_angle(day: f64) -> f64 {
    std::f64::consts::TAU * day / crate::calendar::DAYS_PER_YEAR as f64
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
    let (low, high) = halved((0.5, 10.0), STEPS, |growth| filled(growth) < depth);
    0.5 * (low + high)
}
