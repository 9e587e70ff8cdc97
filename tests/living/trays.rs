//! Plants in trays when a year is planned on: they go to their beds on their days, and nothing else is torn up.

use std::fmt::Write;

use bedyear::plan::SolveOptions;
use bedyear::study::{self, Job, SideFiles};
use chrono::{Days, NaiveDate};
use predicates::prelude::*;
use serde_json::Value;

use super::common::{arg, bedyear, csv_rows, folder_with, json_of, output_of};

const EXAMPLE: &str = include_str!("../../examples/helena.toml");
/// Share of the agreed bed-weeks that must stay when a planting is lost (own choice: a gardener who has bought seed and hung
/// up the list).
const STAYS: f64 = 0.9;

fn text<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key].as_str().unwrap_or("")
}

fn day(value: &Value, key: &str) -> Option<NaiveDate> {
    text(value, key).parse().ok()
}

fn few_years() -> String {
    let few = EXAMPLE.replace("weather_years = 30", "weather_years = 3");
    assert_ne!(few, EXAMPLE);
    few
}

/// A journal of a year that went as planned until a day; trays are told of without a bed. The planting that would stand longest
/// is lost two days before.
fn lived(plan: &[Value], from: NaiveDate) -> String {
    let mut rows = Vec::new();
    let mut standing = Vec::new();
    for one in plan {
        let (bed, crop, area) = (text(one, "bed"), text(one, "crop"), &one["area_m2"]);
        let (sow, out) = (day(one, "sow").unwrap(), day(one, "transplant"));
        let clear = day(one, "clear").unwrap();
        if sow >= from {
            continue;
        }
        match out {
            Some(out) => {
                rows.push((sow, format!("sown,,{crop},,,")));
                if out >= from {
                    continue;
                }
                rows.push((out, format!("transplanted,{bed},{crop},{area},m2,")));
            }
            None => rows.push((sow, format!("sown,{bed},{crop},{area},m2,"))),
        }
        if clear < from {
            rows.push((clear, format!("cleared,{bed},{crop},,,")));
        } else {
            standing.push((clear, format!("lost,{bed},{crop},{area},m2,voles")));
        }
    }
    let (_, lost) = standing.into_iter().max().unwrap();
    rows.push((from - Days::new(2), lost));
    rows.sort();
    let mut journal = String::from("date,event,bed,crop,amount,unit,note\n");
    for (day, row) in rows {
        writeln!(journal, "{day},{row}").unwrap();
    }
    journal
}

/// The same sowing: bed, sections, crop, and the day on which it comes into the bed to the week.
fn same(a: &Value, b: &Value) -> bool {
    let apart = day(a, "transplant").zip(day(b, "transplant"));
    let key = |one: &Value| ["bed", "sections", "crop"].map(|key| text(one, key).to_owned());
    key(a) == key(b) && apart.is_some_and(|(a, b)| (a - b).num_days().abs() < 7)
}

