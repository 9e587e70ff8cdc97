//! `tables` and `columns`: every figure behind the report as files that other programs read.

use std::collections::BTreeSet;

use crate::common::{SMALL, arg, bedyear, folder_with, output_of};

/// Names of the files of a folder that end in `ending`, without it.
fn names(folder: &std::path::Path, ending: &str) -> BTreeSet<String> {
    std::fs::read_dir(folder)
        .unwrap()
        .filter_map(|entry| {
            let name = entry.unwrap().file_name().into_string().unwrap();
            name.strip_suffix(ending).map(str::to_owned)
        })
        .collect()
}

#[test]
fn every_table_is_written_twice_over_and_every_column_is_explained() {
    let (folder, file) = folder_with("two.toml", SMALL);
    let to = folder.path().join("figures/of 2027");
    for kind in ["csv", "parquet"] {
        bedyear()
            .args([
                "tables",
                arg(&file),
                "--work",
                "5",
                "--folder",
                arg(&to),
                "--as",
                kind,
            ])
            .assert()
            .success();
    }
    let mut tables = names(&to, ".csv");
    assert!(tables.remove("dictionary"));
    assert_eq!(tables, names(&to, ".parquet"));
    assert!(tables.len() > 15, "{tables:?}");
    let read = |name: &str| csv::Reader::from_path(to.join(name)).unwrap();
    let explained: BTreeSet<(String, String)> = read("dictionary.csv")
        .records()
        .map(|row| row.unwrap())
        .map(|row| (row[0].to_owned(), row[1].to_owned()))
        .collect();
    for table in &tables {
        let mut reader = read(&format!("{table}.csv"));
        for column in reader.headers().unwrap() {
            assert!(
                explained.contains(&(table.clone(), column.to_owned())),
                "{table}.{column}"
            );
        }
        let rows = reader.records().map(Result::unwrap).count();
        let bytes = bytes::Bytes::from(std::fs::read(to.join(format!("{table}.parquet"))).unwrap());
        let parquet = parquet::file::reader::SerializedFileReader::new(bytes).unwrap();
        let read = parquet::file::reader::FileReader::get_row_iter(&parquet, None).unwrap();
        assert_eq!(read.count(), rows, "{table}");
    }
}

#[test]
fn the_dictionary_can_be_asked_for_alone() {
    let text = output_of(&["columns", "--format", "csv"]);
    assert!(
        text.contains("climate_months,air_mean_c,°C,number,"),
        "{text}"
    );
    assert!(text.contains("climate_hours,"));
}

#[test]
fn a_folder_that_cannot_be_made_is_named() {
    let (folder, file) = folder_with("two.toml", SMALL);
    let blocked = folder.path().join("two.toml/figures");
    bedyear()
        .args([
            "tables",
            arg(&file),
            "--work",
            "1",
            "--folder",
            arg(&blocked),
        ])
        .assert()
        .code(1)
        .stderr(predicates::str::contains("cannot be written to"));
}

#[test]
fn a_replaced_plan_is_taken_off_the_phone() {
    let (folder, file) = folder_with("two.toml", SMALL);
    let ics = folder.path().join("beds.ics");
    let args = ["calendar", arg(&file), "--work", "2", "--ical", arg(&ics)];
    bedyear().args(args).assert().success();
    std::fs::write(
        &file,
        SMALL.replace("[\"spinach\", \"lettuce\"]", "[\"spinach\"]"),
    )
    .unwrap();
    bedyear()
        .args(args)
        .args(["--replaces", arg(&ics), "--revision", "1"])
        .assert()
        .success();
    let text = std::fs::read_to_string(&ics).unwrap();
    assert!(text.contains("STATUS:CANCELLED"), "{text}");
    bedyear()
        .args(args)
        .args(["--replaces", arg(&file)])
        .assert()
        .code(2)
        .stderr(predicates::str::contains("two.toml:1: is no calendar"));
    let uid = text
        .lines()
        .position(|line| line.starts_with("UID:"))
        .unwrap()
        + 1;
    let no_day = text.replacen("DTSTART;VALUE=DATE:2", "DTSTART;VALUE=DATE:x", 1);
    assert_ne!(no_day, text);
    let broken = folder.path().join("broken.ics");
    std::fs::write(&broken, no_day).unwrap();
    let assert = bedyear()
        .args(args)
        .args(["--replaces", arg(&broken)])
        .assert()
        .code(2);
    let said = String::from_utf8_lossy(&assert.get_output().stderr).into_owned();
    let line: usize = said
        .split(':')
        .nth(2)
        .and_then(|line| line.parse().ok())
        .expect("a line");
    assert!(
        line == uid && said.contains("no day that can be read"),
        "{uid}: {said}"
    );
}
