//! Faults that only some systems can have: devices, pipes, links, rights, kills.

use std::fs;
use std::path::Path;
use std::time::Duration;

use std::io::Write;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::process::{Command, Stdio};
use std::time::Instant;

use assert_cmd::cargo::cargo_bin;

use predicates::str::contains;

use super::common::{SMALL, arg, bedyear, folder_with};
use super::faults::{AT_ONCE, harmless, names};

/// A line for the shell; `$BEDYEAR` is the program.
fn shell(line: &str) -> assert_cmd::assert::Assert {
    assert_cmd::Command::new("sh")
        .args(["-c", line])
        .env("BEDYEAR", cargo_bin("bedyear"))
        .timeout(Duration::from_secs(120))
        .assert()
}

#[test]
fn a_full_disk_under_the_printed_output_is_a_failure_in_words() {
    if !Path::new("/dev/full").exists() {
        eprintln!("skipped: this system has no /dev/full");
        return;
    }
    for verb in [
        "crops",
        "schema --format json",
        "new -",
        "manual",
        "--help",
        "--version",
        "plan --help",
        "help season",
    ] {
        shell(&format!("\"$BEDYEAR\" {verb} > /dev/full"))
            .code(1)
            .stderr(contains("cannot write the output"));
    }
    shell("\"$BEDYEAR\" new /dev/full --replace")
        .code(1)
        .stderr(contains("/dev/full was not written"));
    assert!(!fs::metadata("/dev/full").unwrap().is_file());
}

/// A limit on the size of files stands for a full disk: the write fails half way.
#[test]
fn a_file_that_cannot_be_written_to_its_end_leaves_the_old_one() {
    let (folder, path) = folder_with("beds.toml", "old");
    let write = format!("ulimit -f 1; \"$BEDYEAR\" new '{}' --replace", arg(&path));
    shell(&format!("trap '' XFSZ; {write}"))
        .code(1)
        .stderr(contains("beds.toml was not written"));
    assert_eq!(fs::read_to_string(&path).unwrap(), "old");
    assert_eq!(names(folder.path()), ["beds.toml"]);
    // Without the trap the system ends the program in the middle of writing.
    shell(&write).failure();
    assert_eq!(fs::read_to_string(&path).unwrap(), "old");
}

#[test]
fn an_unwritable_folder_is_named_and_left_alone() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    fs::set_permissions(folder.path(), fs::Permissions::from_mode(0o555)).unwrap();
    let may_write_anyway = fs::write(folder.path().join("probe"), "").is_ok();
    if may_write_anyway {
        eprintln!("skipped: this user may write everywhere");
    } else {
        bedyear()
            .args(["new", arg(&path), "--replace"])
            .assert()
            .code(1)
            .stderr(contains("beds.toml was not written"));
        assert_eq!(fs::read_to_string(&path).unwrap(), SMALL);
    }
    fs::set_permissions(folder.path(), fs::Permissions::from_mode(0o755)).unwrap();
}

#[test]
fn killed_while_it_writes_it_leaves_whole_files() {
    let (folder, project) = folder_with("beds.toml", SMALL);
    let to = folder.path().join("figures");
    let args = [
        "tables",
        arg(&project),
        "--work",
        "1",
        "--weather-years",
        "1",
    ];
    let args = [&args[..], &["--as", "csv", "--folder", arg(&to)]].concat();
    let started = Instant::now();
    bedyear().args(&args).assert().success();
    let whole_run = started.elapsed();
    let read = || -> Vec<(String, Vec<u8>)> {
        names(&to)
            .into_iter()
            .filter(|name| name.ends_with(".csv"))
            .map(|name| (name.clone(), fs::read(to.join(&name)).unwrap()))
            .collect()
    };
    let whole = read();
    for part in 1..=8 {
        let mut child = Command::new(cargo_bin("bedyear"))
            .args(&args)
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        // The files are written at the end of the run.
        std::thread::sleep(whole_run.mul_f64(0.8 + 0.03 * f64::from(part)));
        child.kill().unwrap();
        child.wait().unwrap();
        assert!(read() == whole, "killed run {part} left half a file");
    }
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    for verb in [
        "schema --format csv",
        "crops",
        "columns",
        "--help",
        "crops --color always",
    ] {
        let (folder, code) = folder_with("code", "");
        let line = format!(
            "(sleep 0.2; \"$BEDYEAR\" {verb}; echo $? > '{}') | true",
            arg(&code)
        );
        shell(&line).success().stderr("");
        assert_eq!(fs::read_to_string(&code).unwrap().trim(), "0", "{verb}");
        drop(folder);
    }
}

