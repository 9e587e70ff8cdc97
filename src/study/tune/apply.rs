//! What each factor acts on, and what a fit can be believed of: factors by themselves, leaks and faces as their sum, or nothing.

use super::run::KNOWN_BEFOREHAND;
use crate::calendar::SECONDS_PER_HOUR;
use crate::file::check::{air_change_per_h, part_losses};
use crate::house::{House, Layer, Make, Surface};
use crate::study::Job;
use crate::tune::certainty::Certainty;

/// Correlation below which leaks and faces stand for each other (own choice).
const ALIKE: f64 = -0.7;
/// Share of what is not known beforehand that is left where the record says little of a factor (own choice).
const FAINT: f64 = 0.6;

/// Heat that leaks and faces lose together, W/K: as described, as found, and the range of 90 %.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Total {
    pub before_w_k: f64,
    pub after_w_k: f64,
    pub low_w_k: f64,
    pub high_w_k: f64,
}

/// How a factor is told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Told {
    /// By itself.
    Apart,
    /// With its like, as the logarithm of one factor.
    Together(f64),
    /// Hardly.
    Faint,
}

/// Places of leaks and faces in [`crate::house::Tuned::NAMES`].
const LEAKS: usize = 0;
const FACES: usize = 1;

/// How each factor is told.
pub fn told_apart(
    active: &[usize],
    logs: &[f64],
    sure: &Certainty,
    total: Option<&Total>,
) -> Vec<Told> {
    let faint = |place: usize| sure.standard_error[place] > FAINT * KNOWN_BEFOREHAND;
    let place = |of: usize| active.iter().position(|&at| at == of);
    let of = |place| match faint(place) {
        true => Told::Faint,
        false => Told::Apart,
    };
    let mut told: Vec<Told> = (0..logs.len()).map(of).collect();
    if let (Some(leaks), Some(faces), Some(total)) = (place(LEAKS), place(FACES), total)
        && (faint(leaks) || faint(faces))
        && sure.correlation[leaks][faces] < ALIKE
    {
        let log = (total.after_w_k / total.before_w_k).ln();
        (told[leaks], told[faces]) = (Told::Together(log), Told::Together(log));
    }
    told
}

/// The best logarithms of the factors that are told, once the others are set: J'J is the curvature of the sum of squares, so
/// the told ones move by -(J'J)^-1 J'J of the rest times how far the rest was moved.
pub fn with_the_rest_held(
    jacobian: &nalgebra::DMatrix<f64>,
    logs: &[f64],
    told: &[Told],
) -> Vec<f64> {
    let curvature = jacobian.transpose() * jacobian;
    let mut logs = logs.to_vec();
    let moved = |(place, told): (usize, &Told)| match told {
        Told::Apart => None,
        Told::Together(log) => Some((place, log - logs[place])),
        Told::Faint => Some((place, -logs[place])),
    };
    let moved: Vec<(usize, f64)> = told.iter().enumerate().filter_map(moved).collect();
    // The clock, after the factors, is free to follow.
    let rest: Vec<usize> = (0..curvature.ncols())
        .filter(|place| moved.iter().all(|(other, _)| other != place))
        .collect();
    let own =
        nalgebra::DMatrix::from_fn(rest.len(), rest.len(), |a, b| curvature[(rest[a], rest[b])]);
    let pull = nalgebra::DVector::from_fn(rest.len(), |a, _| {
        let of = |&(place, by): &(usize, f64)| curvature[(rest[a], place)] * by;
        moved.iter().map(of).sum::<f64>()
    });
    if let Some(follow) = own.cholesky().map(|own| own.solve(&pull)) {
        for (&place, by) in rest.iter().zip(follow.iter()) {
            if place < logs.len() {
                logs[place] -= by;
            }
        }
    }
    for (place, by) in moved {
        logs[place] += by;
    }
    logs
}

