//! `plan`, `value` and `calendar`: JSON contracts, files, the same bytes on any number of threads.

use std::collections::BTreeSet;

use predicates::prelude::*;
use serde_json::Value;

use super::common::{
    SMALL, arg, bedyear, csv_rows, fits_80_columns, folder_with, json_of, numbers, output_of,
};

/// Counted work that gives a plan of two beds quickly; how near to the best it comes is not asked here.
const QUICK: [&str; 4] = ["--gap", "20", "--work", "5"];

/// A verb on a file with the quick search.
fn quick<'a>(verb: &'a str, path: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    [&[verb, path], &QUICK[..], more].concat()
}

#[test]
fn plan_json_has_every_promised_field_and_the_same_bytes_on_any_number_of_threads() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let with = |threads: &str| {
        let done = bedyear()
            .args(quick("plan", arg(&path), &["--format", "json"]))
            .env("RAYON_NUM_THREADS", threads)
            .assert()
            .success();
        String::from_utf8(done.get_output().stdout.clone()).unwrap()
    };
    let text = with("1");
    assert_eq!(text, with("2"));
    let read: Value = serde_json::from_str(&text).unwrap();
    plan_contract(&read);
}

#[test]
fn beds_are_planted_in_patches_of_the_size_asked_for() {
    let smallest_m2 = |patch: &str| {
        let text = SMALL.replace("[[bed]]\n", &format!("[[bed]]\n{patch}"));
        let (_folder, path) = folder_with("beds.toml", &text);
        let read = json_of(&quick("plan", arg(&path), &["--format", "json"]));
        let plantings = read["plantings"].as_array().unwrap();
        let areas = plantings.iter().map(|one| one["area_m2"].as_f64().unwrap());
        areas.fold(f64::INFINITY, f64::min)
    };
    let (usual, small) = (smallest_m2(""), smallest_m2("patch = \"0.4 m2\"\n"));
    assert!(
        (1.9..4.1).contains(&usual),
        "half a bed of 4 m2, or all of it: {usual}"
    );
    assert!((0.3..0.6).contains(&small), "about 0.4 m2: {small}");
}

/// A crop of one's own, like one on the shelf and of twice its published cut (0.84 to 1.12 kg/m2), takes its place in the plan:
/// it is eaten as the same food. (A juicier one would not: leaves grow at the pace that brings the published cut.)
#[test]
fn a_crop_of_ones_own_is_planted() {
    let text = format!("{SMALL}\n[folders]\ncrops = \"own\"\n");
    let (folder, path) = folder_with("beds.toml", text);
    std::fs::create_dir(folder.path().join("own")).unwrap();
    let own = "like = \"spinach\"\nname = \"Better spinach\"\n[yield]\n\
               one_cut_kg_m2 = { low = 1.68, high = 2.24, from = \"mine\" }\n\
               season_max_kg_m2 = { value = 8.5, from = \"mine\" }\n\
               [sources]\nmine = \"made up for this test\"\n";
    std::fs::write(folder.path().join("own/better.toml"), own).unwrap();
    let read = json_of(&quick("plan", arg(&path), &["--format", "json"]));
    let plantings = read["plantings"].as_array().unwrap();
    assert!(
        plantings.iter().any(|one| one["crop"] == "better"),
        "{read}"
    );
}

/// Leaves of the plan are those of beds that are nearly always full: more than none, less than the three layers that cover the
/// ground (FAO-56, eq. 97).
#[test]
fn a_second_pass_takes_the_plans_own_leaves() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let read = json_of(&quick(
        "plan",
        arg(&path),
        &["--second-pass", "--format", "json"],
    ));
    let pass = &read["second_pass"];
    let figures = |key: &str| -> Vec<f64> {
        let list = pass[key].as_array().unwrap();
        list.iter().map(|figure| figure.as_f64().unwrap()).collect()
    };
    let leaves = figures("own_leaf_area");
    assert_eq!(leaves.len(), 12);
    assert!(
        leaves.iter().all(|month| (0.0..=3.0).contains(month)),
        "{pass}"
    );
    assert!(leaves.iter().any(|month| *month > 0.5), "{pass}");
    assert_eq!(
        figures("worth")[1],
        read["replayed_value_p50"].as_f64().unwrap()
    );
    let text = output_of(&quick("plan", arg(&path), &["--second-pass", "--all"]));
    assert!(text.contains("per area of bed"));
    fits_80_columns(&text);
    bedyear()
        .args(quick(
            "plan",
            arg(&path),
            &["--second-pass", "--from", "2027-03-01"],
        ))
        .assert()
        .code(2);
}

