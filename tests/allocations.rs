//! No memory is set aside while hours go by: what a year allocates is its columns, whatever happens in its hours. Years do not
//! pile up: of each only its figures are kept.

#[allow(dead_code)]
#[path = "house/shapes.rs"]
mod shapes;
#[allow(dead_code)]
#[path = "house/sky.rs"]
mod sky;

use bedyear::house::*;
use bedyear::output::{build, view::YearKind};
use bedyear::site::Weather;
use bedyear::study::{self, Job, SideFiles};

/// Most allocations of a year: its 25 columns, its months, and room to spare.
const MOST_OF_A_YEAR: u64 = 40;

/// Allocations of so many weather years, on one thread.
fn allocated(house: &House, sky: &sky::Sky, years: usize) -> u64 {
    let options = RunOptions::default();
    let run = simulate(house, &sky.weather, &sky.sun, &sky.ground, &options).expect("runs");
    let weathers: Vec<Weather> = vec![sky.weather.clone(); years];
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .expect("a pool");
    let counted = || {
        allocation_counter::measure(|| {
            let (sun, ground) = (&sky.sun, &sky.ground);
            let years = simulate_years_chained(house, &weathers, (sun, ground), &run);
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
        let one = allocated(&house, &sky, 1);
        let two = allocated(&house, &sky, 2);
        let three = allocated(&house, &sky, 3);
        println!("allocations of one, two, three years: {one}, {two}, {three}");
        assert_eq!(three - two, two - one);
        assert!(two - one <= MOST_OF_A_YEAR);
    }
}

/// Most memory of a process that looks at hundreds of weather years, kB.
const MOST_KB: u64 = 300 * 1024;

/// Climate, heater and season in 250 weather years, in a process of its own, whose peak no other test has raised. Their hours
/// together would take 600 MB.
#[test]
#[cfg(target_os = "linux")]
fn hundreds_of_weather_years_take_little_memory() {
    let out = std::process::Command::new(std::env::current_exe().unwrap())
        .args([
            "--exact",
            "two_hundred_and_fifty_weather_years",
            "--ignored",
            "--nocapture",
        ])
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&out.stdout);
    assert!(out.status.success(), "{said}");
    let peak = said
        .split("peak memory ")
        .nth(1)
        .and_then(|rest| rest.split(' ').next());
    let peak_kb: u64 = peak.unwrap().parse().unwrap();
    println!("250 weather years: {peak_kb} kB");
    assert!(peak_kb < MOST_KB, "{peak_kb} kB");
}

#[test]
#[ignore = "run in a process of its own by the test above"]
fn two_hundred_and_fifty_weather_years() {
    let text = include_str!("../examples/heated-hoop.toml");
    let mut project = bedyear::file::parse("heated-hoop.toml", text).unwrap();
    project.planning.weather_years = 250;
    let mut job = Job::new(project, &SideFiles::default()).unwrap();
    job.table = job.table.only(
        &["spinach", "tomato_indeterminate"]
            .map(str::to_owned)
            .into(),
    );
    let (weathers, climate) = study::climate_of_years(&job).unwrap();
    let heater = study::heater(&job, &climate.years, &weathers).unwrap();
    assert_eq!(climate.years.len(), 250);
    let view = build::climate(&job, &climate, YearKind::Settled, heater.as_ref());
    assert!(view.heater.is_some());
    let season = study::season(&job, climate.tried(), &weathers, None).unwrap();
    assert_eq!(season.season.crops.len(), 2);
    // Of the building all years count, of the beds the first 120.
    assert_eq!((season.simulated_years, season.years.0), (250, 120));
    assert_eq!(climate.grown().len(), 120);
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    println!("peak memory {}", peak.unwrap_or("0 kB").trim());
}
