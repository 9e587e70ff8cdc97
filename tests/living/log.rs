//! Rows added by command: refused, added once, safe against a kill.

use std::process::{Command as Process, Stdio};
use std::time::Duration;

use predicates::prelude::*;

use super::common::{SMALL, arg, bedyear, csv_rows, folder_with};

fn pick(project: &str, day: usize, note: &str) -> Vec<String> {
    ["log", project, "harvested", "--date"]
        .into_iter()
        .map(str::to_owned)
        .chain([format!("2027-03-{day:02}")])
        .chain(
            [
                "--bed", "north", "--crop", "spinach", "--amount", "0.5 kg", "--note", note,
            ]
            .map(str::to_owned),
        )
        .collect()
}

#[test]
fn a_row_is_added_once_unless_it_happened_twice() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let journal = folder.path().join("beds.journal.csv");
    let command = pick(arg(&path), 1, "=1+1, \"quoted\"");
    for _ in 0..2 {
        bedyear().args(&command).assert().success();
    }
    assert_eq!(
        std::fs::read_to_string(&journal).unwrap().lines().count(),
        2
    );
    bedyear().args(&command).arg("--again").assert().success();
    let rows = csv_rows(&std::fs::read_to_string(&journal).unwrap());
    assert_eq!(rows.len(), 2);
    assert_eq!(rows[0]["note"], "'=1+1, \"quoted\"");
    assert_ne!(rows[0]["id"], rows[1]["id"]);
}

#[test]
fn what_cannot_be_is_refused_and_nothing_is_written() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    fn sown<'a>(bed: &'a str, crop: &'a str) -> [&'a str; 7] {
        ["sown", "--date", "2027-03-01", "--bed", bed, "--crop", crop]
    }
    let cases: [(&[&str], &str); 8] = [
        (
            &["harvested", "--date", "2027-03-01", "--crop", "spinach"],
            "--amount",
        ),
        (
            &[
                "harvested",
                "--date",
                "2027-03-01",
                "--crop",
                "spinach",
                "--amount",
                "2 m2",
            ],
            "kg",
        ),
        (&sown("nort", "spinach"), "did you mean `north`"),
        (
            &sown("north", "spinaches"),
            "several kinds: spinach, spinach_slow",
        ),
        (&sown("north", "spinnach"), "did you mean `spinach`"),
        (&["picked", "--date", "2027-03-01"], "harvested"),
        (&["note", "--date", "1 March"], "2027-03-31"),
        (
            &["bought", "--date", "2027-03-01", "--amount", "12 EUR"],
            "USD",
        ),
    ];
    for (args, says) in cases {
        bedyear()
            .args(["log", arg(&path)])
            .args(args)
            .assert()
            .code(2)
            .stderr(predicate::str::contains(says));
    }
    assert!(!folder.path().join("beds.journal.csv").exists());
}

#[test]
fn the_journal_keeps_its_own_form() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let journal = folder.path().join("beds.journal.csv");
    std::fs::write(
        &journal,
        "date;event;bed;crop;amount;unit;note\n2027-02-01;note;;;;;by hand",
    )
    .unwrap();
    bedyear()
        .args(pick(arg(&path), 2, "first; cut"))
        .assert()
        .success();
    let text = std::fs::read_to_string(&journal).unwrap();
    assert_eq!(
        text,
        "date;event;bed;crop;amount;unit;note\n2027-02-01;note;;;;;by hand\n\
         2027-03-02;harvested;north;spinach;0,5;kg;\"first; cut\"\n"
    );
}

#[test]
fn a_row_cut_short_is_completed_by_the_same_command() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let journal = folder.path().join("beds.journal.csv");
    let command = pick(arg(&path), 3, "whole");
    bedyear().args(&command).assert().success();
    let whole = std::fs::read(&journal).unwrap();
    let row = whole.iter().position(|byte| *byte == b'\n').unwrap() + 1;
    for cut in row..whole.len() - 1 {
        std::fs::write(&journal, &whole[..cut]).unwrap();
        if cut % 7 == 0 {
            bedyear().args(&command).assert().success();
            let rows = csv_rows(&std::fs::read_to_string(&journal).unwrap());
            assert_eq!(rows.len(), 1, "cut at {cut}");
            assert_eq!(rows[0]["amount"], "0.5", "cut at {cut}");
        }
    }
}

