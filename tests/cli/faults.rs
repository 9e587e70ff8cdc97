//! What goes wrong around the program: disks, folders, links, pipes, kills, files that change under its hands.
//!
//! Exit code 0 where nobody is left to tell, 1 where the work or its output failed, 2 where the input is at fault.

use std::fs;
use std::path::Path;
use std::time::Duration;

use predicates::prelude::*;
use predicates::str::contains;

use super::common::{SMALL, arg, bedyear, folder_with};

/// Longest that a run may take which must end at once, s.
pub const AT_ONCE: Duration = Duration::from_secs(20);

/// Names in a folder, in order.
pub fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[test]
fn line_ends_and_the_mark_of_other_systems_are_fine() {
    let windows = format!("\u{feff}{}", SMALL.replace('\n', "\r\n"));
    let (_folder, path) = folder_with("beds.toml", windows);
    let (_plain_folder, plain) = folder_with("beds.toml", SMALL);
    let said = |path: &Path| {
        let done = bedyear().args(["check", arg(path)]).assert().success();
        done.get_output().stdout.clone()
    };
    assert_eq!(said(&path), said(&plain));
    let broken = SMALL.replace("length =", "lenght =").replace('\n', "\r\n");
    let (_folder, path) = folder_with("beds.toml", format!("\u{feff}{broken}"));
    bedyear()
        .args(["check", arg(&path)])
        .assert()
        .code(2)
        .stderr(contains("beds.toml:12:1"));
}

#[test]
fn a_huge_file_is_refused_without_reading_it() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    fs::File::options()
        .write(true)
        .open(&path)
        .unwrap()
        .set_len(100 * 1024 * 1024 * 1024)
        .unwrap();
    bedyear()
        .args(["check", arg(&path)])
        .timeout(AT_ONCE)
        .assert()
        .code(2)
        .stdout("")
        .stderr(contains("beds.toml: has more than the 4 MB"));
}

#[test]
fn a_file_that_changes_while_it_is_read_is_read_or_refused() {
    use std::sync::atomic::{AtomicBool, Ordering};
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let done = AtomicBool::new(false);
    std::thread::scope(|scope| {
        scope.spawn(|| {
            while !done.load(Ordering::Relaxed) {
                fs::write(&path, &SMALL[..SMALL.len() / 3]).unwrap();
                fs::write(&path, SMALL.repeat(3)).unwrap();
                fs::write(&path, SMALL).unwrap();
            }
        });
        for _ in 0..20 {
            let ended = bedyear().args(["check", arg(&path)]).output().unwrap();
            let said = String::from_utf8_lossy(&ended.stderr).into_owned();
            match ended.status.code() {
                Some(0) => {}
                Some(2) => assert!(
                    ended.stdout.is_empty() && said.contains("beds.toml"),
                    "{said}"
                ),
                code => panic!("{code:?}: {said}"),
            }
        }
        done.store(true, Ordering::Relaxed);
    });
}

#[test]
fn a_folder_in_place_of_the_output_is_named() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    bedyear()
        .args(["new", arg(folder.path()), "--replace"])
        .assert()
        .code(1)
        .stderr(contains("was not written: it is a folder"));
    bedyear()
        .args(["new", arg(&folder.path().join("none/beds.toml"))])
        .assert()
        .code(1)
        .stderr(contains("was not written"));
    assert_eq!(names(folder.path()), ["beds.toml"]);
    assert_eq!(fs::read_to_string(path).unwrap(), SMALL);
}

/// Work that takes long begins only where its output can be written.
#[test]
fn outputs_that_cannot_be_written_are_told_before_the_work() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let file = folder.path().join("beds.toml");
    let below = file.join("below");
    let nowhere = folder.path().join("none/out.toml");
    for (args, said) in [
        (
            vec!["tables", arg(&path), "--folder", arg(&file)],
            "it is a file, not a folder",
        ),
        (
            vec!["tables", arg(&path), "--folder", arg(&below)],
            "cannot be written to",
        ),
        (
            vec!["report", arg(&path), "-o", arg(&nowhere)],
            "cannot be written",
        ),
        (
            vec!["report", arg(&path), "-o", arg(folder.path())],
            "it is a folder, not a file",
        ),
        (
            vec!["plan", arg(&path), "--save", arg(&nowhere)],
            "cannot be written",
        ),
        (
            vec!["calendar", arg(&path), "--ical", arg(&nowhere)],
            "cannot be written",
        ),
        (
            vec!["climate", arg(&path), "--why", "--save-variant", arg(&file)],
            "cannot be written to",
        ),
    ] {
        let started = std::time::Instant::now();
        bedyear()
            .args(&args)
            .args(["--weather-years", "1000"])
            .timeout(AT_ONCE)
            .assert()
            .code(1)
            .stdout("")
            .stderr(contains(said));
        assert!(started.elapsed() < AT_ONCE, "{args:?}");
    }
    assert_eq!(names(folder.path()), ["beds.toml"]);
    assert_eq!(fs::read_to_string(path).unwrap(), SMALL);
}

