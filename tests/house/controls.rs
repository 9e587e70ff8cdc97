//! Controls land on their set points, within their limits, in their order.

use super::envelope::{least, most, settled};
use super::shapes::{between, full, tunnel};
use super::sky;
use bedyear::house::*;

/// How near a solved set point must come, K.
const LANDED_K: f64 = 1e-4;

#[test]
fn a_strong_heater_holds_its_set_point_exactly() {
    let sky = sky::shelf("fairbanks");
    let mut house = full();
    house.heater = Some(Heater {
        set_point_c: Schedule::Constant(5.0),
        capacity_w: 1.0e5,
        energy: EnergySource::Propane,
        efficiency: 0.9,
        ..Heater::default()
    });
    let year = settled(&house, &sky);
    assert!(
        (least(&year.air_c) - 5.0).abs() < LANDED_K,
        "{}",
        least(&year.air_c)
    );
    assert!(most(&year.unmet_w) == 0.0);
    assert!(most(&year.heater_w) > 500.0);
}

#[test]
fn a_weak_heater_gives_all_it_has_and_says_what_is_missing() {
    let sky = sky::shelf("fairbanks");
    let mut house = full();
    house.heater = Some(Heater {
        set_point_c: Schedule::Constant(10.0),
        capacity_w: 500.0,
        energy: EnergySource::Electricity,
        efficiency: 1.0,
        ..Heater::default()
    });
    let year = settled(&house, &sky);
    assert!(most(&year.heater_w) <= 500.0 + 1e-9);
    let coldest = (0..8760)
        .min_by(|&a, &b| year.air_c[a].total_cmp(&year.air_c[b]))
        .expect("hours");
    assert!(year.air_c[coldest] < 10.0 - LANDED_K);
    assert!((year.heater_w[coldest] - 500.0).abs() < 1e-6 && year.unmet_w[coldest] > 0.0);
}

#[test]
fn vents_hold_their_set_point_while_outdoors_is_cooler() {
    let sky = sky::shelf("seattle");
    let mut house = tunnel();
    house.air.vents = Some(Vents {
        set_point_c: Schedule::Constant(22.0),
        humidity_pct: None,
        kind: VentKind::AirChanges { max_per_h: 2000.0 },
    });
    let year = settled(&house, &sky);
    let mut held = 0;
    for hour in 0..8760 {
        let outdoor = sky.weather.temp_air_c[hour];
        if year.vent_m3_s[hour] > 0.0 && outdoor < 18.0 {
            assert!(
                year.air_c[hour] < 22.0 + LANDED_K,
                "hour {hour}: {} °C",
                year.air_c[hour]
            );
            held += 1;
        }
    }
    // Only that there was enough to look at.
    assert!(held > 200, "{held} vented hours");
}

#[test]
fn vents_open_for_humidity() {
    let sky = sky::shelf("uccle");
    let mut house = tunnel();
    if let Some(vents) = &mut house.air.vents {
        vents.humidity_pct = Some(80.0);
    }
    let (damp, dry) = (settled(&tunnel(), &sky), settled(&house, &sky));
    let wet = |year: &HouseYear| {
        year.relative_humidity_pct
            .iter()
            .filter(|&&rh| rh > 90.0)
            .count()
    };
    println!(
        "hours above 90 %: {} closed, {} vented",
        wet(&damp),
        wet(&dry)
    );
    assert!(2 * wet(&dry) < wet(&damp));
}

#[test]
fn the_store_charges_and_draws_no_more_than_needed() {
    let sky = sky::shelf("helena");
    let mut house = full();
    house.heater = None;
    let year = settled(&house, &sky);
    /// Both parts of an hour, the shorter 0.29 of it, are solved for themselves: below this the fan ran all of neither.
    const PART_OF_BOTH: f64 = 0.29;
    let set = 22.0;
    let mut landed = 0;
    for hour in 0..8760 {
        let duty = year.store_duty[hour];
        assert!((-1.0..=1.0).contains(&duty));
        assert!((year.fan_w[hour] - 120.0 * duty.abs()).abs() < 1e-6);
        if (1e-6..PART_OF_BOTH).contains(&duty) && year.vent_m3_s[hour] == 0.0 {
            let above_k = year.air_c[hour] - set;
            assert!(above_k < LANDED_K, "hour {hour}: {above_k} K");
            landed += usize::from(above_k > -LANDED_K);
        }
    }
    // Only that there was enough to look at.
    assert!(landed > 20, "{landed} hours at the set point");
}

#[test]
fn a_cooler_takes_what_vents_leave() {
    let sky = sky::shelf("miami");
    let mut house = full();
    house.cooler = Some(Cooler {
        set_point_c: Schedule::Constant(30.0),
        capacity_w: f64::INFINITY,
        ..Cooler::default()
    });
    let year = settled(&house, &sky);
    assert!((most(&year.air_c) - 30.0).abs() < LANDED_K);
    assert!(most(&year.cooler_w) > 0.0);
}

#[test]
fn a_set_point_may_change_by_the_hour() {
    let sky = sky::shelf("boston");
    let mut house = full();
    house.heater = Some(Heater {
        set_point_c: between(6, 20, 12.0, 6.0),
        capacity_w: 1.0e5,
        energy: EnergySource::NaturalGas,
        efficiency: 0.9,
        ..Heater::default()
    });
    let year = settled(&house, &sky);
    for hour in 0..8760 {
        let set = if (6..20).contains(&(hour % 24)) {
            12.0
        } else {
            6.0
        };
        assert!(year.air_c[hour] > set - LANDED_K);
    }
}
