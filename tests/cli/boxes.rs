//! The published envelope test boxes and a southern place through the whole program.

use std::path::Path;

use super::common::{SMALL, arg, epw, folder_with, json_of};

#[test]
fn every_published_test_box_runs_and_its_heat_balance_closes() {
    let (_folder, weather) = folder_with("made.epw", epw());
    let boxes = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/boxes");
    let mut count = 0;
    for entry in std::fs::read_dir(boxes).unwrap() {
        let path = entry.unwrap().path();
        let read = json_of(&[
            "climate",
            arg(&path),
            "--weather",
            arg(&weather),
            "--weather-years",
            "1",
            "--format",
            "json",
        ]);
        let residual = read["balance_residual"].as_f64().unwrap();
        assert!(residual.abs() < 0.001, "{}: {residual}", path.display());
        count += 1;
    }
    assert!(count >= 6, "{count} test boxes");
}

#[test]
fn in_the_south_july_is_the_coldest_month() {
    let text = SMALL.replacen("helena", "santiago", 1);
    let (_folder, path) = folder_with("beds.toml", text);
    let read = json_of(&["climate", arg(&path), "--format", "json"]);
    let months = read["months"].as_array().unwrap();
    let coldest = |key: &str| {
        let mean = |month: &&serde_json::Value| month[key].as_f64().unwrap();
        months
            .iter()
            .min_by(|a, b| mean(a).total_cmp(&mean(b)))
            .unwrap()["month"]
            .as_u64()
            .unwrap()
    };
    assert_eq!(coldest("outside_mean_c"), 7);
    assert!(
        [6, 7].contains(&coldest("air_mean_c")),
        "{}",
        coldest("air_mean_c")
    );
    assert!([6, 7].contains(&coldest("day_length_h")));
}