#[test]
fn a_protected_file_is_kept() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let mut rights = fs::metadata(&path).unwrap().permissions();
    rights.set_readonly(true);
    fs::set_permissions(&path, rights).unwrap();
    bedyear()
        .args(["new", arg(&path), "--replace"])
        .assert()
        .code(1)
        .stderr(contains("protected against writing"));
    assert_eq!(fs::read_to_string(&path).unwrap(), SMALL);
    assert_eq!(names(folder.path()), ["beds.toml"]);
}

/// Neither escape nor any other character that acts, line ends apart.
pub fn harmless(what: &str, bytes: &[u8]) {
    let text = String::from_utf8(bytes.to_vec()).unwrap();
    let bad = text.char_indices().find(|(_, c)| {
        (c.is_control() && !matches!(c, '\n' | '\r'))
            || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}')
    });
    assert_eq!(bad, None, "{what}: {:?}", bad.map(|(at, _)| &text[at..]));
}

/// What a command reads is never written over, whatever the option that names it.
#[test]
fn what_is_read_is_not_written_over() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let plan = folder.path().join("plan.toml");
    let quick = ["--work", "2", "--weather-years", "1"];
    let run = |args: &[&str]| bedyear().args(args).args(quick).assert();
    run(&["plan", arg(&path), "--save", arg(&plan)]).success();
    for args in [
        vec!["plan", arg(&path), "--save", arg(&path)],
        vec!["report", arg(&path), "-o", arg(&path)],
        vec!["report", arg(&path), "--plan", arg(&plan), "-o", arg(&plan)],
        vec!["calendar", arg(&path), "--csv", arg(&path)],
    ] {
        run(&args)
            .code(2)
            .stderr(contains("name another file to write"));
    }
    assert_eq!(std::fs::read_to_string(&path).unwrap(), SMALL);
    // A plan takes the place of the plan it was made from, which is kept beside it.
    let by_hand = format!("# mine\n{}", std::fs::read_to_string(&plan).unwrap());
    std::fs::write(&plan, &by_hand).unwrap();
    run(&[
        "plan",
        arg(&path),
        "--plan",
        arg(&plan),
        "--save",
        arg(&plan),
    ])
    .success();
    let former = folder.path().join("plan.former.toml");
    assert_eq!(std::fs::read_to_string(former).unwrap(), by_hand);
    let both = folder.path().join("both.csv");
    run(&[
        "calendar",
        arg(&path),
        "--csv",
        arg(&both),
        "--ical",
        arg(&both),
    ])
    .code(2)
    .stderr(contains("two things at once"));
}

#[test]
fn a_format_that_a_verb_has_not_is_refused() {
    for verb in ["overview", "report"] {
        bedyear()
            .args([verb, "example", "--format", "json"])
            .assert()
            .code(2)
            .stdout("")
            .stderr(contains("is for people"));
    }
}

#[test]
fn figures_that_do_not_belong_together_are_told() {
    let text = format!("{SMALL}\n[[gain]]\nname = \"g\"\nheat = -1000000\n");
    let (_folder, path) = folder_with("cold.toml", text);
    bedyear()
        .args(["climate", arg(&path), "--weather-years", "1"])
        .assert()
        .failure()
        .stderr(contains("cold.toml:").and(contains("would bring the house")));
}

/// The comparison's plain tunnel stands on floors that no tunnel has.
#[test]
fn the_largest_hall_has_a_season() {
    let text = SMALL
        .replace("length = \"6 m\"", "length = \"200 m\"\nheight = \"12 m\"")
        .replace("width = \"4 m\"", "width = \"100 m\"");
    let (_folder, path) = folder_with("wide.toml", text);
    bedyear()
        .args(["season", arg(&path), "--weather-years", "1"])
        .assert()
        .success();
}
