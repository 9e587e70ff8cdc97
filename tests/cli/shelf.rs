//! `check`, `new`, `schema`, `crops`, `climates`: what is on the shelf, and a first file.

use predicates::prelude::*;

use super::common::{
    SMALL, arg, bedyear, csv_rows, fits_80_columns, folder_with, json_of, output_of,
};

#[test]
fn what_is_on_the_shelf_comes_in_every_format() {
    for verb in [
        &["schema"][..],
        &["crops"],
        &["crops", "spinach"],
        &["climates"],
    ] {
        let with = |more: &[&str]| output_of(&[verb, more].concat());
        if verb != ["climates"] {
            fits_80_columns(&with(&[]));
        }
        let rows = csv_rows(&with(&["--format", "csv"]));
        assert!(rows.len() > 10, "{verb:?}");
        let read: serde_json::Value = serde_json::from_str(&with(&["--format", "json"])).unwrap();
        assert!(read.is_object(), "{verb:?}: one object a run");
        assert_eq!(
            read["rows"].as_array().unwrap().len(),
            rows.len(),
            "{verb:?}"
        );
    }
}

#[test]
fn check_shows_the_areas_and_the_defaults() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let table = output_of(&["check", arg(&path)]);
    fits_80_columns(&table);
    assert!(table.contains("glazing") && table.contains("m2"), "{table}");
    let us = output_of(&["check", arg(&path), "--units", "us"]);
    fits_80_columns(&us);
    assert!(us.contains("ft2"), "{us}");
    let read = json_of(&["check", arg(&path), "--format", "json"]);
    assert_eq!(
        read,
        json_of(&["check", arg(&path), "--format", "json", "--units", "us"])
    );
    let floor = read["facts"]
        .as_array()
        .unwrap()
        .iter()
        .find(|fact| fact["fact"] == "floor");
    assert!((floor.unwrap()["amount"].as_f64().unwrap() - 24.0).abs() < 1e-9);
}

#[test]
fn a_starter_file_is_sound_and_is_not_written_over() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("mine.toml");
    for units in ["si", "us"] {
        let new = [
            "new",
            arg(&path),
            "--place",
            "uccle",
            "--units",
            units,
            "--replace",
        ];
        bedyear().args(new).assert().success();
        bedyear().args(["check", arg(&path)]).assert().success();
    }
    let before = std::fs::read(&path).unwrap();
    bedyear()
        .args(["new", arg(&path)])
        .assert()
        .code(2)
        .stderr(predicate::str::contains("is there already"));
    assert_eq!(std::fs::read(&path).unwrap(), before);
    bedyear()
        .args([
            "new",
            arg(&folder.path().join("other.toml")),
            "--place",
            "helna",
        ])
        .assert()
        .code(2)
        .stderr(predicate::str::contains("\"helna\""))
        .stderr(predicate::str::contains("did you mean \"helena\""));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

/// An answer is read without scrolling: 24 lines of 80 columns, and it names what shows more.
#[test]
fn the_shelf_answers_on_one_screen() {
    for question in [
        &["schema"][..],
        &["schema", "building"],
        &["schema", "surface"],
        &["crops"],
        &["crops", "spinach"],
        &["crops", "potato", "--units", "us"],
        &["climates", "--near", "46.6 N 112 W"],
        &["climates", "--design", "--weather-years", "1"],
        &["columns"],
        &["columns", "plantings"],
    ] {
        let shown = output_of(question);
        fits_80_columns(&shown);
        assert!(shown.lines().count() <= 24, "{question:?}:\n{shown}");
        assert!(shown.contains("--all"), "{question:?}:\n{shown}");
    }
    let sources = output_of(&["crops", "spinach", "--list", "cold"]);
    assert!(sources.contains("cold.kill_c") && sources.contains("Source"));
}

/// A name that no table has is told before the house is simulated: no progress, nothing of the file read.
#[test]
fn a_table_that_is_not_there_is_told_at_once() {
    for verb in [
        "check", "climate", "season", "outage", "plan", "value", "prices", "calendar", "review",
    ] {
        bedyear()
            .args([verb, "no-such-file.toml", "--list", "nothing"])
            .assert()
            .code(2)
            .stdout("")
            .stderr(predicate::str::contains("there is no table `nothing` here"));
    }
}

#[test]
fn an_unknown_crop_is_named_with_a_suggestion() {
    bedyear()
        .args(["crops", "spinnach"])
        .assert()
        .code(2)
        .stdout("")
        .stderr(predicate::str::contains("`spinnach`"))
        .stderr(predicate::str::contains("did you mean `spinach`?"));
}

/// The design temperatures are those of the weather files' headers (tests/reference/site_design_temps.csv); every difference
/// over 3 K has its reason, and where a file's own hours agree with its header the weather years do too (99.6 %).
#[test]
fn cold_stands_beside_design_temperatures_with_reasons() {
    let args = ["climates", "--design", "--weather-years", "10"];
    let rows = csv_rows(&output_of(&[&args[..], &["--format", "csv"]].concat()));
    assert_eq!(rows.len(), 12);
    let mut explained = 0;
    for row in &rows {
        let number = |column: &str| row[column].parse::<f64>().unwrap();
        let far = |years: &str, stated: &str| (number(years) - number(stated)).abs() > 3.0;
        let often = far("years_99_6_c", "stated_99_6_c");
        let once = far("years_yearly_min_c", "stated_yearly_min_c");
        assert_eq!(row["why"].contains("99.6 %:"), often, "{row:?}");
        assert_eq!(row["why"].contains("coldest hour:"), once, "{row:?}");
        if often && !far("hours_99_6_c", "stated_99_6_c") {
            assert!(
                (number("years_99_6_c") - number("stated_99_6_c")).abs() < 4.0,
                "{row:?}"
            );
        }
        explained += usize::from(often) + usize::from(once);
    }
    assert!(
        explained >= 4,
        "Helena, Fairbanks and Whitehorse differ from their headers"
    );
    let table = output_of(&[&args[..], &["--all"]].concat());
    fits_80_columns(&table);
    assert!(table.contains("helena: 99.6 %:"), "{table}");
}

#[test]
fn figures_of_a_crop_are_in_the_units_asked_for() {
    let cold = |units: &str| output_of(&["crops", "spinach", "--list", "cold", "--units", units]);
    let figure = |text: &str, unit: &str| -> f64 {
        let line = text
            .lines()
            .find(|line| line.starts_with("cold.kill_c"))
            .unwrap();
        let mut words = line.split_whitespace().skip(1);
        let value = words.next().unwrap().parse().unwrap();
        assert_eq!(words.next(), Some(unit), "{line}");
        value
    };
    let (celsius, fahrenheit) = (figure(&cold("si"), "°C"), figure(&cold("us"), "°F"));
    // 1.8 degrees Fahrenheit in a kelvin, freezing at 32 (NIST Special Publication 811, appendix B); given in whole degrees it is told in
    // whole degrees.
    assert!(
        (celsius * 1.8 + 32.0 - fahrenheit).abs() <= 0.5,
        "{celsius} {fahrenheit}"
    );
    let (_folder, path) = folder_with("beds.toml", SMALL);
    // A project without a name goes by its place, said once.
    std::fs::write(&path, SMALL.replace("name = \"Two beds\"\n", "")).unwrap();
    let check = output_of(&["check", arg(&path)]);
    assert_eq!(check.lines().next(), Some("Helena, Montana"));
    let facts = output_of(&["check", arg(&path), "--list", "facts", "--units", "us"]);
    assert!(!facts.contains("m2") && !facts.contains("W/K"), "{facts}");
}
