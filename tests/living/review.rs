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
    assert!(
        table.replace('\n', " ").contains("The plan is that of "),
        "{table}"
    );
    let searched = [
        "review",
        arg(&path),
        "--at",
        AT,
        "--work",
        "5",
        "--gap",
        "20",
    ];
    let searched = output_of(&searched).replace('\n', " ");
    assert!(
        searched.contains("The plan is one searched for now"),
        "{searched}"
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

/// Review, plan and calendar are about the same plantings: each stands in the review once a year, with the calendar's harvest
/// to the gram, and two weeks' work falls on the calendar's days.
#[test]
fn the_review_lists_each_planting_once_and_agrees_with_the_calendar() {
    let (folder, path, saved, plan) = planned();
    let rows = csv_rows(&output_of(&[
        "calendar",
        arg(&path),
        "--plan",
        arg(&saved),
        "--list",
        "tasks",
        "--format",
        "csv",
    ]));
    let key = |bed: &str, crop: &str| format!("{bed} {crop}");
    let mut picked: std::collections::BTreeMap<String, f64> = Default::default();
    for row in rows.iter().filter(|row| row["task"].contains("harvest")) {
        let kg: f64 = row["amount"].parse().unwrap();
        *picked.entry(key(&row["bed"], &row["crop"])).or_default() += kg;
    }
    std::fs::write(
        folder.path().join("beds.journal.csv"),
        // What was planned stays what it was, whatever is lost since.
        "date,event,bed,crop,amount,unit,note\n2027-01-01,lost,,lettuce_head,,,slugs\n",
    )
    .unwrap();
    let view = review(&path, &saved, &["--at", "2027-01-01"]);
    let text = |one: &Value, name: &str| one[name].as_str().unwrap_or_default().to_owned();
    let of_year: Vec<&Value> = view["plantings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|one| text(one, "planned_sow").starts_with("2027"))
        .collect();
    assert_eq!(of_year.len(), plan["plantings"].as_array().unwrap().len());
    let mut followed: std::collections::BTreeMap<String, f64> = Default::default();
    let mut seen = std::collections::BTreeSet::new();
    for one in of_year {
        let (bed, crop, sow) = (
            text(one, "bed"),
            text(one, "crop"),
            text(one, "planned_sow"),
        );
        *followed.entry(key(&bed, &crop)).or_default() += one["planned_kg"].as_f64().unwrap();
        seen.insert((bed, crop, sow, one["planned_kg"].to_string()));
    }
    assert!(!picked.is_empty() && seen.len() >= picked.len());
    for (planting, kg) in &picked {
        // Each picking is told to the gram, so half a gram of each may be lost.
        assert!(
            (kg - followed[planting]).abs() < 0.01,
            "{planting}: {kg} {}",
            followed[planting]
        );
    }
    assert!((picked.values().sum::<f64>() - followed.values().sum::<f64>()).abs() < 0.02);
    for day in ["2027-03-06", "2027-05-01", "2027-07-03"] {
        let view = review(&path, &saved, &["--at", day]);
        for work in view["work"].as_array().unwrap() {
            let due: chrono::NaiveDate = text(work, "due").parse().unwrap();
            assert_eq!(
                chrono::Datelike::weekday(&due),
                chrono::Weekday::Sat,
                "{work}"
            );
        }
    }
}

#[test]
fn plants_in_trays_are_followed_to_their_bed() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let journal = folder.path().join("beds.journal.csv");
    let head = "date,event,bed,crop,amount,unit,note\n";
    std::fs::write(
        &journal,
        format!("{head}2027-03-01,sown,,lettuce_head,,,\n"),
    )
    .unwrap();
    let states = |at: &str| -> Vec<String> {
        let args = [
            "review",
            arg(&path),
            "--work",
            "5",
            "--gap",
            "20",
            "--at",
            at,
            "--format",
            "json",
        ];
        let view = json_of(&args);
        let of = |one: &&Value| one["sown"] == "2027-03-01";
        let found = view["plantings"].as_array().unwrap().iter().filter(of);
        found
            .map(|one| one["state"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(states("2027-03-10"), ["in trays"]);
    std::fs::write(&journal, format!("{head}2027-03-01,sown,,lettuce_head,,,\n2027-03-29,transplanted,north,lettuce_head,,,\n")).unwrap();
    assert_eq!(states("2027-04-01"), ["growing"]);
    std::fs::write(
        &journal,
        format!(
            "{head}2027-03-01,sown,,lettuce_head,,,\n2027-03-20,lost,,lettuce_head,,,damped off\n"
        ),
    )
    .unwrap();
    assert_eq!(states("2027-04-01"), ["lost"]);
}

#[test]
fn what_is_late_stands_apart_and_what_is_done_goes() {
    let (folder, path, saved, plan) = planned();
    let spring = direct_in_spring(&plan);
    let text = |key: &str| spring[0][key].as_str().unwrap().to_owned();
    let (bed, crop, sow) = (text("bed"), text("crop"), text("sow"));
    let start = spring[0]["picks"][0]["start"].as_str().unwrap().to_owned();
    let journal = folder.path().join("beds.journal.csv");
    let head = "date,event,bed,crop,amount,unit,note\n2027-01-01,note,,,,,begun\n";
    // Ten days after a sowing that was not made it is overdue.
    std::fs::write(&journal, head).unwrap();
    let late = later(&sow, 10);
    let args = ["review", arg(&path), "--plan", arg(&saved), "--at", &late];
    let answer = output_of(&args);
    let overdue = answer.split_once("\nOverdue\n").unwrap().1;
    let (overdue, _) = overdue.split_once("Two weeks ahead").unwrap();
    assert!(overdue.contains("sow"), "{answer}");
    for row in csv_rows(&output_of(
        &[&args[..], &["--list", "work", "--format", "csv"]].concat(),
    )) {
        assert!(row["due"] >= late, "{row:?}");
    }
    // A picking that was made is no work any more.
    let week = later(&start, 7);
    std::fs::write(
        &journal,
        format!("{head}{sow},sown,{bed},{crop},,,\n{start},harvested,{bed},{crop},1,kg,\n"),
    )
    .unwrap();
    let view = review(&path, &saved, &["--at", &start]);
    let picks = view["work"].as_array().unwrap().iter();
    let own = picks.filter(|work| {
        work["task"] == "harvest"
            && work["bed"] == bed.as_str()
            && work["due"].as_str().unwrap() < week.as_str()
    });
    assert_eq!(
        own.filter(|work| work["crop_name"] == spring[0]["crop_name"])
            .count(),
        0,
        "{}",
        view["work"]
    );
}
