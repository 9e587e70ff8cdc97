//! Any town: the example's house stands there, and its year and plan are in order.

use bedyear::plan::SolveOptions;
use bedyear::site::places::{self, Town};
use bedyear::study::{self, Job, SideFiles};

/// Towns drawn at random from the list, those north of the tables passed over.
fn towns(count: usize, seed: u64) -> Vec<Town> {
    let mut state = seed;
    let draw = std::iter::from_fn(move || {
        // Knuth's linear congruential generator (MMIX).
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        Some((state >> 33) as usize % places::count())
    });
    draw.map(places::get)
        .filter(|town| town.latitude_deg <= places::LATITUDES_DEG.1)
        .take(count)
        .collect()
}

/// The example's house at a town; by its place, as several may share a name.
fn job_at(town: &Town, weather_years: usize) -> Job {
    let spot = format!(
        "place = {{ latitude = {}, longitude = {} }}",
        town.latitude_deg, town.longitude_deg
    );
    let text = super::HOUSE.replacen("place = \"Helena\"", &spot, 1);
    assert_ne!(text, super::HOUSE);
    let mut project = bedyear::file::parse("town.toml", &text)
        .unwrap_or_else(|error| panic!("{}: {error}", town.in_full()));
    project.planning.weather_years = weather_years;
    Job::new(project, &SideFiles::default()).unwrap()
}

fn years_are_in_order(towns: &[Town]) {
    for town in towns {
        let job = job_at(town, 1);
        assert!(job.site.place.name.ends_with(" (estimated climate)"));
        assert!(job.site.typical.check().is_ok(), "{}", town.in_full());
        let study = super::simulated(&job);
        for year in study.years.iter().chain([&study.settled]) {
            let finite = |day: &(f64, f64)| day.0.is_finite() && day.1.is_finite();
            assert!(year.air_min_max_c.iter().all(finite), "{}", town.in_full());
            assert!(year.balance_residual.abs() < 1e-6, "{}", town.in_full());
        }
        // A house that may heat to 2 C with 5 kW and is shaded by nothing lies within what people measure in such houses.
        let coldest = study
            .run
            .settled
            .air_c
            .iter()
            .copied()
            .fold(f64::MAX, f64::min);
        assert!(
            (-45.0..30.0).contains(&coldest),
            "{}: {coldest} C",
            town.in_full()
        );
    }
}

#[test]
fn thirty_towns_have_years_in_order() {
    years_are_in_order(&towns(30, 21));
}

#[test]
#[ignore = "a thousand towns, by hand"]
fn a_thousand_towns_have_years_in_order() {
    years_are_in_order(&towns(1000, 2027));
}

#[test]
fn five_towns_have_plans() {
    let quick = SolveOptions {
        gap: 0.2,
        work_limit: 4,
        seed: 1,
        ..SolveOptions::default()
    };
    for town in towns(5, 7) {
        let job = job_at(&town, 2);
        let climate = super::simulated(&job);
        let plan = study::plan(&job, &climate, &quick)
            .unwrap_or_else(|error| panic!("{}: {error}", town.in_full()));
        assert!(!plan.plantings.is_empty(), "{}", town.in_full());
    }
}
