//! Moist air against the worked examples of FAO-56 (Allen et al. 1998) and other published values.

use bedyear::air;
use proptest::prelude::*;

fn near(got: f64, expected: f64, tolerance: f64, what: &str) {
    assert!(
        (got - expected).abs() <= tolerance,
        "{what}: got {got}, expected {expected} within {tolerance}"
    );
}

/// FAO-56, example 2: pressure at 1800 m.
#[test]
fn pressure_at_1800_m() {
    let pressure = air::pressure_at_elevation_pa(1800.0);
    near(pressure, 81_800.0, 50.0, "pressure");
}

/// FAO-56, example 3: saturation at 15 and 24.5 °C and their mean.
#[test]
fn saturation_of_example_3() {
    near(
        air::saturation_vapour_pressure_kpa(15.0),
        1.705,
        0.0005,
        "15 °C",
    );
    near(
        air::saturation_vapour_pressure_kpa(24.5),
        3.075,
        0.0005,
        "24.5 °C",
    );
    let mean = bedyear::value::water::mean_saturation_kpa(24.5, 15.0);
    near(mean, 2.39, 0.0005, "mean");
}

/// FAO-56, example 5: 54 % at 25 °C and 82 % at 18 °C give 1.70 kPa.
#[test]
fn vapour_pressure_of_example_5() {
    let ea = 0.5 * (air::vapour_pressure_kpa(25.0, 54.0) + air::vapour_pressure_kpa(18.0, 82.0));
    near(ea, 1.70, 0.005, "ea");
}

/// FAO-56, examples 17 and 18: slope at 30.2 °C is 0.246 kPa/K, at 16.9 °C 0.122 kPa/K.
#[test]
fn slope_of_saturation() {
    near(air::saturation_slope_kpa_k(30.2), 0.246, 0.0005, "30.2 °C");
    near(air::saturation_slope_kpa_k(16.9), 0.122, 0.0005, "16.9 °C");
}

/// Latent heat: 2.501 MJ/kg at 0 °C, 2.45 near 20 °C (FAO-56, annex 3).
#[test]
fn latent_heat() {
    near(
        air::latent_heat_vaporization_j_kg(0.0),
        2.501e6,
        1.0,
        "0 °C",
    );
    near(
        air::latent_heat_vaporization_j_kg(20.0),
        2.45e6,
        5e3,
        "20 °C",
    );
}

/// A full overcast of low cloud is nearly black (common practice, no source).
#[test]
fn overcast_is_nearly_black() {
    let clear = air::clear_sky_emissivity_clark_allen(5.0);
    assert!(air::cloudy_sky_emissivity(clear, 1.0) > 0.9);
}

/// A black sky of 0 °C sends 315.6 W/m2 (Stefan-Boltzmann).
#[test]
fn sky_temperature_comes_back() {
    near(air::sky_temperature_c(315.6), 0.0, 0.05, "sky temperature");
    let sky = air::sky_long_wave_w_m2(0.0, -5.0, 0.3);
    assert!((150.0..315.0).contains(&sky), "{sky} W/m2");
}

proptest! {
    #[test]
    fn dew_point_comes_back(temp in -60.0..60.0f64) {
        let back = air::dew_point_c(air::saturation_vapour_pressure_kpa(temp));
        prop_assert!((back - temp).abs() < 1e-6);
    }
}