fn plan_contract(read: &Value) {
    numbers(read, &["value", "bound", "gap", "replayed_value_p50"]);
    assert_eq!(read["currency"], "USD");
    let at = |key: &str| read[key].as_f64().unwrap();
    assert!(
        at("value") <= at("bound") * (1.0 + 1e-6),
        "{} {}",
        at("value"),
        at("bound")
    );
    let plantings = read["plantings"].as_array().unwrap();
    assert!(!plantings.is_empty());
    for planting in plantings {
        assert!(["north", "south"].contains(&planting["bed"].as_str().unwrap()));
        assert!(planting["crop"].is_string());
        numbers(planting, &["area_m2", "survival", "harvest_kg"]);
        let survival = planting["survival"].as_f64().unwrap();
        assert!((0.0..=1.0).contains(&survival));
        assert!(is_date(&planting["sow"]));
        for key in ["transplant", "first_harvest", "last_harvest"] {
            assert!(planting[key].is_null() || is_date(&planting[key]), "{key}");
        }
        let day = |key: &str| planting[key].as_str().unwrap_or("9999-12-31").to_owned();
        assert!(day("sow") <= day("first_harvest"), "{planting}");
        assert!(day("first_harvest") <= day("last_harvest"), "{planting}");
    }
    let weeks = read["weeks"].as_array().unwrap();
    assert_eq!(weeks.len(), 52);
    for week in weeks {
        assert!(is_date(&week["start"]));
        numbers(week, &["food_kg", "wish_kg"]);
    }
    for gap in read["gaps"].as_array().unwrap() {
        assert!(is_date(&gap["from"]) && is_date(&gap["to"]));
        numbers(gap, &["missing_kg"]);
        for key in ["food", "cause", "remedy"] {
            assert!(!gap[key].as_str().unwrap().is_empty(), "{key}");
        }
    }
}

/// A day as ISO 8601 writes it.
fn is_date(value: &Value) -> bool {
    value
        .as_str()
        .is_some_and(|text| text.parse::<chrono::NaiveDate>().is_ok())
}

#[test]
fn value_json_has_every_promised_field() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let read = json_of(&quick("value", arg(&path), &["--format", "json"]));
    let keys = [
        "grown_kg",
        "eaten_kg",
        "kept_kg",
        "surplus_kg",
        "value",
        "cost",
        "net",
        "budget",
        "share",
    ];
    let months = read["months"].as_array().unwrap();
    assert_eq!(months.len(), 12);
    for month in months {
        numbers(month, &keys);
        let at = |key: &str| month[key].as_f64().unwrap();
        assert!(
            (at("value") - at("cost") - at("net")).abs() < 0.01,
            "{month}"
        );
    }
    numbers(&read["year"], &keys);
    numbers(
        &read,
        &["ceiling", "share_of_produce", "share_of_groceries"],
    );
    for key in ["grown_kg", "value", "cost", "budget"] {
        let sum: f64 = months
            .iter()
            .map(|month| month[key].as_f64().unwrap())
            .sum();
        let year = read["year"][key].as_f64().unwrap();
        assert!(
            (sum - year).abs() <= 0.01 * year.abs().max(1.0),
            "{key}: {sum} {year}"
        );
    }
    assert!((read["year"]["budget"].as_f64().unwrap() - 1200.0).abs() < 0.5);
}

