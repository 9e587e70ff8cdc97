//! First year, settled year, weather years.

use super::envelope::least;
use super::shapes::{full, tunnel};
use super::sky::{self, simulate_years};
use bedyear::house::*;
use bedyear::site::Weather;

/// Years that differ from one another: the same weather, warmer and colder by turns.
fn turns(weather: &Weather, count: usize) -> Vec<Weather> {
    (0..count)
        .map(|year| {
            let shift = [-3.0, 1.0, 3.0, -1.0, 0.0, 2.0, -2.0][year % 7];
            let mut weather = weather.clone();
            for temp in &mut weather.temp_air_c {
                *temp += shift;
            }
            weather
        })
        .collect()
}

#[test]
fn a_settled_year_repeats_itself() {
    let sky = sky::shelf("helena");
    for house in [tunnel(), full()] {
        let options = RunOptions::default();
        let run = simulate(&house, &sky.weather, &sky.sun, &sky.ground, &options).expect("runs");
        assert!(
            run.settle_difference_k < 0.05,
            "{} K",
            run.settle_difference_k
        );
        let weather = std::slice::from_ref(&sky.weather);
        let again = simulate_years(&house, weather, (&sky.sun, &sky.ground), &run).expect("runs");
        for (a, b) in run.settled.air_c.iter().zip(&again[0].air_c) {
            assert!((a - b).abs() < 0.05, "{a} against {b}");
        }
        for (a, b) in run.settled.root_zone_c.iter().zip(&again[0].root_zone_c) {
            assert!((a - b).abs() < 0.05, "{a} against {b}");
        }
    }
}

/// The settled year against the one that many more years of the same weather lead to: the limit of settling, 0.02 K of
/// drift in a year, where each year leaves a quarter of the way or less.
#[test]
fn the_settled_year_is_where_years_lead() {
    let sky = sky::shelf("helena");
    for house in [tunnel(), full()] {
        let options = RunOptions::default();
        let (sun, ground) = (&sky.sun, &sky.ground);
        let run = simulate(&house, &sky.weather, sun, ground, &options).expect("runs");
        let many = vec![sky.weather.clone(); 8];
        let years = simulate_years_chained(&house, &many, (sun, ground), &run).expect("runs");
        let far = |of: fn(&HouseYear) -> &Vec<f64>| {
            let pairs = of(&run.settled).iter().zip(of(&years[7]));
            pairs.map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
        };
        let (air_k, root_k) = (far(|year| &year.air_c), far(|year| &year.root_zone_c));
        let store_k = far(|year| &year.store_c);
        println!(
            "{} years: air {air_k:.4} K, root zone {root_k:.4} K, store {store_k:.4} K",
            run.years_to_settle
        );
        assert!(run.years_to_settle <= 3);
        assert!(root_k < 0.03 && store_k < 0.03);
        // A fan or a freezing layer may turn an hour earlier.
        assert!(air_k < 0.15);
    }
}

/// A first winter on the ground as it was found is colder than later ones, where the house warms its soil.
#[test]
fn the_first_winter_is_colder() {
    let sky = sky::shelf("helena");
    let mut house = full();
    house.heater = None;
    let run = simulate(
        &house,
        &sky.weather,
        &sky.sun,
        &sky.ground,
        &RunOptions::default(),
    )
    .expect("runs");
    let (first, later) = (least(&run.first.air_c), least(&run.settled.air_c));
    println!("first winter {first:.2} °C, settled {later:.2} °C");
    assert!(first < later);
    let midwinter = RunOptions {
        finished_day: 10,
        ..RunOptions::default()
    };
    let late = simulate(&house, &sky.weather, &sky.sun, &sky.ground, &midwinter).expect("runs");
    assert!(least(&late.first.air_c) < first);
}

/// Groups that warm up for half a year against years that are chained: what the soil forgets.
#[test]
fn parallel_years_are_the_chained_years() {
    let sky = sky::shelf("helena");
    let mut house = full();
    house.heater = None;
    let options = RunOptions::default();
    let run = simulate(&house, &sky.weather, &sky.sun, &sky.ground, &options).expect("runs");
    let weathers = turns(&sky.weather, 12);
    let around = (&sky.sun, &sky.ground);
    let grouped = simulate_years(&house, &weathers, around, &run).expect("runs");
    let chained = simulate_years_chained(&house, &weathers, around, &run).expect("runs");
    let mut worst = [0.0_f64; 3];
    for (a, b) in grouped.iter().zip(&chained) {
        worst[0] = worst[0].max((least(&a.air_c) - least(&b.air_c)).abs());
        for hour in 0..8760 {
            worst[1] = worst[1].max((a.air_c[hour] - b.air_c[hour]).abs());
            worst[2] = worst[2].max((a.root_zone_c[hour] - b.root_zone_c[hour]).abs());
        }
    }
    println!(
        "coldest hour {:.3} K, any hour {:.3} K, root zone {:.3} K",
        worst[0], worst[1], worst[2]
    );
    assert!(worst[0] < 0.1 && worst[1] < 0.1 && worst[2] < 0.1);
    // Same figures whatever the threads.
    let one = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .expect("a pool");
    let alone = one
        .install(|| simulate_years(&house, &weathers, around, &run))
        .expect("runs");
    assert!(alone == grouped);
}

#[test]
fn a_state_of_another_building_is_refused() {
    let sky = sky::shelf("helena");
    let options = RunOptions::default();
    let run = simulate(&tunnel(), &sky.weather, &sky.sun, &sky.ground, &options).expect("runs");
    let weathers = [sky.weather.clone()];
    let other = simulate_years(&full(), &weathers, (&sky.sun, &sky.ground), &run);
    assert_eq!(other, Err(HouseError::OtherHouse));
    let none = simulate_years(&tunnel(), &[], (&sky.sun, &sky.ground), &run);
    assert_eq!(none, Err(HouseError::NoWeather));
}