#[test]
fn loops_of_links_are_refused_and_links_are_followed() {
    let (folder, real) = folder_with("beds.toml", SMALL);
    let [link, a, b] = ["link.toml", "a.toml", "b.toml"].map(|name| folder.path().join(name));
    symlink(&real, &link).unwrap();
    symlink(&a, &b).unwrap();
    symlink(&b, &a).unwrap();
    bedyear()
        .args(["check", arg(&a)])
        .assert()
        .code(2)
        .stdout("")
        .stderr(contains("a.toml: "));
    bedyear()
        .args(["new", arg(&a), "--replace"])
        .assert()
        .code(1)
        .stderr(contains("a.toml was not written"));
    bedyear().args(["check", arg(&link)]).assert().success();
    bedyear()
        .args(["new", arg(&link), "--replace"])
        .assert()
        .success();
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_ne!(fs::read_to_string(&real).unwrap(), SMALL);
    // A link to nothing yet: what it names is made, the link stays one.
    let dangling = folder.path().join("dangling.toml");
    symlink("not-yet.toml", &dangling).unwrap();
    bedyear().args(["new", arg(&dangling)]).assert().success();
    assert!(fs::symlink_metadata(&dangling).unwrap().is_symlink());
    assert!(folder.path().join("not-yet.toml").is_file());
}

#[test]
fn devices_and_pipes_with_a_name_are_refused_and_do_not_hang() {
    let (folder, project) = folder_with("beds.toml", SMALL);
    let pipe = folder.path().join("pipe.toml");
    let made = Command::new("mkfifo").arg(&pipe).status();
    let mut special = vec!["/dev/zero".to_owned(), "/dev/null".to_owned()];
    match made {
        Ok(status) if status.success() => special.push(arg(&pipe).to_owned()),
        _ => eprintln!("skipped: no mkfifo on this system"),
    }
    for file in &special {
        for args in [
            vec!["check", file],
            vec!["climate", arg(&project), "--weather", file],
        ] {
            bedyear()
                .args(args)
                .timeout(AT_ONCE)
                .assert()
                .code(2)
                .stdout("")
                .stderr(contains("is a device or a pipe, not a file"));
        }
        bedyear()
            .args(["log", arg(&project), "note", "--date", "2027-02-01"])
            .args(["--note", "aired", "--journal", file])
            .timeout(AT_ONCE)
            .assert()
            .code(2)
            .stdout("")
            .stderr(contains("is a device or a pipe, not a file"));
    }
}

#[test]
fn what_another_program_prints_can_be_read_and_has_an_end() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let plain = bedyear().args(["check", arg(&path)]).assert().success();
    let piped = shell(&format!(
        "cat '{}' | \"$BEDYEAR\" check /dev/stdin",
        arg(&path)
    ));
    assert_eq!(
        piped.success().get_output().stdout,
        plain.get_output().stdout
    );
    shell("yes | \"$BEDYEAR\" check /dev/stdin")
        .code(2)
        .stderr(contains("/dev/stdin: has more than the 4 MB"));
}

/// Output that goes to a device or a pipe goes through it and does not take its place.
#[test]
fn a_pipe_as_output_file_is_written_to() {
    shell("\"$BEDYEAR\" new /dev/stdout --replace 2>/dev/null | cat")
        .success()
        .stdout(contains("[building]"));
    assert!(!fs::metadata("/dev/null").unwrap().is_file());
}

#[test]
fn a_file_name_cannot_steer_the_terminal() {
    let (folder, _) = folder_with("beds.toml", SMALL);
    let nasty = folder.path().join("a\u{1b}[2J\u{7}\u{9b}3J\nb.toml");
    fs::File::create(&nasty)
        .unwrap()
        .write_all(b"[site]\nplace = \"\x1b[2Jnowhere\"\n")
        .unwrap();
    for args in [["check", arg(&nasty)], ["new", arg(&nasty)]] {
        let ended = bedyear().args(args).assert().code(2);
        harmless("message", &ended.get_output().stderr);
    }
}
