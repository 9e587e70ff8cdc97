//! Seconds until the page answers, on the built-in example: printed, never judged.
//!
//! From the command to the first view; from a knob of the house to the rough and to the full year inside; to the
//! season; to the first and to the whole plan; from a change of price to the money.

#[path = "../tests/page/caller.rs"]
mod caller;

use std::time::{Duration, Instant};

use caller::{Page, status};

/// How often the page is asked while something is worked out; a browser is told and asks once.
const LOOK: Duration = Duration::from_millis(50);
/// Longest wait.
const PATIENCE: Duration = Duration::from_secs(120);

/// Seconds until a view answers, and whether the first answer was marked as rough: (first, full).
fn until(page: &Page, view: &str, began: Instant) -> (f64, f64) {
    let mut first = None;
    while began.elapsed() < PATIENCE {
        let text = page.get(view);
        let main = text.split_once("<main").map_or("", |(_, main)| main);
        let waits = main.contains("class=\"waiting\"");
        let old = main.contains("From before the last change") || main.contains("Being worked out");
        if !old && first.is_none() {
            first = Some(began.elapsed().as_secs_f64());
        }
        if !waits && status(&text) == 200 {
            let full = began.elapsed().as_secs_f64();
            return (first.unwrap_or(full), full);
        }
        std::thread::sleep(LOOK);
    }
    (f64::NAN, f64::NAN)
}

fn main() {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/helena.toml");
    let began = Instant::now();
    let page = Page::on("bench", std::path::Path::new(file));
    assert_eq!(status(&page.get("/")), 200);
    println!(
        "first view after the command        {:6.2} s",
        began.elapsed().as_secs_f64()
    );
    let say = |what: &str, (first, full): (f64, f64)| {
        println!("{what:36}{first:6.2} s first, {full:6.2} s in full");
    };
    say("the year inside", until(&page, "/cold", Instant::now()));
    page.post(
        "/do/set",
        &[("path", "curtain.resistance"), ("value", "R-2")],
    );
    say(
        "a knob of the house, year inside",
        until(&page, "/cold", Instant::now()),
    );
    say("season", until(&page, "/stay", Instant::now()));
    page.post(
        "/do/set",
        &[("path", "heater.set_point"), ("value", "40 F")],
    );
    say(
        "a knob of the house, season",
        until(&page, "/stay", Instant::now()),
    );
    say("plan", until(&page, "/beds", Instant::now()));
    page.post(
        "/do/set",
        &[("path", "money.electricity"), ("value", "0.20 USD/kWh")],
    );
    say("a price, money", until(&page, "/money", Instant::now()));
}
