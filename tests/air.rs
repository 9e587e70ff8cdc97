//! Moist air against the worked examples of FAO-56 (Allen et al. 1998) and other published values.

use bedyear::air;
use proptest::prelude::*;

fn near(got: f64, expected: f64, tolerance: f64, what: &str) {
    assert!(
        (got - expected).abs() <= tolerance,
        "{what}: got {got}, expected {expected} within {tolerance}"
    );
}

/// FAO-56, example 2: pressure and psychrometric constant at 1800 m.
#[test]
fn pressure_at_1800_m() {
    let pressure = air::pressure_at_elevation_pa(1800.0);
    near(pressure, 81_800.0, 50.0, "pressure");
    near(
        air::psychrometric_constant_kpa_k(pressure),
        0.054,
        0.0005,
        "gamma",
    );
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
    let mean = 0.5 * (1.705 + 3.075);
    near(mean, 2.39, 0.0005, "mean");
}

/// FAO-56, example 4: psychrometer 19.5 / 25.6 °C at 87.9 kPa gives 1.91 kPa.
#[test]
fn psychrometer_of_example_4() {
    near(
        air::psychrometric_vapour_pressure_kpa(25.6, 19.5, 87_900.0),
        1.91,
        0.005,
        "ea",
    );
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

/// Saturation over ice at -10 and -20 °C: 0.2599 and 0.1032 kPa (WMO tables, from memory).
#[test]
fn saturation_over_ice() {
    near(
        air::saturation_vapour_pressure_ice_kpa(-10.0),
        0.2599,
        0.0010,
        "-10 °C",
    );
    near(
        air::saturation_vapour_pressure_ice_kpa(-20.0),
        0.1032,
        0.0006,
        "-20 °C",
    );
    near(
        air::saturation_vapour_pressure_ice_kpa(-1e-9),
        air::saturation_vapour_pressure_kpa(0.0),
        1e-9,
        "joins water at 0 °C",
    );
}

/// Saturated air at 20 °C and sea level holds 14.7 g/kg (ASHRAE Fundamentals, from memory: 14.758 with the real-gas
/// factor, which is left out here).
#[test]
fn humidity_ratio_at_20_c() {
    near(
        air::saturation_humidity_ratio_kg_kg(20.0, 101_325.0),
        0.0147,
        0.0001,
        "ratio",
    );
}

/// Dry air at 0 °C and 101325 Pa: 1.293 kg/m3; at 20 °C: 1.204 kg/m3 (handbook values, from memory).
#[test]
fn density() {
    near(air::air_density_kg_m3(0.0, 101_325.0), 1.293, 0.001, "0 °C");
    near(
        air::air_density_kg_m3(20.0, 101_325.0),
        1.204,
        0.001,
        "20 °C",
    );
    let moist = air::moist_air_density_kg_m3(20.0, 101_325.0, 2.0);
    assert!(moist < air::air_density_kg_m3(20.0, 101_325.0));
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

/// Air of 30 °C and 50 % at sea level has a wet-bulb temperature of 22.0 °C (psychrometric chart, from memory).
#[test]
fn wet_bulb() {
    let ea = air::vapour_pressure_kpa(30.0, 50.0);
    near(air::wet_bulb_c(30.0, ea, 101_325.0), 22.0, 0.15, "wet bulb");
}

/// Three published clear-sky formulas agree within 0.04 for temperate air (10 °C, dew point 5 °C, sea level), and a
/// full overcast of low cloud is nearly black.
#[test]
fn clear_sky_formulas_agree() {
    let ea = air::saturation_vapour_pressure_kpa(5.0);
    let brutsaert = air::clear_sky_emissivity_brutsaert(10.0, ea);
    let berdahl = air::clear_sky_emissivity_berdahl_martin(5.0, 6.0, 101_325.0);
    let clark = air::clear_sky_emissivity_clark_allen(5.0);
    near(brutsaert, berdahl, 0.04, "Brutsaert and Berdahl & Martin");
    near(clark, berdahl, 0.065, "Clark & Allen and Berdahl & Martin");
    assert!(air::cloudy_sky_emissivity(clark, 1.0) > 0.9);
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
        let frost = air::dew_or_frost_point_c(air::saturation_vapour_pressure_ice_kpa(temp));
        prop_assert!((frost - temp).abs() < 1e-6);
    }

    #[test]
    fn ratio_comes_back(vapour in 0.0..12.0f64, pressure in 45_000.0..106_000.0f64) {
        let ratio = air::humidity_ratio_kg_kg(vapour, pressure);
        let back = air::vapour_pressure_of_ratio_kpa(ratio, pressure);
        prop_assert!((back - vapour).abs() < 1e-9);
    }

    #[test]
    fn wet_bulb_lies_between(temp in -10.0..45.0f64, humidity in 1.0..100.0f64) {
        let ea = air::vapour_pressure_kpa(temp, humidity);
        let wet = air::wet_bulb_c(temp, ea, 95_000.0);
        prop_assert!(wet <= temp + 1e-6 && wet >= air::dew_point_c(ea) - 1e-6);
    }

    #[test]
    fn nothing_breaks(a in any::<f64>(), b in any::<f64>(), c in any::<f64>()) {
        let _ = air::saturation_vapour_pressure_ice_kpa(a);
        let _ = air::dew_or_frost_point_c(a);
        let _ = air::humidity_ratio_kg_kg(a, b);
        let _ = air::pressure_at_elevation_pa(a);
        let _ = air::wet_bulb_c(a, b, c);
        let _ = air::sky_long_wave_w_m2(a, b, c);
        let _ = air::sky_temperature_c(a);
    }
}
