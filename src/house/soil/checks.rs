//! The soil column against closed solutions of heat conduction. They test the column alone, side paths off, with the
//! two-stage step of the simulation.

use super::{Column, Mesh};
use crate::calendar::SECONDS_PER_HOUR;
use crate::house::scheme::GAMMA;
use crate::house::{Floor, Soil};
use crate::site::UndisturbedGround;

/// The column of a floor over ground of one temperature.
fn mesh(floor: &Floor, mean_c: f64) -> Mesh {
    let ground = UndisturbedGround {
        mean_c,
        amplitude_k: 0.0,
        coldest_day: 0.0,
        diffusivity_m2_day: 0.0432,
    };
    Mesh::new(floor, &[], &ground, 1.0)
}

fn floor(water_m3_m3: f64, depth_m: f64, layers: usize) -> Floor {
    Floor {
        area_m2: 1.0,
        wall_thickness_m: 0.1,
        // Clay or silt of ISO 13370 (from memory).
        soil: Soil {
            conductivity_w_mk: 1.5,
            heat_capacity_j_m3k: 3.0e6,
            water_m3_m3,
        },
        depth_m,
        layers,
        absorptance: 0.8,
        strip_m: 1.0,
        ..Floor::default()
    }
}

/// Steps a column under a face temperature given at the two stages' times (hours).
fn step(column: &mut Column, mesh: &Mesh, hour: f64, face: &dyn Fn(f64) -> f64) {
    column.begin(mesh);
    for (stage, at) in [hour + GAMMA, hour + 1.0].into_iter().enumerate() {
        column.reduce(mesh, stage);
        column.settle(mesh, stage, face(at), 0.0, false);
        column.keep(mesh, stage);
    }
    column.end(mesh);
}

fn at_depth(mesh: &Mesh, temps: &[f64], depth: f64) -> f64 {
    let below = mesh
        .depth_m
        .partition_point(|&d| d < depth)
        .clamp(1, mesh.len() - 1);
    let (a, b) = (mesh.depth_m[below - 1], mesh.depth_m[below]);
    temps[below - 1] + (temps[below] - temps[below - 1]) * (depth - a) / (b - a)
}

/// Amplitude at a depth of a wave of 1 K at the face with a period of `period_h`.
fn amplitude(depth_m: f64, layers: usize, period_h: f64, depths: &[f64]) -> Vec<f64> {
    let mesh = mesh(&floor(0.0, depth_m, layers), 0.0);
    let mut column = Column::new(&mesh, &vec![0.0; mesh.len()]);
    let face = |hour: f64| (std::f64::consts::TAU * hour / period_h).sin();
    let periods = 6;
    let hours = (periods as f64 * period_h) as usize;
    let mut most = vec![(f64::MAX, f64::MIN); depths.len()];
    for hour in 0..hours {
        step(&mut column, &mesh, hour as f64, &face);
        if (hour as f64) >= (periods as f64 - 1.0) * period_h {
            for (range, &depth) in most.iter_mut().zip(depths) {
                let temp = at_depth(&mesh, &column.temps(&mesh), depth);
                *range = (range.0.min(temp), range.1.max(temp));
            }
        }
    }
    most.iter().map(|(low, high)| 0.5 * (high - low)).collect()
}

/// exp(-z sqrt(pi / (a T))): textbook wave in a half-space.
fn damped(depth_m: f64, period_h: f64) -> f64 {
    let diffusivity = 1.5 / 3.0e6;
    (-depth_m * (std::f64::consts::PI / (diffusivity * period_h * SECONDS_PER_HOUR)).sqrt()).exp()
}

fn damped_as_in_a_half_space(depth_m: f64, layers: usize, period_h: f64, depths: &[f64]) {
    let got = amplitude(depth_m, layers, period_h, depths);
    for (got, depth) in got.iter().zip(depths) {
        let expected = damped(*depth, period_h);
        println!("{period_h} h, {depth} m: {got:.4} against {expected:.4}");
        assert!((got / expected - 1.0).abs() < 0.03);
    }
}