#[test]
fn the_calendar_is_written_whole_and_every_task_stands_in_it_once() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let (csv, ics) = (
        folder.path().join("beds.csv"),
        folder.path().join("beds.ics"),
    );
    bedyear()
        .args(quick(
            "calendar",
            arg(&path),
            &["--csv", arg(&csv), "--ical", arg(&ics)],
        ))
        .assert()
        .success()
        .stdout("")
        .stderr(predicate::str::contains("beds.csv"))
        .stderr(predicate::str::contains("beds.ics"));
    let rows = csv_rows(&std::fs::read_to_string(&csv).unwrap());
    let plan = json_of(&quick("plan", arg(&path), &["--format", "json"]));
    let has = |planting: &Value, date: &str, task: &str| {
        rows.iter().any(|row| {
            row["bed"] == planting["bed"].as_str().unwrap()
                && row["crop"] == planting["crop_name"].as_str().unwrap()
                && row["date"] == date
                && row["task"].starts_with(task)
        })
    };
    for planting in plan["plantings"].as_array().unwrap() {
        assert!(
            has(planting, planting["sow"].as_str().unwrap(), "sow"),
            "{planting}"
        );
        for (key, task) in [("transplant", "set out"), ("clear", "clear")] {
            if let Some(date) = planting[key].as_str() {
                assert!(has(planting, date, task), "{task}: {planting}");
            }
        }
    }
    let sowings = rows
        .iter()
        .filter(|row| {
            ["sow", "plant", "buy"]
                .iter()
                .any(|word| row["task"].starts_with(word))
        })
        .count();
    assert_eq!(sowings, plan["plantings"].as_array().unwrap().len());
    for row in &rows {
        assert!(row["area_m2"].parse::<f64>().unwrap() > 0.0);
    }
    let text = std::fs::read_to_string(&ics).unwrap();
    let unfolded = text.replace("\r\n ", "");
    assert!(unfolded.starts_with("BEGIN:VCALENDAR\r\n") && unfolded.ends_with("END:VCALENDAR\r\n"));
    let uids: Vec<&str> = unfolded
        .lines()
        .filter(|line| line.starts_with("UID:"))
        .collect();
    // A week's pickings are one entry, covers are spans, and clearing goes with what follows.
    let picks = rows
        .iter()
        .filter(|row| row["task"].contains("harvest"))
        .count();
    let harvests = unfolded.matches("CATEGORIES:HARVEST").count();
    assert!(harvests > 0 && harvests < picks, "{harvests} of {picks}");
    assert!(uids.len() - harvests <= rows.len() - picks);
    assert!(uids.len() - harvests >= sowings);
    assert_eq!(uids.iter().collect::<BTreeSet<_>>().len(), uids.len());
    assert!(
        text.lines().all(|line| line.len() <= 75),
        "RFC 5545 folds lines at 75 bytes"
    );
}

#[test]
fn a_folder_that_cannot_be_written_to_leaves_the_old_file() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let none = folder.path().join("none/beds.csv");
    bedyear()
        .args(quick("calendar", arg(&path), &["--csv", arg(&none)]))
        .assert()
        .code(1)
        .stdout("")
        .stderr(predicate::str::contains("none/beds.csv cannot be written"));
    let taken = folder.path().join("taken.csv");
    std::fs::create_dir(&taken).unwrap();
    std::fs::write(taken.join("old.txt"), "old").unwrap();
    bedyear()
        .args(quick("calendar", arg(&path), &["--csv", arg(&taken)]))
        .assert()
        .code(1)
        .stderr(predicate::str::contains("taken.csv cannot be written"));
    assert_eq!(
        std::fs::read_to_string(taken.join("old.txt")).unwrap(),
        "old"
    );
    let left = std::fs::read_dir(folder.path()).unwrap().count();
    assert_eq!(left, 2, "nothing half-written is left over");
}

