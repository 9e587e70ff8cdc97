//! Wrong usage: exit code 2 and a hint; help for every verb with an example.

use predicates::prelude::*;

use super::common::{SMALL, arg, bedyear, folder_with};

const VERBS: [&str; 16] = [
    "new", "check", "climate", "season", "plan", "value", "prices", "calendar", "report",
    "overview", "schema", "crops", "climates", "log", "review", "tune",
];

#[test]
fn every_verb_has_help_with_an_example() {
    for verb in VERBS {
        bedyear()
            .args([verb, "--help"])
            .assert()
            .success()
            .stderr("")
            .stdout(predicate::str::contains(format!("bedyear {verb}")))
            .stdout(predicate::str::contains("Example: bedyear"));
    }
    bedyear().arg("--version").assert().success();
}

#[test]
fn unknown_verbs_and_options_are_refused_with_a_suggestion() {
    let refused = |args: &[&str], words: &[&str]| {
        let mut assert = bedyear().args(args).assert().code(2).stdout("");
        for word in words {
            assert = assert.stderr(predicate::str::contains(*word));
        }
    };
    refused(&["climat"], &["'climat'", "climate"]);
    refused(&[], &["Usage"]);
    refused(&["climate"], &["<FILE>"]);
    refused(
        &["climate", "x.toml", "--unit", "us"],
        &["--unit", "--units"],
    );
    refused(
        &["climate", "x.toml", "--units", "imperial"],
        &["imperial", "si", "us"],
    );
    refused(
        &["climate", "x.toml", "--weather-years", "0"],
        &["--weather-years", "1..=1000"],
    );
    refused(
        &["climate", "x.toml", "--format", "xml"],
        &["xml", "table", "csv", "json"],
    );
    refused(
        &["crops", "spinach", "--width", "10"],
        &["--width", "60..=400"],
    );
}

#[test]
fn a_gap_out_of_range_is_refused_before_any_work() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    for (option, value) in [
        ("--gap", "-1"),
        ("--gap", "101"),
        ("--gap", "NaN"),
        ("--seconds", "0"),
        ("--seconds", "inf"),
    ] {
        bedyear()
            .args(["plan", arg(&path), &format!("{option}={value}")])
            .timeout(std::time::Duration::from_secs(5))
            .assert()
            .code(2)
            .stdout("")
            .stderr(predicate::str::contains(option));
    }
}