/// Kills the program again and again while it adds rows; every command is given until it is through once.
#[test]
fn a_kill_loses_nothing_and_doubles_nothing() {
    const ROWS: usize = 25;
    let (folder, path) = folder_with("beds.toml", SMALL);
    let journal = folder.path().join("beds.journal.csv");
    let program = bedyear().get_program().to_owned();
    let mut kills = 0;
    for row in 0..ROWS {
        let command = pick(arg(&path), row % 28 + 1, &format!("row {row}"));
        for attempt in 0_u64.. {
            let mut child = Process::new(&program)
                .args(&command)
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .spawn()
                .unwrap();
            // The first attempts are cut off ever later; the fifth is left alone.
            if attempt < 4 {
                std::thread::sleep(Duration::from_micros(
                    1500 * (attempt + 1) + 311 * row as u64,
                ));
                // A child that is through already is not there to be killed.
                if child.kill().is_ok() {
                    kills += 1;
                }
            }
            if child.wait().unwrap().success() {
                break;
            }
        }
        let text = std::fs::read_to_string(&journal).unwrap();
        assert_eq!(csv_rows(&text).len(), row + 1, "after row {row}");
    }
    let rows = csv_rows(&std::fs::read_to_string(&journal).unwrap());
    let notes: std::collections::BTreeSet<&String> = rows.iter().map(|row| &row["note"]).collect();
    assert_eq!(notes.len(), ROWS);
    println!("{kills} kills");
}

#[test]
fn many_at_once_wait_for_each_other() {
    const ROWS: usize = 8;
    let (folder, path) = folder_with("beds.toml", SMALL);
    let program = bedyear().get_program().to_owned();
    let mut children: Vec<_> = (0..ROWS)
        .map(|row| {
            Process::new(&program)
                .args(pick(arg(&path), row + 1, "at once"))
                .stdout(Stdio::null())
                .spawn()
                .unwrap()
        })
        .collect();
    for child in &mut children {
        assert!(child.wait().unwrap().success());
    }
    let text = std::fs::read_to_string(folder.path().join("beds.journal.csv")).unwrap();
    assert_eq!(csv_rows(&text).len(), ROWS);
}

#[test]
fn the_last_row_is_taken_back_and_what_was_there_is_kept() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let journal = folder.path().join("beds.journal.csv");
    bedyear()
        .args(pick(arg(&path), 1, "first"))
        .assert()
        .success();
    let before = std::fs::read(&journal).unwrap();
    bedyear()
        .args(pick(arg(&path), 2, "a slip"))
        .assert()
        .success();
    let with_slip = std::fs::read(&journal).unwrap();
    bedyear()
        .args(["log", arg(&path), "--undo"])
        .assert()
        .success()
        .stdout(predicate::str::contains(
            "line 3 is taken back: 2027-03-02, harvested, 0.500 kg, spinach, north, a slip",
        ))
        .stderr(predicate::str::contains("beds.journal.former.csv"));
    assert_eq!(std::fs::read(&journal).unwrap(), before);
    assert_eq!(
        std::fs::read(folder.path().join("beds.journal.former.csv")).unwrap(),
        with_slip
    );
    bedyear()
        .args(["log", arg(&path), "--undo"])
        .assert()
        .success();
    bedyear()
        .args(["log", arg(&path), "--undo"])
        .assert()
        .code(2)
        .stdout("")
        .stderr(predicate::str::contains(
            "beds.journal.csv:1: there is no row to take back",
        ));
    let broken = [
        &before[..],
        b"2027-03-04,harvested,north,spinach,much,kg,,\n",
    ]
    .concat();
    std::fs::write(&journal, &broken).unwrap();
    bedyear()
        .args(["log", arg(&path), "--undo"])
        .assert()
        .code(2)
        .stderr(predicate::str::contains(
            "beds.journal.csv:3: the last row cannot be read",
        ));
    assert_eq!(std::fs::read(&journal).unwrap(), broken);
    bedyear()
        .args(["log", arg(&path)])
        .assert()
        .code(2)
        .stderr(predicate::str::contains("--undo").or(predicate::str::contains("--date")));
}

#[test]
fn food_from_a_shop_is_no_cost_of_the_garden() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let bought = |more: &[&str], amount: &str| {
        let args = [
            "log",
            arg(&path),
            "bought",
            "--date",
            "2027-03-01",
            "--amount",
            amount,
        ];
        bedyear().args(args).args(more).assert()
    };
    bought(&["--food", "Kale"], "12.50")
        .success()
        .stdout(predicate::str::contains("12.50 USD, kale"));
    bought(&["--note", "seed"], "7").success();
    bought(&["--food", "kalle"], "1").code(2).stderr(
        predicate::str::contains("--food: `kalle` is not a food")
            .and(predicate::str::contains("`kale`")),
    );
    bought(&["--crop", "kale"], "1")
        .code(2)
        .stderr(predicate::str::contains("--food"));
    let args = [
        "log",
        arg(&path),
        "sown",
        "--date",
        "2027-03-01",
        "--food",
        "kale",
    ];
    bedyear()
        .args(args)
        .assert()
        .code(2)
        .stderr(predicate::str::contains("goes with `bought`"));
    let review = super::common::json_of(&[
        "review",
        arg(&path),
        "--work",
        "5",
        "--gap",
        "20",
        "--format",
        "json",
    ]);
    assert_eq!(review["to_date"]["shop"], 12.5);
    assert_eq!(review["to_date"]["paid"], 7.0);
}
