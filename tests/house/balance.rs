//! Heat is neither made nor lost, whatever the building.

use super::boxes::{conditioned, night_vented, standard_box};
use super::shapes::{air, bare, between, clay, floor, full, glazed, opaque, tunnel, u};
use super::sky;
use bedyear::house::*;
use bedyear::sun::Glazing;
use proptest::prelude::*;

/// Rounding is all that may be missing; the program itself refuses more than 0.1 %.
const ROUNDING: f64 = 1e-6;

fn checked(house: &House, place: &str) {
    let sky = sky::shelf(place);
    let run = simulate(
        house,
        &sky.weather,
        &sky.sun,
        &sky.ground,
        &RunOptions::default(),
    )
    .expect("runs");
    for year in [&run.first, &run.settled] {
        assert!(
            year.balance_residual < ROUNDING,
            "{place}: {}",
            year.balance_residual
        );
        assert!(year.year.throughput_kwh() > 0.0);
    }
}

#[test]
fn every_kind_of_house_closes_its_balance() {
    for place in ["fairbanks", "santiago", "miami"] {
        checked(&full(), place);
        checked(&tunnel(), place);
    }
    checked(&standard_box(true), "golden");
    checked(&conditioned(false), "golden");
    checked(&night_vented(true), "golden");
}

#[test]
fn collector_lamp_gains_and_fans_are_counted() {
    let mut house = full();
    house.collector = Some(AirCollector {
        beam_share: 0.3,
        effectiveness: 0.6,
        ..AirCollector::default()
    });
    house.lamp = Some(Lamp {
        ppfd_umol_m2_s: 100.0,
        power_w: 800.0,
        on: between(17, 21, 1.0, 0.0),
        ..Lamp::default()
    });
    house.gains = vec![Gain {
        name: "hens".into(),
        heat_w: Schedule::Monthly([60.0; 12]),
        radiant_share: 0.4,
        energy: EnergySource::Free,
        ..Gain::default()
    }];
    house.air.vents = Some(Vents {
        set_point_c: Schedule::Constant(24.0),
        humidity_pct: Some(85.0),
        kind: VentKind::Fan {
            flow_m3_s: 0.8,
            power_w: 150.0,
        },
    });
    house.air.scheduled_fan = Some(ScheduledFan {
        flow_m3_s: between(12, 13, 0.1, 0.0),
        power_w_per_m3_s: 300.0,
    });
    checked(&house, "prince-george");
    let sky = sky::shelf("prince-george");
    let year = simulate(
        &house,
        &sky.weather,
        &sky.sun,
        &sky.ground,
        &RunOptions::default(),
    )
    .expect("runs")
    .settled
    .year;
    assert!((year.lamp_kwh - 0.8 * 4.0 * 365.0).abs() < 1e-6);
    assert!((year.gains_kwh - 0.06 * 8760.0).abs() < 1e-6);
    assert!(year.fan_kwh > 0.1 * 0.3 * 365.0);
}

#[test]
fn soil_that_freezes_closes_too() {
    let mut house = tunnel();
    if let Some(floor) = &mut house.floor {
        floor.soil.water_m3_m3 = 0.35;
    }
    checked(&house, "whitehorse");
    checked(&house, "churchill");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    /// Huts to halls in warm and cold places: finite, balanced, light never above what fell on the glazing.
    #[test]
    fn any_house_is_finite_and_balanced(
        size in 0.02_f64..60.0,
        u_wall in 0.05_f64..8.0,
        leaks in 0.0_f64..5.0,
        capacity in 0.0_f64..4e5,
        water in 0.0_f64..0.5,
        leaf in 0.0_f64..6.0,
        covered in 0.0_f64..1.0,
        place in prop::sample::select(vec!["fairbanks", "miami", "santiago", "churchill"]),
    ) {
        let side = 5.0 * size.sqrt();
        let film = Glazing::kind("film").expect("a kind");
        let mut ground = floor(side * side, 4.0 * side);
        ground.soil = Soil { water_m3_m3: water, ..clay() };
        let wall = Make::AirToAir { u_w_m2k: u_wall, inner_capacity_j_m2k: capacity };
        let mut house = bare(
            vec![
                glazed("roof", 1.2 * side * side, 30.0, 180.0, film),
                opaque("walls", 4.0 * side, 90.0, 0.0, wall),
                opaque("back", side, 90.0, 0.0, u(u_wall)),
            ],
            Some(ground),
            air(2.5 * side * side, leaks),
        );
        house.canopy = Canopy { leaf_area_index: [leaf; 12], transpires: true, bed_share: 0.8, ..Canopy::default() };
        house.air.vents = full().air.vents;
        house.parts = full().parts;
        house.parts[0].area_m2 = covered * side * side;
        house.parts[0].at_edge = leaf > 3.0;
        let sky = sky::shelf(place);
        let options = RunOptions { max_years: 2, ..RunOptions::default() };
        let run = simulate(&house, &sky.weather, &sky.sun, &sky.ground, &options);
        let run = run.map_err(|error| TestCaseError::fail(error.to_string()))?;
        prop_assert!(run.settled.balance_residual < 1e-5);
        for hour in 0..8760 {
            prop_assert!(run.settled.air_c[hour].is_finite() && run.settled.air_c[hour].abs() < 120.0);
            prop_assert!(run.settled.leaf_c[hour].abs() < 120.0);
            let humidity = run.settled.relative_humidity_pct[hour];
            prop_assert!((0.0..=100.0).contains(&humidity));
        }
    }
}
