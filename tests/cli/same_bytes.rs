//! Every format for machines, and the report: the same bytes on one thread and on two.

use std::collections::BTreeMap;
use std::path::Path;

use super::common::{SMALL, bedyear, folder_with};

/// Every file below a folder, by its path in it.
fn files_below(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut waiting = vec![folder.to_owned()];
    while let Some(next) = waiting.pop() {
        for entry in std::fs::read_dir(next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                waiting.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().display().to_string();
                found.insert(name, std::fs::read(&path).unwrap());
            }
        }
    }
    found
}

/// All files that the verbs write, made with so many threads.
fn everything(project: &Path, threads: &str) -> BTreeMap<String, Vec<u8>> {
    let folder = tempfile::tempdir().unwrap();
    let to = |name: &str| folder.path().join(name).display().to_string();
    let years = ["--weather-years", "3"];
    let search = ["--work", "3", "--gap", "10"];
    let run = |args: &[&str], more: &[&str]| {
        bedyear()
            .args(args)
            .arg(project)
            .args(years)
            .args(more)
            .env("RAYON_NUM_THREADS", threads)
            .assert()
            .success();
    };
    let (csv, ics) = (to("beds.csv"), to("beds.ics"));
    run(&["report", "-o", &to("report.html")], &search);
    run(&["calendar", "--csv", &csv, "--ical", &ics], &search);
    run(&["climate", "--hourly", &to("hours.parquet")], &[]);
    for kind in ["csv", "parquet"] {
        run(
            &["tables", "--as", kind, "--folder", &to("tables")],
            &search,
        );
    }
    let vary = ["--vary", "building.length=6..9/3m", "--part", "2"];
    run(&["sweep", "-o", &to("sweep")], &vary);
    files_below(folder.path())
}

#[test]
fn the_same_bytes_on_one_thread_and_on_two_in_every_format() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let (one, two) = (everything(&path, "1"), everything(&path, "2"));
    assert!(one.keys().eq(two.keys()));
    for ending in [".html", ".csv", ".ics", ".parquet"] {
        assert!(one.keys().any(|name| name.ends_with(ending)), "{ending}");
    }
    for (name, bytes) in &one {
        assert!(two[name] == *bytes, "{name} differs");
    }
}
