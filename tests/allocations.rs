//! No memory is set aside while hours go by: what a year allocates is its columns, whatever happens in its hours.

#[allow(dead_code)]
#[path = "house/shapes.rs"]
mod shapes;
#[allow(dead_code)]
#[path = "house/sky.rs"]
mod sky;

use bedyear::house::*;
use bedyear::site::Weather;

/// Most allocations of a year: its 25 columns, its months, and room to spare.
const MOST_OF_A_YEAR: u64 = 40;

/// Allocations of so many weather years, on one thread.
fn allocated(house: &House, sky: &sky::Sky, years: usize, steps_per_hour: usize) -> u64 {
    let options = RunOptions {
        steps_per_hour,
        ..RunOptions::default()
    };
    let run = simulate(house, &sky.weather, &sky.sun, &sky.ground, &options).expect("runs");
    let weathers: Vec<Weather> = vec![sky.weather.clone(); years];
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .expect("a pool");
    let counted = || {
        allocation_counter::measure(|| {
            let (sun, ground) = (&sky.sun, &sky.ground);
            let years = simulate_years_chained(house, &weathers, sun, ground, &run, &options);
            assert!(years.is_ok());
        })
    };
    pool.install(counted).count_total
}

#[test]
fn hours_allocate_nothing() {
    let sky = sky::shelf("helena");
    let mut snowy = shapes::full();
    snowy.snow = SnowOnGlazing::Swept;
    for house in [shapes::full(), shapes::tunnel(), snowy] {
        let one = allocated(&house, &sky, 1, 1);
        let two = allocated(&house, &sky, 2, 1);
        let three = allocated(&house, &sky, 3, 1);
        println!("allocations of one, two, three years: {one}, {two}, {three}");
        assert_eq!(three - two, two - one);
        assert!(two - one <= MOST_OF_A_YEAR);
        assert_eq!(allocated(&house, &sky, 2, 3), two, "three steps an hour");
    }
}
