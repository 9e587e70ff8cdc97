//! Names from files that want to be more than names: escape codes, formulas, markup, marks that turn the writing.

use super::common::{SMALL, arg, bedyear, epw, folder_with};
use super::faults::harmless;

/// Clears the screen, sets a title, rings, turns the direction; a formula; a script. As TOML text.
const NASTY: &str = r#"=1+1\u001b[2J\u001b]0;own\u0007\u009b3J\u202e\u2066\u061c\u00ad\u2062\U000e0041<script>alert(1)</script>&'\""#;

/// A project whose every name is nasty, with a crop, a weather file and receipts of its own that are too.
fn nasty_project() -> (tempfile::TempDir, std::path::PathBuf) {
    let project = SMALL
        .replace("\"Two beds\"", &format!("\"{NASTY}\""))
        .replace("name = \"north\"", &format!("name = \"-{NASTY}\""))
        .replace("name = \"south\"", &format!("name = \"@{NASTY}\""))
        .replace("place = \"helena\"", "weather = \"nasty.epw\"")
        .replace("weather_years = 3", "weather_years = 1");
    let project = format!("{project}receipts = \"paid.csv\"\n[folders]\ncrops = \"own\"\n");
    let (folder, path) = folder_with("beds.toml", project);
    let crop = format!(
        "like = \"spinach\"\nname = \"{NASTY}\"\n[cold]\nkill_c = {{ value = -12, from = \"own\" }}\n\
         [sources]\nown = \"{NASTY}\"\n"
    );
    let place = "=1+1\u{1b}[2J\u{9b}3J\u{202e}<script>alert(1)</script>";
    for (name, text) in [
        ("own/nasty.toml", crop),
        ("nasty.epw", epw().replacen("Made-up plain", place, 1)),
        (
            "paid.csv",
            "date,food,kg,paid\n2027-01-05,spinach,0.5,6.00\n".to_owned(),
        ),
    ] {
        let to = folder.path().join(name);
        std::fs::create_dir_all(to.parent().unwrap()).unwrap();
        std::fs::write(to, text).unwrap();
    }
    (folder, path)
}

#[test]
fn a_name_is_of_a_length_that_fits_a_table() {
    let long = "x".repeat(101);
    for (old, new) in [
        ("name = \"north\"", format!("name = \"{long}\"")),
        ("\"Two beds\"", format!("\"{long}\"")),
    ] {
        let text = SMALL.replacen(old, &new, 1);
        let (_folder, path) = folder_with("beds.toml", text);
        bedyear()
            .args(["check", arg(&path)])
            .assert()
            .code(2)
            .stderr(predicates::str::contains("characters"));
    }
}

#[test]
fn names_reach_no_output_raw() {
    let (folder, path) = nasty_project();
    let quick = ["--work", "2", "--gap", "20"];
    let plain: [&[&str]; 5] = [
        &["check"],
        &["check", "--format", "json"],
        &["climate"],
        &["season"],
        &["climate", "--format", "json"],
    ];
    let searched: [&[&str]; 4] = [
        &["plan"],
        &["plan", "--format", "json"],
        &["plan", "--format", "csv"],
        &["calendar"],
    ];
    let runs = plain
        .into_iter()
        .map(|verb| verb.to_vec())
        .chain(searched.into_iter().map(|verb| [verb, &quick].concat()));
    for verb in runs {
        let done = bedyear().args(&verb).arg(&path).assert().success();
        harmless(&verb.join(" "), &done.get_output().stdout);
        harmless(&verb.join(" "), &done.get_output().stderr);
    }
    drop(folder);
}

#[test]
fn names_reach_no_file_raw() {
    let (folder, path) = nasty_project();
    let quick = ["--work", "2", "--gap", "20"];
    let to = |name: &str| folder.path().join("out").join(name);
    std::fs::create_dir(folder.path().join("out")).unwrap();
    let run = |args: &[&str]| {
        bedyear()
            .args(args)
            .arg(&path)
            .args(quick)
            .assert()
            .success();
    };
    run(&["report", "-o", arg(&to("report.html"))]);
    run(&["tables", "--as", "csv", "--folder", arg(&to("."))]);
    run(&[
        "calendar",
        "--csv",
        arg(&to("beds.csv")),
        "--ical",
        arg(&to("beds.ics")),
    ]);
    let mut with_names = 0;
    for entry in std::fs::read_dir(folder.path().join("out")).unwrap() {
        let file = entry.unwrap().path();
        let bytes = std::fs::read(&file).unwrap();
        harmless(arg(&file), &bytes);
        let text = String::from_utf8(bytes).unwrap();
        with_names += usize::from(text.contains("alert"));
        if file.extension().is_some_and(|ending| ending == "csv") {
            no_formulas(&text);
        }
        if file.extension().is_some_and(|ending| ending == "html") {
            assert!(!text.contains("<script>alert"), "markup from a name");
            assert!(text.contains("&lt;script&gt;alert"));
        }
    }
    assert!(with_names >= 4, "the names are in {with_names} files only");
}

/// No text cell that a spreadsheet would work out; numbers may have a sign.
fn no_formulas(text: &str) {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    for row in reader.records() {
        for cell in row.unwrap().iter() {
            let formula = cell.trim_start().starts_with(['=', '+', '-', '@']);
            assert!(!formula || cell.parse::<f64>().is_ok(), "{cell}");
        }
    }
}