/// What leaks and faces lose together.
pub fn total(job: &Job, active: &[usize], logs: &[f64], sure: &Certainty) -> Option<Total> {
    const J_PER_M3_K_AT_1_BAR: f64 = 1240.0;
    const PA_PER_BAR: f64 = 1e5;
    let house = &job.project.house;
    let pressure = &job.site.typical.pressure_pa;
    let bar = pressure.iter().sum::<f64>() / pressure.len().max(1) as f64 / PA_PER_BAR;
    let per_change_w_k = house.air.volume_m3 * J_PER_M3_K_AT_1_BAR * bar / SECONDS_PER_HOUR;
    let described = |at: usize| match at {
        LEAKS => figure(house, LEAKS).0 * per_change_w_k,
        FACES => figure(house, FACES).0,
        _ => 0.0,
    };
    let slopes = active.iter().zip(logs);
    let slopes = slopes.map(|(&at, log)| described(at) * log.exp());
    let slopes: Vec<f64> = slopes.collect();
    let fitted: f64 = slopes.iter().sum();
    if fitted <= 0.0 {
        return None;
    }
    let mut variance = 0.0;
    for (a, slope_a) in slopes.iter().enumerate() {
        for (b, slope_b) in slopes.iter().enumerate() {
            let deviations = sure.standard_error[a] * sure.standard_error[b];
            variance += slope_a * slope_b * sure.correlation[a][b] * deviations;
        }
    }
    let before_w_k = described(LEAKS) + described(FACES);
    let held = [LEAKS, FACES].into_iter();
    let held = held.filter(|at| !active.contains(at));
    let held: f64 = held.map(described).sum();
    let after_w_k = fitted + held;
    // As a share, so that the range stays above nothing.
    let side = (sure.deviations_90 * variance.max(0.0).sqrt() / after_w_k).exp();
    Some(Total {
        before_w_k,
        after_w_k,
        low_w_k: after_w_k / side,
        high_w_k: after_w_k * side,
    })
}

/// The figure behind a factor, by its place in [`crate::house::Tuned::NAMES`], and its unit; 0 where the building has
/// nothing of the kind.
///
/// Air change at the usual wind, 1/h; heat loss of all faces, W/K; heat held by walls, slab and heavy things, kJ/K; edge
/// of the floor, m; air through the store, m3/s.
pub fn figure(house: &House, place: usize) -> (f64, &'static str) {
    const J_PER_KJ: f64 = 1000.0;
    match place {
        0 => (air_change_per_h(house), "1/h"),
        1 => {
            let losses = part_losses(house);
            (losses.iter().map(|part| part.loss_w_k).sum(), "W/K")
        }
        2 => (heavy_j_k(house) / J_PER_KJ, "kJ/K"),
        3 => {
            let floor = house.floor.as_ref();
            (floor.map_or(0.0, |floor| floor.perimeter_m), "m")
        }
        _ => {
            let store = house.store.as_ref();
            (store.map_or(0.0, |store| store.flow_m3_s), "m3/s")
        }
    }
}

fn heavy_j_k(house: &House) -> f64 {
    let of_layer =
        |layer: &Layer| layer.thickness_m * layer.density_kg_m3 * layer.heat_capacity_j_kgk;
    let of_face = |surface: &Surface| {
        surface.area_m2
            * match &surface.make {
                Make::AirToAir {
                    inner_capacity_j_m2k,
                    ..
                }
                | Make::FaceToFace {
                    inner_capacity_j_m2k,
                    ..
                } => *inner_capacity_j_m2k,
                Make::Layers(layers) => layers.iter().map(of_layer).sum(),
            }
    };
    let walls: f64 = house.surfaces.iter().map(of_face).sum();
    let slab = house.floor.as_ref().map_or(0.0, |floor| {
        floor.area_m2 * floor.slab.as_ref().map_or(0.0, of_layer)
    });
    let things: f64 = house.heavy.iter().map(|heavy| heavy.capacity_j_k).sum();
    walls + slab + things
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Leaks and faces that only their sum tells of get one factor, and what is told follows: two columns alike and a third
    /// that leans on them (arithmetic).
    #[test]
    fn what_is_alike_is_changed_together() {
        let sure = Certainty {
            inflation: 1.0,
            standard_error: vec![0.35, 0.3, 0.05],
            correlation: vec![
                vec![1.0, -0.98, 0.0],
                vec![-0.98, 1.0, 0.0],
                vec![0.0, 0.0, 1.0],
            ],
            condition: 50.0,
            deviations_90: 1.7,
        };
        let total = Total {
            before_w_k: 100.0,
            after_w_k: 120.0,
            low_w_k: 118.0,
            high_w_k: 122.0,
        };
        let logs = [0.5, -0.1, 0.2];
        let told = told_apart(&[0, 1, 2], &logs, &sure, Some(&total));
        let log = 1.2_f64.ln();
        let is_log = |told: &Told| matches!(told, Told::Together(of) if (of - log).abs() < 1e-12);
        assert!(
            told[..2].iter().all(is_log) && told[2] == Told::Apart,
            "{told:?}"
        );
        let jacobian =
            nalgebra::DMatrix::from_row_slice(3, 3, &[1.0, 1.0, 0.5, 0.0, 0.1, 0.0, 0.0, 0.0, 1.0]);
        let after = with_the_rest_held(&jacobian, &logs, &told);
        assert!(
            after[..2].iter().all(|of| (of - log).abs() < 1e-12),
            "{after:?}"
        );
        // The third moves by -(0.5 (2 log - 0.4)) / (0.25 + 1).
        let follows = 0.2 - 0.5 * (2.0 * log - 0.4) / 1.25;
        assert!((after[2] - follows).abs() < 1e-12, "{after:?}");
    }
}
