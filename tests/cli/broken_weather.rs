//! Weather files that cannot be used, and gaps that can be filled.

use predicates::prelude::*;

use super::common::{SMALL, arg, bedyear, epw, folder_with, json_of, with_field};

/// First data row's line.
const FIRST_ROW: usize = 9;
/// Field of the air temperature.
const DRY_BULB: usize = 7;

/// A weather file is refused with all these words.
fn refused(bytes: impl AsRef<[u8]>, words: &[&str]) {
    let (folder, project) = folder_with("beds.toml", SMALL);
    let weather = folder.path().join("made.epw");
    std::fs::write(&weather, bytes).unwrap();
    let assert = bedyear()
        .args(["climate", arg(&project), "--weather", arg(&weather)])
        .assert()
        .code(2)
        .stdout("");
    let said = String::from_utf8_lossy(&assert.get_output().stderr).into_owned();
    for word in words {
        assert!(said.contains(word), "`{word}` is not in:\n{said}");
    }
}

#[test]
fn a_file_cut_short_between_rows_is_refused() {
    let text: String = epw()
        .lines()
        .take(5008)
        .map(|line| format!("{line}\n"))
        .collect();
    refused(
        text,
        &["made.epw:5008", "ends after 5000 hourly rows", "8760"],
    );
}

#[test]
fn a_file_cut_short_within_a_row_is_refused() {
    let text = epw();
    let row = text.lines().nth(4999).unwrap();
    let cut = text.find(row).unwrap() + row.len() / 3;
    refused(&text[..cut], &["made.epw:5000", "cut short"]);
}

#[test]
fn a_long_gap_is_refused_with_line_and_column() {
    let text = with_field(&epw(), 100..120, DRY_BULB, "99.9");
    refused(
        text,
        &["made.epw:100: column 7", "missing in 20 rows in succession"],
    );
}

#[test]
fn a_month_left_out_is_named() {
    let text: String = epw()
        .lines()
        .enumerate()
        .filter(|(at, line)| *at < FIRST_ROW - 1 || !line.starts_with("2001,3,"))
        .map(|(_, line)| format!("{line}\n"))
        .collect();
    refused(
        text,
        &["made.epw:1425", "the row is of month 4", "month 3, day 1"],
    );
}

#[test]
fn a_cell_that_is_no_number_is_named() {
    let text = with_field(&epw(), 50..51, DRY_BULB, "cold");
    refused(text, &["made.epw:50: column 7", "`cold` is not a number"]);
}

#[test]
fn an_empty_file_and_another_kind_of_file_are_refused() {
    refused("", &["made.epw:1", "the file is empty", "8760"]);
    refused("date,temp\n2027-01-01,3\n", &["made.epw:1", "`LOCATION`"]);
}

#[test]
fn missing_weather_and_a_folder_are_refused() {
    let (folder, project) = folder_with("beds.toml", SMALL);
    for (weather, why) in [
        (folder.path().join("none.epw"), "there is no such file"),
        (folder.path().to_owned(), "is a folder, not a file"),
    ] {
        bedyear()
            .args(["climate", arg(&project), "--weather", arg(&weather)])
            .assert()
            .code(2)
            .stdout("")
            .stderr(predicate::str::contains(why));
    }
}

#[test]
fn short_gaps_and_a_name_in_an_old_encoding_do_not_stop_the_run() {
    let text = with_field(&epw(), 100..103, DRY_BULB, "99.9");
    let mut bytes = text.into_bytes();
    let at = bytes
        .windows(7)
        .position(|window| window == b"Made-up")
        .unwrap();
    bytes[at + 1] = 0xe9;
    let (folder, project) = folder_with("beds.toml", SMALL);
    let weather = folder.path().join("made.epw");
    std::fs::write(&weather, bytes).unwrap();
    let read = json_of(&[
        "climate",
        arg(&project),
        "--weather",
        arg(&weather),
        "--weather-years",
        "1",
        "--format",
        "json",
    ]);
    let notes = read["notes"].to_string();
    assert!(notes.contains("made.epw:100: column 7"), "{notes}");
    assert!(notes.contains("missing in 3 rows, filled"), "{notes}");
}
