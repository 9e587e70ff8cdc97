//! What the tests of the command line share: a small project, a made-up weather file, ways to run and read.

use std::path::{Path, PathBuf};

use assert_cmd::Command;
use serde_json::Value;
use tempfile::TempDir;

#[path = "../made/epw.rs"]
mod made_epw;

/// A year of made-up weather in the published layout.
pub fn epw() -> String {
    made_epw::epw()
}

/// Two beds under film, two foods, few weather years: quick to simulate and to plan.
pub const SMALL: &str = r#"name = "Two beds"

[site]
place = "helena"

[year]
plan = 2027
weather_years = 3

[building]
shape = "gable"
length = "6 m"
width = "4 m"
glazing = "double-film"

[[bed]]
name = "north"
area = "4 m2"

[[bed]]
name = "south"
area = "4 m2"

[household]
eats = ["spinach", "lettuce"]
rotation = "crops" # two families on two beds leave no place to rest
want = "1 kg spinach a week from October to April"

[money]
currency = "USD"
groceries = "800 USD/month"
produce = "100 USD/month"
"#;

/// The program, with nothing of the caller's environment that could change what it prints.
pub fn bedyear() -> Command {
    let mut command = Command::cargo_bin("bedyear").unwrap();
    for name in ["NO_COLOR", "RAYON_NUM_THREADS", "COLUMNS"] {
        command.env_remove(name);
    }
    command
}

/// A folder of its own with one file in it.
pub fn folder_with(name: &str, bytes: impl AsRef<[u8]>) -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(name);
    std::fs::write(&path, bytes).unwrap();
    (folder, path)
}

/// Standard output of a run that must succeed.
pub fn output_of(args: &[&str]) -> String {
    let done = bedyear().args(args).assert().success();
    String::from_utf8(done.get_output().stdout.clone()).unwrap()
}

/// The one JSON object of a run that must succeed.
pub fn json_of(args: &[&str]) -> Value {
    serde_json::from_str(&output_of(args)).unwrap()
}

/// Path as an argument.
pub fn arg(path: &Path) -> &str {
    path.to_str().unwrap()
}

/// The numbers that must stand under these keys of an object.
pub fn numbers(object: &Value, keys: &[&str]) {
    for key in keys {
        assert!(
            object[key].is_f64() || object[key].is_u64(),
            "{key}: {object}"
        );
    }
}

/// Rows of a CSV text as maps from column name to cell; the reader checks that every row is as long as the header.
pub fn csv_rows(text: &str) -> Vec<std::collections::BTreeMap<String, String>> {
    csv::Reader::from_reader(text.as_bytes())
        .deserialize()
        .map(Result::unwrap)
        .collect()
}

/// No line is wider than a plain terminal.
pub fn fits_80_columns(text: &str) {
    for line in text.lines() {
        assert!(
            line.chars().count() <= 80,
            "{} characters: {line}",
            line.chars().count()
        );
    }
}

/// The same file with one field (from 1) of lines `lines` (from 1) changed.
pub fn with_field(text: &str, lines: std::ops::Range<usize>, field: usize, value: &str) -> String {
    let changed = |(at, line): (usize, &str)| {
        if !lines.contains(&(at + 1)) {
            return line.to_owned();
        }
        let mut fields: Vec<&str> = line.split(',').collect();
        fields[field - 1] = value;
        fields.join(",")
    };
    let whole: Vec<String> = text.lines().enumerate().map(changed).collect();
    whole.join("\n") + "\n"
}
