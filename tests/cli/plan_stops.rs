//! A search that is ended early, by the clock or by Ctrl-C: the best plan so far, marked as such, exit code 0.

use std::process::Output;
use std::time::Instant;

use super::common::{SMALL, arg, bedyear, folder_with};

/// More counted work than any test waits for, and a gap that is not reached.
const ENDLESS: [&str; 4] = ["--gap", "0", "--work", "1000000000"];
const SO_FAR: &str = "best plan so far";

fn endless(path: &str, more: &[&str]) -> std::process::Command {
    let mut command = std::process::Command::new(bedyear().get_program());
    command
        .args(["plan", path, "--all"])
        .args(ENDLESS)
        .args(more)
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped());
    command
}

fn is_marked(done: &Output) {
    let text = String::from_utf8_lossy(&done.stdout)
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    assert_eq!(
        done.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );
    assert!(text.contains(SO_FAR), "{text}");
    assert!(text.contains("could add to bare beds"), "{text}");
}

#[test]
fn the_clock_ends_a_search() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let start = Instant::now();
    let done = endless(arg(&path), &["--seconds", "1"]).output().unwrap();
    is_marked(&done);
    // Climate and replay come on top; what matters is that it ends, on a loaded machine too.
    assert!(start.elapsed().as_secs() < 120, "{:?}", start.elapsed());
}

/// Whether the process has taken SIGINT into its own hands: the search is on, or about to be.
#[cfg(target_os = "linux")]
fn catches_interrupts(process: u32) -> bool {
    const SIGINT_BIT: u64 = 1 << 1;
    let status = std::fs::read_to_string(format!("/proc/{process}/status")).unwrap_or_default();
    let caught = status.lines().find_map(|line| line.strip_prefix("SigCgt:"));
    caught
        .and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok())
        .is_some_and(|mask| mask & SIGINT_BIT != 0)
}

#[cfg(target_os = "linux")]
#[test]
fn ctrl_c_ends_a_search_with_the_best_plan_so_far() {
    use std::time::Duration;

    let (_folder, path) = folder_with("beds.toml", SMALL);
    let mut child = endless(arg(&path), &[]).spawn().unwrap();
    let process = child.id();
    while !catches_interrupts(process) {
        assert!(child.try_wait().unwrap().is_none(), "ended by itself");
        std::thread::sleep(Duration::from_millis(50));
    }
    std::thread::sleep(Duration::from_millis(500));
    assert!(child.try_wait().unwrap().is_none(), "ended by itself");
    let sent = std::process::Command::new("kill")
        .args(["-INT", &process.to_string()])
        .status();
    assert!(sent.unwrap().success());
    is_marked(&child.wait_with_output().unwrap());
}
