//! What the hourly step makes of quick changes: a room of one heat capacity and layered walls against closed solutions.

use super::envelope::settled;
use super::shapes::{air, bare, opaque, u};
use super::sky;
use bedyear::house::*;

const DAY_H: f64 = 24.0;
const SWING_K: f64 = 10.0;

/// Means of the hours of a day in the settled year of a house whose outdoor air runs through the same day all year, no sun and
/// no sky.
fn day_of(house: &House, outdoor_c: impl Fn(f64) -> f64) -> Vec<f64> {
    let mut sky = sky::still(0.0);
    for (hour, temp_c) in sky.weather.temp_air_c.iter_mut().enumerate() {
        *temp_c = outdoor_c((hour % 24) as f64);
    }
    settled(house, &sky).air_c[8760 - 48..8760 - 24].to_vec()
}

fn wall(make: Make) -> Surface {
    let mut wall = opaque("wall", 50.0, 90.0, 0.0, make);
    wall.kind = SurfaceKind::Opaque {
        absorptance_outside: 0.0,
        emissivity_outside: 0.0,
    };
    wall
}

/// Outdoors 10 K up for half of the day and 10 K down for the other half. A room of heat capacity C behind a loss of UA goes
/// after it as exp(-t / (C / UA)): mean of each hour of the repeating day in closed form, time constants of 2 to 50 h, within 1 % of
/// the jump.
#[test]
fn a_room_follows_a_jump_of_the_outdoor_air() {
    const LOSS_W_K: f64 = 100.0;
    for constant_h in [2.0_f64, 5.0, 12.0, 50.0] {
        let mut house = bare(vec![wall(u(LOSS_W_K / 50.0))], None, air(1.0, 0.0));
        // Air of 1 m3 holds 1.2 kJ/K beside it.
        house.air.light_capacity_j_k = constant_h * 3600.0 * LOSS_W_K;
        let got = day_of(&house, |hour| if hour < 12.0 { SWING_K } else { -SWING_K });
        // It starts the warm half as far below zero as it ends above.
        let end = (12.0 / constant_h / 2.0).tanh() * SWING_K;
        let mut worst: f64 = 0.0;
        for (hour, got) in got.iter().enumerate() {
            let since = (hour % 12) as f64;
            let fading = |from: f64| (-from / constant_h).exp();
            let mean_share = constant_h * (fading(since) - fading(since + 1.0));
            let warm = SWING_K - (SWING_K + end) * mean_share;
            let expected = if hour < 12 { warm } else { -warm };
            worst = worst.max((got - expected).abs());
        }
        println!("{constant_h} h: at most {worst:.3} K of {end:.2} K off in an hour");
        assert!(worst < 0.01 * 2.0 * SWING_K, "{constant_h} h: {worst:.3} K");
    }
}

/// A complex number, real and imaginary part.
type Complex = (f64, f64);

fn times(a: Complex, b: Complex) -> Complex {
    (a.0 * b.0 - a.1 * b.1, a.0 * b.1 + a.1 * b.0)
}

fn plus(a: Complex, b: Complex) -> Complex {
    (a.0 + b.0, a.1 + b.1)
}

/// Temperature and heat flow (W/m2, inwards) on the outer side of layers, from those on the inner side, for a daily wave:
/// heat transfer matrix of a layer, ISO 13786 (from memory), Z11 = Z22 = cosh, Z12 = R sinh / x, Z21 = x sinh / R with
/// x = (1 + i) d / depth of penetration.
fn through(layer: &Layer, (inner_k, inner_w): (Complex, Complex)) -> (Complex, Complex) {
    let resistance = layer.thickness_m / layer.conductivity_w_mk;
    let held = layer.density_kg_m3 * layer.heat_capacity_j_kgk;
    let omega = std::f64::consts::TAU / (DAY_H * 3600.0);
    let reach = (2.0 * layer.conductivity_w_mk / held / omega).sqrt();
    let x = layer.thickness_m / reach;
    let cosh = (x.cosh() * x.cos(), x.sinh() * x.sin());
    let sinh = (x.sinh() * x.cos(), x.cosh() * x.sin());
    let over_x = (0.5 / x, -0.5 / x);
    let by = |factor: f64, value: Complex| (factor * value.0, factor * value.1);
    let z12 = by(resistance, times(sinh, over_x));
    let z21 = by(1.0 / resistance, times(sinh, (x, x)));
    (
        plus(times(cosh, inner_k), times(z12, inner_w)),
        plus(times(z21, inner_k), times(cosh, inner_w)),
    )
}