#[test]
fn plants_in_trays_go_to_their_beds_and_the_rest_stays() {
    // Families stay in their beds from year to year: where they move on, next year's sowings are in other beds.
    let stay = few_years().replace("[household]", "[household]\nrotation = \"crops\"");
    let (folder, path) = folder_with("house.toml", stay);
    let (saved, new) = (
        folder.path().join("plan.toml"),
        folder.path().join("new.toml"),
    );
    let quick = ["--work", "200", "--format", "json"];
    let made = json_of(&[&["plan", arg(&path), "--save", arg(&saved)], &quick[..]].concat());
    let plan = made["plantings"].as_array().unwrap();
    // A week after the last sowing in trays of the year.
    let raised = plan.iter().filter(|one| !one["transplant"].is_null());
    let last = raised.filter(|one| text(one, "transplant") < "2027-12-25");
    let last = last.max_by_key(|one| text(one, "sow")).unwrap();
    let from = day(last, "sow").unwrap() + Days::new(7);
    let in_trays = |one: &&Value| {
        day(one, "sow") < Some(from) && day(one, "transplant").is_some_and(|out| out >= from)
    };
    let trays: Vec<&Value> = plan.iter().filter(in_trays).collect();
    assert!(!trays.is_empty());
    std::fs::write(folder.path().join("house.journal.csv"), lived(plan, from)).unwrap();
    let from_text = from.to_string();
    let replan: [&[&str]; 3] = [
        &[
            "plan",
            arg(&path),
            "--from",
            &from_text,
            "--journal",
            "--agreed",
            arg(&saved),
        ],
        &["--save", arg(&new)][..],
        &quick[..],
    ];
    let found = json_of(&replan.concat());
    let planned = found["plantings"].as_array().unwrap();
    let kept = found["former"]["kept"].as_f64().unwrap();
    println!("from {from}: {} in trays, {kept:.3} stays", trays.len());
    assert!(kept >= STAYS, "{}", found["former"]);
    for tray in &trays {
        let its: Vec<&Value> = planned.iter().filter(|one| same(one, tray)).collect();
        assert_eq!(its.len(), 1, "{tray}");
        assert_eq!(its[0]["sow"], tray["sow"]);
    }
    // What stands has the plan's sections.
    let stands = planned.iter().filter(|one| text(one, "way") == "standing");
    for one in stands {
        let alike = |other: &&Value| {
            let since = day(other, "transplant").or(day(other, "sow"));
            let apart = since
                .zip(day(one, "sow"))
                .map(|(a, b)| (a - b).num_days().abs());
            let key = |one: &Value| ["bed", "crop"].map(|key| text(one, key).to_owned());
            key(one) == key(other) && apart.is_some_and(|days| days < 7)
        };
        let agreed = plan.iter().find(alike).unwrap();
        assert_eq!(one["sections"], agreed["sections"], "{one}");
    }
    // The saved plan goes on by itself: what is in trays is set out and not sown again, what stands is there.
    let args = [
        "calendar",
        arg(&path),
        "--plan",
        arg(&new),
        "--list",
        "tasks",
        "--format",
        "csv",
    ];
    let tasks = csv_rows(&output_of(&args));
    assert!(
        tasks.iter().all(|task| task["date"] >= from_text),
        "{tasks:?}"
    );
    for tray in &trays {
        let out = tasks.iter().find(|task| {
            let here = task["bed"] == text(tray, "bed") && task["crop"] == text(tray, "crop");
            here && task["task"].contains("set out")
        });
        assert!(
            out.is_some_and(|task| *task["date"] >= *from_text),
            "{tray}"
        );
    }
    let again = json_of(&[&["plan", arg(&path), "--plan", arg(&new)], &quick[..]].concat());
    let rows = |plan: &Value| -> Vec<[String; 4]> {
        let rows = plan["plantings"].as_array().unwrap().iter();
        let keys = ["way", "bed", "sections", "crop"];
        rows.map(|one| keys.map(|key| text(one, key).to_owned()))
            .collect()
    };
    assert_eq!(rows(&again), rows(&found));
}

