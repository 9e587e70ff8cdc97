//! `sweep`: shards, parts, taking up again, and designs that cannot be built.

use std::collections::BTreeMap;
use std::path::Path;

use bytes::Bytes;
use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::record::RowAccessor;
use predicates::prelude::PredicateBooleanExt;

use crate::common::{SMALL, arg, bedyear, csv_rows, folder_with};

/// The bytes of every part of a folder, by name.
fn parts(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|found| found == "parquet"))
        .map(|path| {
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            (name, std::fs::read(path).unwrap())
        })
        .collect()
}

/// Two lengths, two places and one place that is none, in parts of two designs.
fn sweep(file: &Path, to: &Path, more: &[&str]) -> assert_cmd::assert::Assert {
    let vary = [
        "--vary",
        "building.length=6..9/2m",
        "--vary",
        "site.place=helena,miami,nowhere",
    ];
    bedyear()
        .args([
            "sweep",
            arg(file),
            "-o",
            arg(to),
            "--part",
            "2",
            "--weather-years",
            "1",
        ])
        .args(vary)
        .args(more)
        .assert()
}

#[test]
fn four_shards_make_the_bytes_that_one_run_makes() {
    let (folder, file) = folder_with("two.toml", SMALL);
    let [whole, apart] = ["whole", "apart"].map(|name| folder.path().join(name));
    sweep(&file, &whole, &[]).success();
    for shard in ["3/4", "1/4", "2/4", "4/4"] {
        sweep(&file, &apart, &["--shard", shard]).success();
    }
    assert_eq!(parts(&whole).len(), 3);
    assert_eq!(parts(&whole), parts(&apart));
}

#[test]
fn every_design_is_a_row_and_what_cannot_be_built_says_why() {
    let (folder, file) = folder_with("two.toml", SMALL);
    let to = folder.path().join("designs");
    sweep(&file, &to, &[]).success();
    let mut designs = Vec::new();
    let mut problems = 0;
    for bytes in parts(&to).into_values() {
        let reader = SerializedFileReader::new(Bytes::from(bytes)).unwrap();
        for row in reader.get_row_iter(None).unwrap() {
            let row = row.unwrap();
            designs.push(row.get_long(0).unwrap());
            let place = row.get_string(2).unwrap().clone();
            let problem = row.get_string(3).is_ok_and(|text| text.contains("nowhere"));
            assert_eq!(problem, place == "nowhere", "{row}");
            problems += usize::from(problem);
        }
    }
    assert_eq!(designs, (0..6).collect::<Vec<_>>());
    assert_eq!(problems, 2);
}

#[test]
fn a_broken_off_sweep_goes_on_and_another_one_is_kept_out() {
    let (folder, file) = folder_with("two.toml", SMALL);
    let to = folder.path().join("designs");
    sweep(&file, &to, &["--shard", "1/2"]).success();
    let before = parts(&to);
    let kept = to.join("part-00000.parquet");
    let written = std::fs::metadata(&kept).unwrap().modified().unwrap();
    sweep(&file, &to, &[])
        .success()
        .stderr(predicates::str::contains("2 designs of 6"));
    assert_eq!(
        std::fs::metadata(&kept).unwrap().modified().unwrap(),
        written
    );
    assert_eq!(before.len() + 1, parts(&to).len());
    sweep(&file, &to, &["--vary", "building.width=4m"])
        .code(2)
        .stderr(predicates::str::contains("another sweep"));
}

#[test]
fn the_usual_year_alone_needs_no_weather_years() {
    let (folder, file) = folder_with("two.toml", SMALL);
    let to = folder.path().join("designs");
    bedyear()
        .args(["sweep", arg(&file), "-o", arg(&to), "--weather-years", "0"])
        .args(["--vary", "building.length=6 m,7 m"])
        .assert()
        .success()
        .stderr(predicates::str::contains("cannot be built").not());
}

#[test]
fn files_that_the_project_names_are_read_for_every_design() {
    let text = SMALL.replace("[money]", "[money]\nreceipts = \"mine.csv\"");
    let (folder, file) = folder_with("two.toml", text);
    let receipts = "date,food,kg,paid\n2026-03-01,spinach,0.5,4.20\n";
    std::fs::write(folder.path().join("mine.csv"), receipts).unwrap();
    let to = folder.path().join("designs");
    // The first design is one that cannot be read at all.
    bedyear()
        .args(["sweep", arg(&file), "-o", arg(&to), "--weather-years", "0"])
        .args(["--vary", "building.length=x,6 m,7 m"])
        .assert()
        .success()
        .stderr(predicates::str::contains("warning: 1 of them"));
}