/// The wave of a day in hourly values: its first harmonic.
fn wave(day: &[f64]) -> Complex {
    let mut sum = (0.0, 0.0);
    for (hour, value) in day.iter().enumerate() {
        let angle = std::f64::consts::TAU * hour as f64 / DAY_H;
        sum = plus(sum, (value * angle.cos(), -value * angle.sin()));
    }
    sum
}

/// A daily wave of the outdoor air, as it comes through walls of one layer and of three to air that holds a little heat:
/// damping within 3 %, delay within a quarter of an hour.
#[test]
fn walls_pass_a_daily_wave_as_their_matrices_say() {
    let layer = |thickness_m, conductivity_w_mk, density_kg_m3, heat_capacity_j_kgk| Layer {
        thickness_m,
        conductivity_w_mk,
        density_kg_m3,
        heat_capacity_j_kgk,
    };
    let concrete = layer(0.2, 1.8, 2400.0, 1000.0);
    let foam = layer(0.1, 0.04, 30.0, 1400.0);
    let brick = layer(0.12, 0.6, 1500.0, 900.0);
    let plaster = layer(0.015, 0.7, 1400.0, 1000.0);
    const HELD_J_K: f64 = 1.0e6;
    for (name, layers) in [
        ("concrete", vec![concrete]),
        ("brick", vec![brick]),
        ("foam on brick", vec![foam, brick, plaster]),
        ("foam inside", vec![brick, foam, plaster]),
    ] {
        let mut house = bare(
            vec![wall(Make::Layers(layers.clone()))],
            None,
            air(1.0, 0.0),
        );
        house.air.light_capacity_j_k = HELD_J_K;
        let outdoor = |hour: f64| SWING_K * (std::f64::consts::TAU * (hour + 0.5) / DAY_H).sin();
        let inside = wave(&day_of(&house, outdoor));
        let outside = wave(
            &(0..24)
                .map(|hour| outdoor(f64::from(hour)))
                .collect::<Vec<_>>(),
        );
        // Films of ISO 6946; 1 m3 of air at 0 °C holds 1.293 kg at 1015 J/kgK beside the rest.
        let (inner, outer) = (0.13, 0.04);
        let omega = std::f64::consts::TAU / (DAY_H * 3600.0);
        let into_air = (0.0, omega * (HELD_J_K + 1.293 * 1015.0) / 50.0);
        let face = (plus((1.0, 0.0), (0.0, inner * into_air.1)), into_air);
        let (face_k, face_w) = layers
            .iter()
            .rev()
            .fold(face, |face, layer| through(layer, face));
        let expected = plus(face_k, (outer * face_w.0, outer * face_w.1));
        let size = |(re, im): Complex| re.hypot(im);
        let damping = size(outside) / size(inside) / size(expected);
        let behind_h = |of: Complex| of.1.atan2(of.0) * DAY_H / std::f64::consts::TAU;
        let delay_h = behind_h(outside) - behind_h(inside) - behind_h(expected);
        let delay_h = (delay_h + 12.0).rem_euclid(DAY_H) - 12.0;
        println!(
            "{name}: wave over {:.2}, {damping:.4} of that; {:.2} h late, {delay_h:+.3} h from that",
            size(expected),
            behind_h(expected)
        );
        assert!((damping - 1.0).abs() < 0.03, "{name}: {damping:.4}");
        assert!(delay_h.abs() < 0.25, "{name}: {delay_h:.3} h");
    }
}
