//! Plans read by a verifier in another language (`tests/peers/plan_verifier.py`), which knows the machine format alone.

use std::io::Write;
use std::process::{Command, Stdio};

use super::common::{SMALL, arg, folder_with, output_of};

/// What the verifier says of a plan; none where this machine has no python3.
fn faults(plan: &str) -> Option<String> {
    let verifier = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/peers/plan_verifier.py");
    let child = Command::new("python3")
        .arg(verifier)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn();
    let Ok(mut child) = child else {
        eprintln!("SKIPPED: python3 is not here");
        return None;
    };
    let mut to = child.stdin.take().unwrap();
    to.write_all(plan.as_bytes()).unwrap();
    drop(to);
    let out = child.wait_with_output().unwrap();
    let said = String::from_utf8(out.stdout).unwrap();
    assert_eq!(out.status.success(), said.is_empty(), "{said}");
    Some(said)
}

#[test]
fn twelve_plans_hold_before_a_reader_that_trusts_nothing() {
    let example = |name: &str| format!("{}/examples/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let small =
        |change: &dyn Fn(String) -> String| folder_with("beds.toml", change(SMALL.to_owned()));
    let at = |place: &'static str| move |text: String| text.replace("\"helena\"", place);
    let kept = [
        small(&|text| text),
        small(&at("\"santiago\"")),
        small(&at("\"fairbanks\"")),
        small(&at("\"miami\"")),
        small(&|text| text.replace("eats = [\"spinach\", \"lettuce\"]\n", "")),
    ];
    let mut plans: Vec<(String, &[&str])> = Vec::new();
    for name in ["helena", "hoop", "heated-hoop", "surfaces"] {
        plans.push((example(name), &[]));
    }
    plans.push((
        example("helena"),
        &["--from", "2027-03-01", "--months", "14"],
    ));
    plans.push((example("hoop"), &["--winter", "hard"]));
    plans.push((example("helena"), &["--simple", "few"]));
    for (_, path) in &kept {
        plans.push((arg(path).to_owned(), &[]));
    }
    assert_eq!(plans.len(), 12);
    for (file, more) in &plans {
        let quick = [
            "plan",
            file,
            "--format",
            "json",
            "--weather-years",
            "2",
            "--work",
            "20",
        ];
        let plan = output_of(&[&quick, *more].concat());
        let Some(said) = faults(&plan) else { return };
        assert!(said.is_empty(), "{file} {more:?}:\n{said}");
    }
}

/// The verifier bites: a plan with one section taken twice and a sum that is off is told.
#[test]
fn the_reader_finds_what_is_wrong() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let text = output_of(&["plan", arg(&path), "--format", "json", "--work", "5"]);
    let mut plan: serde_json::Value = serde_json::from_str(&text).unwrap();
    let mut twice = plan["plantings"][0].clone();
    twice["harvest_kg"] = serde_json::json!(1e6);
    plan["plantings"].as_array_mut().unwrap().push(twice);
    let Some(said) = faults(&plan.to_string()) else {
        return;
    };
    assert!(said.contains("is taken by planting 0 too"), "{said}");
    assert!(said.contains("pickings make"), "{said}");
}