#[test]
fn what_cannot_vary_is_named() {
    let (folder, file) = folder_with("two.toml", SMALL);
    let to = folder.path().join("designs");
    for (vary, says) in [
        ("building.length", "a key and its values"),
        ("building.length=1..2", "a range is"),
        ("site.place=helena", "varied twice"),
        ("house.length=5 m,6 m", "no key `house` at the top"),
    ] {
        sweep(&file, &to, &["--vary", vary])
            .code(2)
            .stderr(predicates::str::contains(says));
        assert!(!to.exists());
    }
    sweep(&file, &to, &["--shard", "5/4"]).code(2);
}

/// With plans, each design says what its beds give.
#[test]
fn a_plan_of_each_design() {
    let (folder, file) = folder_with("two.toml", SMALL);
    let to = folder.path().join("planned");
    sweep(&file, &to, &["--plan"]).success();
    let args = [
        "designs",
        arg(&to),
        "--where",
        "site.place = helena",
        "--format",
        "csv",
    ];
    let run = bedyear().args(args).assert().success();
    let text = String::from_utf8(run.get_output().stdout.clone()).unwrap();
    let rows = csv_rows(&text);
    assert_eq!(rows.len(), 2, "{text}");
    let number = |row: &BTreeMap<String, String>, name: &str| -> f64 { row[name].parse().unwrap() };
    for row in &rows {
        assert!(
            number(row, "plantings") > 0.0 && number(row, "grown_kg") > 0.0,
            "{row:?}"
        );
        assert!(
            (1.0..=12.0).contains(&number(row, "months_eaten")),
            "{row:?}"
        );
        assert!(
            number(row, "replaced") + number(row, "beyond") > 0.0,
            "{row:?}"
        );
    }
}

/// The folder read back: filters, groups, quantiles, shares, by hand from the same rows; mistakes named.
#[test]
fn designs_are_read_back() {
    let (folder, file) = folder_with("two.toml", SMALL);
    let to = folder.path().join("back");
    sweep(&file, &to, &["--crops", "tomato_indeterminate,spinach"]).success();
    let ask = |more: &[&str]| {
        let args = [&["designs", arg(&to)], more].concat();
        String::from_utf8(
            bedyear()
                .args(args)
                .assert()
                .success()
                .get_output()
                .stdout
                .clone(),
        )
        .unwrap()
    };
    let csv = ask(&["--format", "csv"]);
    assert_eq!(csv.lines().count(), 7, "{csv}");
    // On the terminal each figure stands once, beside the number of its design.
    let seen = ask(&[]);
    assert_eq!(seen.matches("Heater").count(), 1, "{seen}");
    assert!(
        seen.contains("design ") && seen.contains("min p10"),
        "{seen}"
    );
    let warm = ask(&[
        "--where",
        "building.length > 7000 mm and site.place != nowhere",
        "--by",
        "site.place",
        "--show",
        "count, max building.length, share months_in.tomato_indeterminate > 11, min air_min_c",
        "--sort",
        "-min_air_min_c",
        "--format",
        "csv",
    ]);
    let lines: Vec<&str> = warm.lines().collect();
    assert_eq!(lines.len(), 3, "{warm}");
    assert!(
        lines[1].starts_with("miami,1,9,1,") && lines[2].starts_with("helena,1,9,0,"),
        "{warm}"
    );
    let json = ask(&["--show", "count", "--format", "json"]);
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["rows"][0]["designs"], 6.0);
    assert!(ask(&["--progress"]).starts_with("3 of 3 files, 6 of 6 designs"));
    bedyear()
        .args(["designs", arg(&to), "--show", "median heater_kw"])
        .assert()
        .code(2)
        .stderr(predicates::str::contains("did you mean `heater_kwh`?"));
}

/// Index and count from a scheduler's variables make the parts that the share by hand makes.
#[test]
fn a_scheduler_tells_the_share() {
    let (folder, file) = folder_with("two.toml", SMALL);
    let [hand, auto] = ["hand", "auto"].map(|name| folder.path().join(name));
    sweep(&file, &hand, &["--shard", "2/2"]).success();
    bedyear()
        .args([
            "sweep",
            arg(&file),
            "-o",
            arg(&auto),
            "--part",
            "2",
            "--weather-years",
            "1",
        ])
        .args([
            "--vary",
            "building.length=6..9/2m",
            "--vary",
            "site.place=helena,miami,nowhere",
        ])
        .args(["--shard", "auto"])
        .env("SLURM_ARRAY_TASK_ID", "1")
        .env("SLURM_ARRAY_TASK_MIN", "0")
        .env("SLURM_ARRAY_TASK_COUNT", "2")
        .assert()
        .success();
    assert_eq!(parts(&hand), parts(&auto));
}