#[test]
fn tables_fit_a_plain_terminal() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    for (verb, more) in [
        ("plan", &["--weeks"][..]),
        ("value", &[]),
        ("calendar", &[]),
    ] {
        let us = output_of(&quick(
            verb,
            arg(&path),
            &[more, &["--units", "us"]].concat(),
        ));
        fits_80_columns(&us);
        assert!(
            us.contains("lb") || us.contains("ft2") || us.contains("oz"),
            "{us}"
        );
    }
}

#[test]
fn the_sheet_of_the_calendar_is_in_the_units_asked_for() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let saved = folder.path().join("plan.toml");
    output_of(&quick("plan", arg(&path), &["--save", arg(&saved)]));
    let sheet = |units: &str| {
        let csv = folder.path().join(format!("{units}.csv"));
        let plan = ["--plan", arg(&saved), "--units", units, "--csv", arg(&csv)];
        output_of(&[&["calendar", arg(&path)][..], &plan].concat());
        std::fs::read_to_string(&csv).unwrap()
    };
    let (si, us) = (csv_rows(&sheet("si")), csv_rows(&sheet("us")));
    assert!(!si.is_empty() && si.len() == us.len());
    for (si, us) in si.iter().zip(&us) {
        assert!(!us["crop"].contains('_'), "{us:?}");
        // The international foot is 0.3048 m, the pound 0.45359237 kg (NIST Special Publication 811, appendix B).
        let area = |row: &std::collections::BTreeMap<String, String>, key: &str| -> f64 {
            row[key].parse().unwrap()
        };
        let ft2 = area(si, "area_m2") / (0.3048 * 0.3048);
        assert!((ft2 - area(us, "area_ft2")).abs() < 0.6, "{us:?}");
        if si["unit"] == "kg" {
            assert_eq!(us["unit"], "lb");
            let lb = area(si, "amount") / 0.453_592_37;
            assert!((lb - area(us, "amount")).abs() < 0.02, "{us:?}");
        }
        for cell in us.values().filter(|cell| cell.parse::<f64>().is_ok()) {
            let decimals = cell
                .split_once('.')
                .map_or(0, |(_, decimals)| decimals.len());
            assert!(decimals <= 2, "{us:?}");
        }
    }
    // A plan that repeats says its days in any year.
    let text = std::fs::read_to_string(&saved).unwrap();
    let shifted = text
        .lines()
        .map(|line| match line.strip_prefix("sow = \"20") {
            Some(rest) => {
                let (year, day) = rest.split_at(2);
                format!("sow = \"20{}{day}\n", year.parse::<u32>().unwrap() + 2)
            }
            None => format!("{line}\n"),
        });
    std::fs::write(&saved, shifted.collect::<String>()).unwrap();
    assert_eq!(csv_rows(&sheet("si")), si);
    // A plan from a file has no rows of the search; what would have them is said.
    let none = output_of(&[
        "plan",
        arg(&path),
        "--plan",
        arg(&saved),
        "--list",
        "frontier",
    ]);
    assert!(
        none.replace('\n', " ").contains("Leave --plan out"),
        "{none}"
    );
}

/// What stands when the plan begins bears while nothing sown since is ready: the cause of a shortfall is true of that bed too.
#[test]
fn a_shortfall_beside_what_stands_is_not_for_want_of_a_crop() {
    let text = format!(
        "{SMALL}\n[[standing]]\nbed = \"north\"\ncrop = \"spinach\"\nsown = 2026-09-05\nclear = 2027-04-20\n"
    );
    let (_folder, path) = folder_with("beds.toml", text);
    let list = |name| {
        let from = ["plan", arg(&path), "--from", "2027-01-01", "--months", "12"];
        csv_rows(&output_of(
            &[&from[..], &["--format", "csv", "--list", name]].concat(),
        ))
    };
    let gaps = list("gaps");
    let first = gaps.iter().find(|gap| gap["from"] == "2027-01-01").unwrap();
    assert_eq!(
        first["cause"],
        "nothing sown since the plan began is ready yet"
    );
    let picked = list("picks");
    let standing = picked
        .iter()
        .any(|pick| pick["crop"] == "spinach" && pick["start"] < first["to"]);
    assert!(standing, "{picked:?}");
}
