//! Heater and fans fail in the cold.

use bedyear::output::{build, csv_out, json, terminal};
use bedyear::study::{self, Course, Fails, HORIZON_H, hours_until, outage};

fn lowest(column: &[f64]) -> f64 {
    column.iter().copied().fold(f64::INFINITY, f64::min)
}

fn whole(course: &Course) {
    assert_eq!(course.leaf_c.len(), HORIZON_H);
    assert_eq!(course.root_zone_c.len(), HORIZON_H);
}

#[test]
fn a_house_without_heat_cools_and_its_soil_holds_out_longer() {
    let job = super::job(3);
    let weathers = study::weather_years(&job);
    let climate = super::simulated(&job);
    let crops = ["basil".to_owned(), "spinach".to_owned()];
    let found = outage(&job, &climate, &weathers, Fails::Power, None, &crops).unwrap();
    whole(&found.failed);
    whole(&found.working);
    // The coldest spell of the three years, searched here in another way.
    let coldest = (0..3)
        .flat_map(|year| (0..362).map(move |day| (year, day * 24 + 18)))
        .map(|(year, from)| {
            weathers.year(year).temp_air_c[from..from + 72]
                .iter()
                .sum::<f64>()
                / 72.0
        })
        .fold(f64::INFINITY, f64::min);
    assert!(found.onset.spell_mean_c <= coldest + 1e-9);
    assert!(lowest(&found.failed.leaf_c) < lowest(&found.working.leaf_c));
    let zero = |column: &[f64]| hours_until(column, 0.0).unwrap_or(HORIZON_H);
    assert!(zero(&found.failed.root_zone_c) >= zero(&found.failed.leaf_c));
    let [covered, _] = &found.failed.parts[0];
    assert!(lowest(covered) >= lowest(&found.failed.leaf_c));
    // Without its fan a store gives only what the soil gives anyway, and winter nights have drawn it down.
    let storeless = found.storeless.as_ref().unwrap();
    assert!((lowest(&storeless.leaf_c) - lowest(&found.failed.leaf_c)).abs() < 1.0);
    let kill = |id: &str| {
        let limit = found.limits.iter().find(|l| l.crop.as_deref() == Some(id));
        limit.unwrap().bare_c
    };
    // Common practice, no source: spinach outlives basil in cold.
    assert!(kill("spinach") < kill("basil"));
    let view = build::outage(&job, &found);
    let text = terminal::outage(&view, &terminal::Look::default());
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    assert!(text.contains("carbon monoxide"), "{text}");
    assert!(json::to_string(&view).unwrap().contains("\"hours\""));
    let lines = csv_out::to_string(&view.rows).unwrap().lines().count();
    assert_eq!(lines, view.rows.len() + 1);
}

#[test]
fn before_the_failure_both_courses_are_one() {
    // Failing in July, when nothing runs but the store: the first hour begins in the same state.
    let job = super::job(1);
    let weathers = study::weather_years(&job);
    let climate = super::simulated(&job);
    let found = outage(&job, &climate, &weathers, Fails::Power, Some(190), &[]).unwrap();
    assert_eq!(found.onset.hour, 190 * 24 + 18);
    let first = (found.failed.leaf_c[0] - found.working.leaf_c[0]).abs();
    assert!(first < 1.5, "{first}");
}

#[test]
fn the_turn_of_the_year_and_the_usual_year_are_no_trouble() {
    let job = super::job(0);
    let none = bedyear::site::Weathers::default();
    let climate = super::simulated(&job);
    let found = outage(&job, &climate, &none, Fails::Power, Some(364), &[]).unwrap();
    whole(&found.failed);
    let unknown = outage(
        &job,
        &climate,
        &none,
        Fails::Power,
        None,
        &["basl".to_owned()],
    )
    .unwrap_err();
    assert!(unknown.is_input() && unknown.to_string().contains("basil"));
}

#[test]
fn the_less_fails_the_less_it_cools() {
    let job = super::job(1);
    let weathers = study::weather_years(&job);
    let climate = super::simulated(&job);
    let follow = |fails| outage(&job, &climate, &weathers, fails, None, &[]).unwrap();
    let (power, heater, fans) = (
        follow(Fails::Power),
        follow(Fails::Heater),
        follow(Fails::Fans),
    );
    let coldest = |found: &study::OutageStudy| lowest(&found.failed.leaf_c);
    assert!(coldest(&power) <= coldest(&heater) + 0.05);
    assert!(coldest(&power) < coldest(&fans) - 0.5);
    // The heater makes good what the store's fan does not bring.
    assert!(coldest(&fans) <= lowest(&fans.working.leaf_c) + 0.05);
}
