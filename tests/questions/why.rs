//! Measures against the cold.

use bedyear::house::{House, HouseRun};
use bedyear::output::{build, csv_out, json, tables, terminal};
use bedyear::site::Weathers;
use bedyear::study::{self, measures::measures, why};

fn settled(job: &study::Job, house: &House) -> HouseRun {
    study::climate(job, house, &Weathers::default())
        .unwrap()
        .run
}

#[test]
fn each_measure_is_a_run_of_the_same_house() {
    let job = super::job(2);
    let weathers = study::weather_years(&job);
    let climate = super::simulated(&job);
    let found = why(&job, &climate, &weathers).unwrap();
    assert!(found.measures.len() >= 4, "{found:?}");
    let gains: Vec<f64> = found
        .measures
        .iter()
        .map(|tried| tried.with.coldest_leaf_unheated_c)
        .collect();
    assert!(gains.is_sorted_by(|a, b| a >= b), "{gains:?}");
    // Less loss never makes the heater give more.
    for name in [
        "second night curtain",
        "tighter building",
        "more insulation",
    ] {
        let tried = found.measures.iter().find(|tried| tried.name == name);
        let tried = tried.unwrap_or_else(|| panic!("{name} was not tried"));
        assert!(tried.with.heater_kwh < found.as_is.heater_kwh, "{tried:?}");
    }
    let store = found.store.unwrap();
    assert!(store.drawn_kwh > 0.0 && store.drawn_kwh < store.charged_kwh);
    let view = build::why(&job, &climate, &found);
    let text = terminal::why(&view, &terminal::Look::default());
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    let flows = terminal::draw(&tables::why(&view)[1], &terminal::Look::default());
    assert!(
        flows.contains("ground") && flows.lines().all(|line| line.chars().count() <= 80),
        "{flows}"
    );
    assert!(json::to_string(&view).unwrap().contains("saved_heater_kwh"));
    let lines = csv_out::to_string(&view.measures).unwrap().lines().count();
    assert_eq!(lines, found.measures.len() + 2);
}

#[test]
fn heat_paths_and_what_is_held_make_the_year() {
    let job = super::job(0);
    let run = settled(&job, &job.project.house);
    for month in &run.settled.months {
        let missing = (month.net_kwh() - month.stored_kwh).abs();
        assert!(missing <= 1e-3 * month.throughput_kwh().max(1.0));
    }
}

#[test]
fn the_ranking_moves_with_the_building() {
    // A plain tunnel of one film has no walls to insulate, no curtain and no store: other measures are tried.
    let hoop = include_str!("../../examples/hoop.toml");
    let mut project = bedyear::file::parse("hoop.toml", hoop).unwrap();
    project.planning.weather_years = 0;
    let job = study::Job::new(project, &study::SideFiles::default()).unwrap();
    let names: Vec<&str> = measures(&job).unwrap().iter().map(|m| m.name).collect();
    assert!(names.contains(&"night curtain"), "{names:?}");
    assert!(names.contains(&"heat store"), "{names:?}");
    let climate = super::simulated(&job);
    let found = why(&job, &climate, &Weathers::default()).unwrap();
    assert!(found.store.is_none());
    assert_eq!(found.as_is.heater_kwh, 0.0);
    let cover = found
        .measures
        .iter()
        .find(|tried| tried.name == "row cover");
    // Common practice, no source: a row cover is worth a few kelvins on a cold night.
    let gain = cover.unwrap().with.coldest_leaf_unheated_c - found.as_is.coldest_leaf_unheated_c;
    assert!((0.5..10.0).contains(&gain), "{gain}");
}

/// Every measure that can be written is read back as the same building, so that it gives the same figures again.
#[test]
fn the_file_behind_a_measure_gives_the_same_figures() {
    let job = super::job(2);
    let weathers = study::weather_years(&job);
    let climate = super::simulated(&job);
    let found = why(&job, &climate, &weathers).unwrap();
    for tried in &found.measures {
        let text = study::variant_text(&job, super::HOUSE, &tried.house)
            .unwrap_or_else(|error| panic!("{}: {error}", tried.name));
        let project = bedyear::file::parse("variant.toml", &text).unwrap();
        let again = study::Job::new(project, &study::SideFiles::default()).unwrap();
        assert_eq!(again.project.house, tried.house, "{}", tried.name);
        let shown = super::simulated(&again);
        let heater = shown.mean_of_years(|year| year.year.heater_kwh).unwrap();
        assert!(
            (heater - tried.with.heater_kwh).abs() < 1e-9 * heater.max(1.0),
            "{}",
            tried.name
        );
    }
    // What the keys cannot say is refused.
    let mut other = job.project.house.clone();
    other.air.volume_m3 *= 2.0;
    assert!(study::variant_text(&job, super::HOUSE, &other).is_err());
}

/// Listed surfaces and layers take their insulation too.
#[test]
fn listed_surfaces_are_written_back() {
    let text = include_str!("../boxes/900.toml");
    for text in [text, include_str!("../../examples/surfaces.toml")] {
        let text = text.replace("weather = \"denver.epw\"", "place = \"Golden\"");
        let mut project = bedyear::file::parse("box.toml", &text).unwrap();
        project.planning.weather_years = 1;
        let job = study::Job::new(project, &study::SideFiles::default()).unwrap();
        for measure in measures(&job).unwrap() {
            let read = study::variant_text(&job, &text, &measure.house);
            assert!(read.is_ok(), "{}: {:?}", measure.name, read.err());
        }
    }
}

/// The ranking of the measures and the gain of a cover follow weather and building.
#[test]
fn ranking_and_cover_move_with_weather_and_building() {
    let study_of = |text: &str, place: &str| {
        let text = text.replace("place = \"Helena\"", &format!("place = \"{place}\""));
        let mut project = bedyear::file::parse("moved.toml", &text).unwrap();
        project.planning.weather_years = 0;
        project.house.heater = None;
        let job = study::Job::new(project, &study::SideFiles::default()).unwrap();
        let climate = super::simulated(&job);
        why(&job, &climate, &Weathers::default()).unwrap()
    };
    let hoop = include_str!("../../examples/hoop.toml");
    let cases = [
        study_of(super::HOUSE, "Helena"),
        study_of(super::HOUSE, "Seattle"),
        study_of(hoop, "Helena"),
        study_of(hoop, "Fairbanks"),
    ];
    let gains: Vec<f64> = cases
        .iter()
        .map(|found| {
            let cover = found
                .measures
                .iter()
                .find(|tried| tried.name == "row cover");
            cover.unwrap().with.coldest_leaf_unheated_c - found.as_is.coldest_leaf_unheated_c
        })
        .collect();
    println!("gain of a row cover, K: {gains:.2?}");
    for (at, gain) in gains.iter().enumerate() {
        for other in &gains[at + 1..] {
            assert!((gain - other).abs() > 0.05, "{gains:?}");
        }
    }
    let ranked = |found: &study::WhyStudy| -> Vec<String> {
        found
            .measures
            .iter()
            .map(|tried| tried.name.clone())
            .collect()
    };
    let rankings: std::collections::BTreeSet<Vec<String>> = cases.iter().map(ranked).collect();
    println!("{rankings:#?}");
    assert!(rankings.len() > 1);
}