/// A project that tells of young plants itself, as the next year's does.
#[test]
fn a_project_may_tell_of_trays_and_sections() {
    let stands = "\n[[standing]]\nbed = \"north 1\"\ncrop = \"spinach\"\nsown = 2027-02-01\nsections = [2]\narea = \"2.2 m2\"\n\n\
                  [[standing]]\nbed = \"north 1\"\ncrop = \"tomato_indeterminate\"\nsown = 2027-02-20\nset_out = 2027-04-10\nsections = [1]\narea = \"2.2 m2\"\n";
    let job = |stands: &str| {
        let text = few_years().replace("\n[household]", &format!("{stands}\n[household]"));
        let mut project = bedyear::file::parse("helena.toml", &text)?;
        project.planning.from = "2027-03-15".parse().ok();
        Ok::<_, bedyear::file::FileError>(Job::new(project, &SideFiles::default()).unwrap())
    };
    let job_of = job(stands).unwrap();
    let (_, climate) = study::climate_of_years(&job_of).unwrap();
    let options = SolveOptions {
        gap: 0.3,
        work_limit: 5,
        ..SolveOptions::default()
    };
    let plan = study::plan(&job_of, &climate, &options).unwrap();
    assert_eq!(plan.problem.standing[0].patches, [1]);
    let tomato: Vec<_> = plan
        .plantings
        .iter()
        .filter(|one| !plan.candidate(one).is_to_sow())
        .collect();
    assert_eq!(tomato.len(), 1);
    assert_eq!((tomato[0].bed, &tomato[0].patches[..]), (0, &[0][..]));
    assert_eq!(tomato[0].sow.to_string(), "2027-02-20");
    let out = tomato[0].transplant.unwrap().to_string();
    assert_eq!(&out[..7], "2027-04");
    assert_eq!(plan.candidate(tomato[0]).cost, 0.0);
    // A family's rest counts what stands: of the beet family so many places fewer are left until a year has gone by.
    let instance = &plan.problem.instance;
    let beets = instance
        .families
        .iter()
        .position(|family| family.name == "beet family");
    let limits = instance.limits.families.iter();
    let limits: Vec<_> = limits.filter(|limit| Some(limit.family) == beets).collect();
    let class = plan.problem.places[0].class;
    let of_class = |limit: &&&bedyear::plan::FamilyLimit| limit.bed_classes.contains(&class);
    let here: Vec<_> = limits.iter().filter(of_class).collect();
    let whole = here.iter().find(|limit| limit.before.is_none()).unwrap();
    let since = here.iter().find(|limit| limit.before.is_some()).unwrap();
    assert_eq!(since.plantings, whole.plantings - 1);
    // Sown on 1 February, six weeks before: 46 weeks are left of its year.
    assert_eq!(since.before, Some(46));
    for (wrong, said) in [
        (
            stands.replace("set_out = 2027-04-10", "set_out = 2027-02-10"),
            "before it was sown",
        ),
        (stands.replace("[2]", "[0]"), "sections` is 0"),
        (
            stands.replace("sown = 2027-02-20\n", "sown = 2027-03-20\n"),
            "",
        ),
    ] {
        let (_folder, path) = folder_with(
            "house.toml",
            few_years()
                .replace("\n[household]", &format!("{wrong}\n[household]"))
                .replace("plan = 2027", "plan = 2027\nfrom = 2027-03-15"),
        );
        let done = bedyear().args(["check", arg(&path)]).assert().code(2);
        done.stderr(predicate::str::contains(said));
    }
}

/// `plan --check` warns of what `plan` warns of: families that come back too soon, and food that the household refuses.
#[test]
fn a_plan_by_hand_is_warned_of_as_any_other() {
    let (folder, path) = folder_with("house.toml", few_years());
    let saved = folder.path().join("plan.toml");
    let quick = ["--work", "50", "--format", "json"];
    let made = json_of(&[&["plan", arg(&path), "--save", arg(&saved)], &quick[..]].concat());
    let crop = text(&made["plantings"][0], "crop").to_owned();
    let refused = few_years().replace(
        "refuses = [\"eggplant\"]",
        &format!("refuses = [\"eggplant\", \"{crop}\"]"),
    );
    assert_ne!(refused, few_years());
    std::fs::write(&path, refused).unwrap();
    let said = |notes: &Value| -> Vec<String> {
        let notes = notes.as_array().unwrap().iter();
        let warnings = notes.filter(|note| note["kind"] == "warning");
        warnings.map(|note| note["text"].to_string()).collect()
    };
    let checked = json_of(&[&["plan", arg(&path), "--check", arg(&saved)], &quick[..]].concat());
    let shown = json_of(&[&["plan", arg(&path), "--plan", arg(&saved)], &quick[..]].concat());
    let warned = said(&checked["warnings"]);
    assert!(
        warned.iter().any(|text| text.contains("does not eat")),
        "{warned:?}"
    );
    let mut all = said(&shown["notes"]);
    all.retain(|text| !text.contains("a rule is broken"));
    assert_eq!(warned, all);
}
