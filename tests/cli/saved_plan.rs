//! A plan saved, read again, changed by hand; completions and manual.

use predicates::prelude::*;

use super::common::{SMALL, arg, bedyear, folder_with, json_of, output_of};

/// A plan of a short search, saved.
fn quick_plan(folder: &std::path::Path, path: &std::path::Path) -> std::path::PathBuf {
    let saved = folder.join("plan.toml");
    let search = ["--gap", "20", "--work", "5", "--save", arg(&saved)];
    output_of(&[&["plan", arg(path)], &search[..]].concat());
    saved
}

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
    let saved = quick_plan(folder.path(), &path);
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
        .stderr(predicate::str::contains("a rule is broken"));
    bedyear()
        .args(["plan", arg(&path), "--check", arg(&saved)])
        .assert()
        .success()
        .stdout(
            predicate::str::contains("two crops stand in north")
                .and(predicate::str::contains("replaced less seed and trays")),
        );
    // A sowing in the dark of winter is not refused: it is told what becomes of it. It falls where spinach still stands,
    // and two crops in one place do not both bear.
    // (The spinach, which the household wishes for: of two lettuces in summer one is hardly missed.)
    let (before, spinach) = text.split_at(text.find("crop = \"spinach").unwrap());
    let moved = spinach.replacen("sow = \"20", "sow = \"2027-12-20\" # 20", 1);
    let moved = format!("{before}{moved}");
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
    assert_eq!(value["what"], "replaced less seed and trays");
    assert!(value["change"].as_f64().unwrap() < 0.0, "{value}");
    std::fs::write(&saved, text.replace("crop = \"", "crop = \"un")).unwrap();
    bedyear()
        .args(["plan", arg(&path), "--plan", arg(&saved)])
        .assert()
        .code(2)
        .stderr(predicate::str::contains(format!(
            "plan.toml:{}: planting 1: there is no crop `un",
            text[..first].lines().count() + 1
        )));
    std::fs::write(&saved, text.replace("sow = \"2027", "sow = \"20x7")).unwrap();
    let sow = text[..text.find("sow = ").unwrap()].lines().count() + 1;
    bedyear()
        .args(["plan", arg(&path), "--plan", arg(&saved)])
        .assert()
        .code(2)
        .stderr(predicate::str::contains(format!(
            "plan.toml:{sow}: the plan file cannot be read"
        )));
}

/// Near to a plan just made nothing changes; a day of sowing by hand is kept whatever day of the week it is; what is asked
/// about is tried.
#[test]
fn a_saved_plan_is_kept_as_it_is_written() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let saved = folder.path().join("plan.toml");
    let search = ["--work", "60", "--format", "json"];
    let found = json_of(&[&["plan", arg(&path), "--save", arg(&saved)], &search[..]].concat());
    let near = json_of(&[&["plan", arg(&path), "--near", arg(&saved)], &search[..]].concat());
    assert_eq!(near["former"]["whole"], true, "{}", near["former"]);
    assert_eq!(near["plantings"], found["plantings"]);
    // A single kind would follow itself: two are the fewest that can be.
    let few = json_of(&[&["plan", arg(&path), "--kinds", "2"], &search[..]].concat());
    assert_eq!(few["kinds"], 2);
    let text = std::fs::read_to_string(&saved).unwrap();
    assert!(text.contains("why = "), "{text}");
    let sow = found["plantings"][0]["sow"].as_str().unwrap();
    let day: chrono::NaiveDate = sow.parse().unwrap();
    let day_before = day.pred_opt().unwrap().to_string();
    std::fs::write(
        &saved,
        text.replacen(
            &format!("sow = \"{sow}\""),
            &format!("sow = \"{day_before}\""),
            1,
        ),
    )
    .unwrap();
    let read = json_of(&[
        "plan",
        arg(&path),
        "--plan",
        arg(&saved),
        "--format",
        "json",
    ]);
    let mut sown = read["plantings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["sow"].as_str().unwrap());
    assert!(sown.any(|sow| sow == day_before), "{text}");
    let why = json_of(&[&["plan", arg(&path), "--why", "bed north"], &search[..]].concat());
    assert!(!why["swaps"].as_array().unwrap().is_empty(), "{why}");
    bedyear()
        .args(["plan", arg(&path), "--why", "nothing like it"])
        .assert()
        .code(2);
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

#[test]
fn doubt_of_growth_widens_what_a_plan_replaces() {
    // Beds so small that what they give is what is eaten.
    let small = SMALL.replace("4 m2", "0.6 m2");
    let (folder, path) = folder_with("beds.toml", &small);
    let saved = quick_plan(folder.path(), &path);
    let width = |days: &str, yields: &str| {
        let spread =
            format!("{small}\n[growth]\ndays_spread = \"{days}\"\nyield_spread = \"{yields}\"\n");
        let (_other, path) = folder_with("beds.toml", spread);
        let value = json_of(&[
            "value",
            arg(&path),
            "--plan",
            arg(&saved),
            "--format",
            "json",
        ]);
        let of = |key: &str| value["year"][key].as_f64().unwrap();
        of("value_range_p90") - of("value_range_p10")
    };
    let (sure, doubtful) = (width("0 %", "0 %"), width("50 %", "50 %"));
    assert!(doubtful > 1.2 * sure, "{sure} {doubtful}");
}