#[test]
fn the_daily_wave_is_damped_as_in_a_half_space() {
    damped_as_in_a_half_space(5.0, 25, 24.0, &[0.05, 0.1, 0.2, 0.3]);
}

#[test]
fn the_annual_wave_is_damped_as_in_a_half_space() {
    damped_as_in_a_half_space(15.0, 40, 8760.0, &[0.5, 1.0, 2.0]);
}

/// Complementary error function (Abramowitz & Stegun 7.1.26, error below 1.5e-7).
fn erfc(x: f64) -> f64 {
    let t = 1.0 / (1.0 + 0.327_591_1 * x);
    let sum = t
        * (0.254_829_592
            + t * (-0.284_496_736
                + t * (1.421_413_741 + t * (-1.453_152_027 + t * 1.061_405_429))));
    sum * (-x * x).exp()
}

#[test]
fn a_step_at_the_face_goes_down_as_erfc() {
    let mesh = mesh(&floor(0.0, 5.0, 25), 0.0);
    let mut column = Column::new(&mesh, &vec![0.0; mesh.len()]);
    let days = 5;
    for hour in 0..24 * days {
        step(&mut column, &mesh, hour as f64, &|_| 1.0);
    }
    let reach = 2.0 * (1.5 / 3.0e6 * f64::from(24 * days) * SECONDS_PER_HOUR).sqrt();
    for depth in [0.05, 0.1, 0.2, 0.4, 0.6] {
        let (got, expected) = (
            at_depth(&mesh, &column.temps(&mesh), depth),
            erfc(depth / reach),
        );
        println!("step {depth} m: {got:.4} against {expected:.4}");
        assert!((got - expected).abs() < 0.03 * expected.max(0.1));
    }
}

/// Neumann's solution of a freezing half-space with equal properties frozen and thawed, from memory (Carslaw & Jaeger,
/// ch. 11): the front stands at 2 k sqrt(a t), where
/// exp(-k2)/erf(k) - (Ti/-Ts) exp(-k2)/erfc(k) = k L sqrt(pi) / (c -Ts).
fn neumann(face_c: f64, start_c: f64, latent_j_m3: f64, capacity: f64) -> f64 {
    let (mut low, mut high): (f64, f64) = (1e-6, 3.0);
    for _ in 0..100 {
        let k = 0.5 * (low + high);
        let bell = (-k * k).exp();
        let (outer, inner) = (erfc(k), 1.0 - erfc(k));
        let value = bell / inner
            - start_c / -face_c * bell / outer
            - k * latent_j_m3 * std::f64::consts::PI.sqrt() / (capacity * -face_c);
        if value > 0.0 {
            low = k;
        } else {
            high = k;
        }
    }
    0.5 * (low + high)
}

#[test]
fn frost_goes_down_as_neumann_says() {
    let water = 0.3;
    let (face, start) = (-10.0, 4.0);
    let latent = water * 1000.0 * crate::air::LATENT_HEAT_FUSION_J_KG;
    let k = neumann(face, start, latent, 3.0e6);
    let mesh = mesh(&floor(water, 5.0, 40), start);
    let mut column = Column::new(&mesh, &vec![start; mesh.len()]);
    for day in 1..=60 {
        for hour in 0..24 {
            step(
                &mut column,
                &mesh,
                f64::from(24 * (day - 1) + hour),
                &|_| face,
            );
        }
        if day % 20 == 0 {
            // Frozen depth from the ice itself: latent heat given off over that of a metre.
            let (temps, heat) = (column.temps(&mesh), column.heat(&mesh));
            let frozen: f64 = (0..mesh.len())
                .map(|i| {
                    let sensible = mesh.capacity[i] * temps[i];
                    (sensible - heat[i]) / latent
                })
                .sum();
            let expected =
                2.0 * k * (1.5 / 3.0e6 * f64::from(day) * 24.0 * SECONDS_PER_HOUR).sqrt();
            println!("day {day}: frost {frozen:.4} m against {expected:.4} m");
            assert!((frozen / expected - 1.0).abs() < 0.05);
        }
    }
}
