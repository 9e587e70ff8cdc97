//! `climate`: its JSON contract, its CSV, its files, its look; the same bytes on any number of threads.

use predicates::prelude::*;

use super::common::{
    SMALL, arg, bedyear, csv_rows, fits_80_columns, folder_with, json_of, numbers, output_of,
};

#[test]
fn json_has_every_promised_field() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let read = json_of(&["climate", arg(&path), "--format", "json"]);
    assert_eq!(read["year_kind"], "settled");
    assert!(read["balance_residual"].as_f64().unwrap().abs() < 0.001);
    let months = read["months"].as_array().unwrap();
    assert_eq!(months.len(), 12);
    for (month, number) in months.iter().zip(1..) {
        assert_eq!(month["month"], number);
        for key in [
            "air_mean_c",
            "air_min_c",
            "air_max_c",
            "root_zone_mean_c",
            "root_zone_min_c",
        ] {
            for ending in ["", "_p10", "_p50", "_p90"] {
                numbers(month, &[&format!("{key}{ending}")]);
            }
            let quantile = |ending: &str| month[format!("{key}{ending}")].as_f64().unwrap();
            assert!(quantile("_p10") <= quantile("_p50") && quantile("_p50") <= quantile("_p90"));
        }
        assert!(month["store_mean_c"].is_null(), "there is no store");
        numbers(
            month,
            &["light_mol_m2_day", "day_length_h", "heater_kwh", "fan_kwh"],
        );
    }
    let first = json_of(&["climate", arg(&path), "--first", "--format", "json"]);
    assert_eq!(first["year_kind"], "first");
}

#[test]
fn csv_and_json_hold_the_same_figures_whatever_the_units() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let base = ["climate", arg(&path), "--weather-years", "2", "--units"];
    let with =
        |units: &str, format: &str| output_of(&[&base[..], &[units, "--format", format]].concat());
    let json = with("si", "json");
    assert_eq!(json, with("us", "json"), "JSON is always SI");
    let csv = with("us", "csv");
    let rows = csv_rows(&csv);
    assert_eq!(rows.len(), 12);
    let read: serde_json::Value = serde_json::from_str(&json).unwrap();
    for (row, month) in rows.iter().zip(read["months"].as_array().unwrap()) {
        for (column, cell) in row {
            if let Ok(number) = cell.parse::<f64>() {
                let same = month[column].as_f64().unwrap();
                assert!((number - same).abs() <= 1e-12 * same.abs(), "{column}");
            } else {
                assert!(
                    cell.is_empty() && month[column].is_null(),
                    "{column}: {cell}"
                );
            }
        }
    }
    for column in [
        "air_mean_c",
        "root_zone_min_c_p10",
        "light_mol_m2_day",
        "day_length_h",
        "heater_kwh",
    ] {
        assert!(rows[0].contains_key(column), "{column}");
    }
    let (si, us) = (with("si", "table"), with("us", "table"));
    assert!(si.contains("°C") && !si.contains("°F"), "{si}");
    assert!(us.contains("°F") && !us.contains("°C"), "{us}");
    fits_80_columns(&si);
    fits_80_columns(&us);
}

#[test]
fn the_same_bytes_on_one_thread_and_on_two() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let with = |threads: &str| {
        let done = bedyear()
            .args(["climate", arg(&path), "--format", "json"])
            .env("RAYON_NUM_THREADS", threads)
            .assert()
            .success();
        done.get_output().stdout.clone()
    };
    let one = with("1");
    assert_eq!(one, with("2"));
    assert_eq!(one, with("2"));
}

#[test]
fn every_hour_is_written_to_a_file() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let hours = folder.path().join("hours.csv");
    bedyear()
        .args([
            "climate",
            arg(&path),
            "--weather-years",
            "1",
            "--hourly",
            arg(&hours),
        ])
        .assert()
        .success()
        .stderr(predicate::str::contains("written: "))
        .stderr(predicate::str::contains(
            "hours.csv: every hour of weather year 1 of 1, the one nearest to the medians; the months shown are medians of all",
        ));
    let rows = csv_rows(&std::fs::read_to_string(&hours).unwrap());
    assert_eq!(rows.len(), 8760);
    for column in [
        "outside_c",
        "air_c",
        "root_zone_c",
        "light_mol_m2",
        "heater_w",
        "fan_w",
    ] {
        assert!(rows[0][column].parse::<f64>().is_ok(), "{column}");
    }
    assert_eq!(rows[8759]["date"], "2027-12-31");
    assert_eq!(rows[8759]["clock_hour"], "23");
}

#[test]
fn an_unknown_ending_of_the_hourly_file_is_wrong_usage() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let hours = folder.path().join("hours.xyz");
    bedyear()
        .args([
            "climate",
            arg(&path),
            "--weather-years",
            "1",
            "--hourly",
            arg(&hours),
        ])
        .assert()
        .code(2)
        .stderr(predicate::str::contains(".csv or .parquet"));
    assert!(!hours.exists());
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    use std::io::Read;
    use std::process::{Command, Stdio};
    let mut child = Command::new(assert_cmd::cargo::cargo_bin("bedyear"))
        .args(["schema", "--format", "json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut first = [0_u8; 10];
    let mut reader = child.stdout.take().unwrap();
    reader.read_exact(&mut first).unwrap();
    drop(reader);
    let mut said = String::new();
    child
        .stderr
        .take()
        .unwrap()
        .read_to_string(&mut said)
        .unwrap();
    assert_eq!(child.wait().unwrap().code(), Some(0), "{said}");
    assert_eq!(said, "");
}

#[test]
fn colour_comes_only_when_asked_for() {
    let (_folder, path) = folder_with("beds.toml", SMALL.replacen("length", "lenght", 1));
    let escapes = |color: &str, refused: bool| {
        let mut command = bedyear();
        if refused {
            command.env("NO_COLOR", "1");
        }
        let done = command
            .args(["check", arg(&path), "--color", color])
            .assert()
            .code(2);
        done.get_output().stderr.contains(&0x1b)
    };
    assert!(escapes("always", false));
    assert!(
        escapes("always", true),
        "what is asked for by name goes first"
    );
    assert!(!escapes("never", false));
    assert!(!escapes("auto", false), "a pipe is no terminal");
    assert!(!escapes("auto", true));
}

/// Which years stand behind the measures, and which one behind the heat flows.
#[test]
fn why_says_of_which_years_it_is() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let text = output_of(&["climate", arg(&path), "--why", "--all"]);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "Cold: medians of 3 weather years; kWh: their mean.",
        "All of one year, as medians of many do not add up: weather year ",
        " of 3, the one nearest to the medians",
    ] {
        assert!(text.contains(words), "{words} in {text}");
    }
}
