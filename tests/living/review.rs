//! The plan against the journal: every sum from the rows, every planting followed.

use std::fmt::Write;
use std::path::PathBuf;

use serde_json::Value;
use tempfile::TempDir;

use super::common::{
    SMALL, arg, bedyear, csv_rows, fits_80_columns, folder_with, json_of, output_of,
};

const AT: &str = "2027-06-30";

/// A small project with its plan saved, and the plan as JSON.
fn planned() -> (TempDir, PathBuf, PathBuf, Value) {
    // Greens in spring, so that something is sown early and picked by midsummer.
    let spring = SMALL.replace("from October to April", "from March to July");
    let (folder, path) = folder_with("beds.toml", spring);
    let saved = folder.path().join("plan.toml");
    let plan = json_of(&[
        "plan",
        arg(&path),
        "--gap",
        "20",
        "--work",
        "5",
        "--save",
        arg(&saved),
        "--format",
        "json",
    ]);
    (folder, path, saved, plan)
}

fn review(path: &std::path::Path, plan: &std::path::Path, more: &[&str]) -> Value {
    json_of(
        &[
            &["review", arg(path), "--plan", arg(plan), "--format", "json"],
            more,
        ]
        .concat(),
    )
}

/// Plantings sown in the bed in the first half of the year, by bed and day.
fn direct_in_spring(plan: &Value) -> Vec<&Value> {
    let spring = |planting: &&Value| {
        let sow = planting["sow"].as_str().unwrap();
        ("2027-01-15".."2027-04-13").contains(&sow)
    };
    plan["plantings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(spring)
        .collect()
}

fn later(day: &str, days: i64) -> String {
    let day: chrono::NaiveDate = day.parse().unwrap();
    (day + chrono::Duration::days(days)).to_string()
}

#[test]
fn plantings_are_followed_from_plan_to_fact() {
    let (folder, path, saved, plan) = planned();
    let spring = direct_in_spring(&plan);
    assert!(!spring.is_empty(), "{plan}");
    let text = |planting: &Value, key: &str| planting[key].as_str().unwrap().to_owned();
    let (bed, crop, sow) = (
        text(spring[0], "bed"),
        text(spring[0], "crop"),
        text(spring[0], "sow"),
    );
    let mut journal =
        String::from("date,event,bed,crop,amount,unit,note\n2027-01-10,note,,,,,begun\n");
    writeln!(journal, "{},sown,{bed},{crop},,,", later(&sow, 2)).unwrap();
    writeln!(
        journal,
        "{},harvested,{bed},{crop},2.5,kg,",
        later(&sow, 70)
    )
    .unwrap();
    writeln!(
        journal,
        "{},harvested,{bed},{crop},1.5,kg,",
        later(&sow, 77)
    )
    .unwrap();
    writeln!(
        journal,
        "2027-06-01,bought,,,12.5,,seed\n2027-05-01,sown,south,basil,1,m2,"
    )
    .unwrap();
    writeln!(
        journal,
        "2027-05-20,lost,south,basil,,,\"cold, and slugs\"\n2027-06-05,broken row"
    )
    .unwrap();
    std::fs::write(folder.path().join("beds.journal.csv"), &journal).unwrap();
    let run = bedyear()
        .args([
            "review",
            arg(&path),
            "--plan",
            arg(&saved),
            "--at",
            AT,
            "--format",
            "json",
        ])
        .assert()
        .success();
    let stderr = String::from_utf8(run.get_output().stderr.clone()).unwrap();
    assert!(stderr.contains("beds.journal.csv:9:12:"), "{stderr}");
    assert!(stderr.contains("7 rows used, 1 left out"), "{stderr}");
    let view: Value = serde_json::from_slice(&run.get_output().stdout).unwrap();
    assert_eq!(
        (&view["rows_used"], &view["rows_bad"]),
        (&Value::from(7), &Value::from(1))
    );
    assert_eq!(view["picked_kg"], 4.0);
    let followed = view["plantings"].as_array().unwrap();
    let own = followed
        .iter()
        .find(|one| {
            one["bed"] == bed.as_str()
                && one["planned_sow"] == sow.as_str()
                && one["crop"] == crop.as_str()
        })
        .unwrap();
    assert_eq!(
        (&own["behind_days"], &own["state"]),
        (&Value::from(2.0), &Value::from("picking"))
    );
    assert_eq!(own["picked_kg"], 4.0);
    let lost = followed.iter().find(|one| one["crop"] == "basil").unwrap();
    assert_eq!(
        (&lost["state"], &lost["cause"]),
        (&Value::from("lost"), &Value::from("cold, and slugs"))
    );
    let to_date = &view["to_date"];
    let (saved_money, budget) = (
        to_date["saved"].as_f64().unwrap(),
        to_date["budget"].as_f64().unwrap(),
    );
    assert_eq!(to_date["paid"], 12.5);
    // Six months at the file's 100 USD a month.
    assert!((budget - 600.0).abs() < 1e-6, "{budget}");
    assert!(saved_money > 0.0 && saved_money <= budget, "{to_date}");
    // Months, beds and crops add up to the whole.
    let sum = |key: &str| -> f64 {
        view["kg"]
            .as_array()
            .unwrap()
            .iter()
            .map(|row| row[key].as_f64().unwrap())
            .sum()
    };
    assert!((sum("picked_kg") - 4.0).abs() < 1e-9);
    assert!((sum("planned_kg") - view["planned_kg"].as_f64().unwrap()).abs() < 1e-4);
    for work in view["work"].as_array().unwrap() {
        assert!(work["due"].as_str().unwrap() < "2027-07-14", "{work}");
    }
}

#[test]
fn what_was_never_sown_is_late_or_before_the_journal() {
    let (folder, path, saved, _) = planned();
    std::fs::write(
        folder.path().join("beds.journal.csv"),
        "date,event,bed,crop,amount,unit,note\n2027-03-01,note,,,,,begun\n",
    )
    .unwrap();
    let view = review(&path, &saved, &["--at", AT]);
    for one in view["plantings"].as_array().unwrap() {
        let sow = one["planned_sow"].as_str().unwrap();
        let state = one["state"].as_str().unwrap();
        let expected = match sow {
            sow if sow > AT => "to come",
            sow if sow < "2027-03-01" => "before the journal",
            _ => "not sown",
        };
        assert_eq!(state, expected, "{one}");
    }
    assert_eq!(view["picked_kg"], 0.0);
    // Without a day the journal's last one counts.
    assert_eq!(review(&path, &saved, &[])["at"], "2027-03-01");
}

#[test]
fn people_and_machines_read_the_same() {
    let (folder, path, saved, _) = planned();
    std::fs::write(
        folder.path().join("beds.journal.csv"),
        "date,event,bed,crop,amount,unit,note\n2027-03-01,harvested,north,spinach,1.25,kg,\n",
    )
    .unwrap();
    let table = output_of(&["review", arg(&path), "--plan", arg(&saved), "--at", AT]);
    fits_80_columns(&table);
    assert!(
        table.contains("Two weeks ahead") && table.contains("Picked 1.2 kg"),
        "{table}"
    );
    let rows = csv_rows(&output_of(&[
        "review",
        arg(&path),
        "--plan",
        arg(&saved),
        "--at",
        AT,
        "--format",
        "csv",
    ]));
    let picked: f64 = rows
        .iter()
        .map(|row| row["picked_kg"].parse::<f64>().unwrap())
        .sum();
    assert!((picked - 1.25).abs() < 1e-12);
}

#[test]
fn an_empty_journal_needs_a_day() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    bedyear().args(["review", arg(&path)]).assert().code(2);
    std::fs::write(folder.path().join("beds.journal.csv"), "date,event\n").unwrap();
    bedyear().args(["review", arg(&path)]).assert().code(2);
}
