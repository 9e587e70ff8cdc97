//! A plan saved, read again, changed by hand; completions and manual.

use predicates::prelude::*;

use super::common::{SMALL, arg, bedyear, folder_with, json_of};

#[test]
fn a_saved_plan_says_the_same_when_it_is_read_again() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let saved = folder.path().join("plan.toml");
    let search = ["--gap", "20", "--work", "5", "--format", "json"];
    let found = json_of(&[&["plan", arg(&path), "--save", arg(&saved)], &search[..]].concat());
    let read = json_of(&[
        "plan",
        arg(&path),
        "--plan",
        arg(&saved),
        "--format",
        "json",
    ]);
    for key in ["plantings", "weeks", "gaps", "replayed_value_p50"] {
        assert_eq!(found[key], read[key], "{key}");
    }
    let (a, b) = (found["value"].as_f64(), read["value"].as_f64());
    assert!((a.unwrap() - b.unwrap()).abs() < 1e-6);
}

#[test]
fn a_plan_that_is_changed_by_hand_is_checked() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let saved = folder.path().join("plan.toml");
    bedyear()
        .args([
            "plan",
            arg(&path),
            "--gap",
            "20",
            "--work",
            "5",
            "--save",
            arg(&saved),
        ])
        .assert()
        .success();
    let text = std::fs::read_to_string(&saved).unwrap();
    let first = text.find("[[planting").expect("a planting");
    let next = text[first + 1..]
        .find("[[planting")
        .map_or(text.len(), |at| first + 1 + at);
    let doubled = format!("{text}\n{}", &text[first..next]);
    std::fs::write(&saved, doubled).unwrap();
    bedyear()
        .args(["plan", arg(&path), "--plan", arg(&saved)])
        .assert()
        .success()
        .stdout(predicate::str::contains("a rule is broken"));
    bedyear()
        .args(["plan", arg(&path), "--check", arg(&saved)])
        .assert()
        .success()
        .stdout(
            predicate::str::contains("two crops stand in bed")
                .and(predicate::str::contains("value of the plan")),
        );
    // A sowing in the dark of winter is not refused: it is told what becomes of it.
    let moved = text.replacen("sow = \"20", "sow = \"2027-12-20\" # 20", 1);
    std::fs::write(&saved, moved).unwrap();
    let found = json_of(&[
        "plan",
        arg(&path),
        "--check",
        arg(&saved),
        "--format",
        "json",
    ]);
    let value = &found["changes"][0];
    assert_eq!(value["what"], "value of the plan");
    assert!(value["change"].as_f64().unwrap() < 0.0, "{value}");
    std::fs::write(&saved, text.replace("crop = \"", "crop = \"un")).unwrap();
    bedyear()
        .args(["plan", arg(&path), "--plan", arg(&saved)])
        .assert()
        .code(2)
        .stderr(predicate::str::contains("plan.toml"));
}

#[test]
fn completions_and_manual_come_from_the_command_line_itself() {
    bedyear()
        .args(["completions", "bash"])
        .assert()
        .success()
        .stdout(predicate::str::contains("--weather-years"));
    bedyear()
        .arg("manual")
        .assert()
        .success()
        .stdout(predicate::str::contains("bedyear"));
}
