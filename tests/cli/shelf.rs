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
    let table = output_of(&args);
    fits_80_columns(&table);
    assert!(table.contains("helena: 99.6 %:"), "{table}");
}
