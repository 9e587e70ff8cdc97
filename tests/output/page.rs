//! The report: whole, safe, small, legible.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use bedyear::output::units::Units;
use bedyear::output::{html, write};

use crate::fixture;

/// The page on disk, where a browser can open it.
pub fn page_on_disk() -> PathBuf {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("report.html");
    write::atomic(
        &path,
        html::render(&fixture::report(), Units::Si, false).as_bytes(),
    )
    .unwrap();
    path
}

#[test]
fn the_page_needs_nothing_else() {
    let page = html::render(&fixture::report(), Units::Si, false);
    assert!(page.starts_with("<!DOCTYPE html>"));
    for outside in [
        "http:", "https:", "src=", "@import", "url(", "<link", "eval(",
    ] {
        assert!(!page.contains(outside), "{outside}");
    }
    assert!(page.len() < 1_500_000, "{} bytes", page.len());
}

#[test]
fn the_same_view_gives_the_same_page() {
    let page = || html::render(&fixture::report(), Units::Us, false);
    assert_eq!(page(), page());
}

#[test]
fn names_are_words_never_markup() {
    let mut view = fixture::report();
    let nasty = "<script>alert(1)</script>\"'&\u{1b}[2J";
    view.title = nasty.to_string();
    view.plan.beds[0] = nasty.to_string();
    view.plan.plantings[0].row.bed = nasty.to_string();
    view.plan.plantings[0].row.crop_name = nasty.to_string();
    view.season.crops[0].name = nasty.to_string();
    view.season.crops[3].months[0].cause = Some("\" onmouseover=\"x".into());
    view.cautions[0].text = nasty.into();
    let page = html::render(&view, Units::Si, false);
    assert!(!page.contains("<script>alert"));
    assert!(!page.contains("\" onmouseover=\""));
    assert!(page.contains("&lt;script&gt;alert(1)"));
    assert!(page.chars().all(|c| c == '\n' || !c.is_control()));
}

#[test]
fn every_chart_has_title_description_and_table() {
    let page = html::render(&fixture::report(), Units::Si, false);
    let figures: Vec<&str> = page.split("<figure").skip(1).collect();
    assert_eq!(figures.len(), 8);
    for figure in figures {
        let figure = figure.split("</figure>").next().unwrap();
        for part in [
            "<title id=",
            "<desc id=",
            "<output",
            "role=\"img\"",
            "class=\"spot\"",
        ] {
            assert!(figure.contains(part), "{part}: {}", &figure[..80]);
        }
    }
    let ids: Vec<&str> = page
        .split(" id=\"")
        .skip(1)
        .map(|rest| rest.split('"').next().unwrap())
        .collect();
    let unique: BTreeSet<&&str> = ids.iter().collect();
    assert_eq!(ids.len(), unique.len(), "an id stands twice: {ids:?}");
}

#[test]
fn what_the_weather_does_to_the_plan_is_told() {
    let view = fixture::report();
    let page = html::render(&view, Units::Si, false);
    let month = view.plan.months.first().expect("weather years");
    for part in [
        "Month by month",
        "Different foods a week",
        "Plantings most likely to fail",
        &month.month.format("%b %Y").to_string(),
        &view.plan.risks.first().expect("a risk").crop_name,
    ] {
        assert!(page.contains(part), "{part}");
    }
}

#[test]
fn an_empty_plan_gives_a_page_too() {
    let mut view = fixture::report();
    view.climate.days.clear();
    view.climate.heat_flows.clear();
    view.climate.first_against_settled.clear();
    view.season.crops.clear();
    view.plan.plantings.clear();
    view.plan.weeks.clear();
    view.plan.gaps.clear();
    view.plan.beds.clear();
    view.value.prices.clear();
    view.value.with_building = None;
    let page = html::render(&view, Units::Si, false);
    assert!(!page.contains("NaN") && !page.contains("inf"));
}

/// Colours of the style sheet, by name, of its first (light) or second (dark) block.
fn colours(css: &str, block: usize) -> BTreeMap<&str, [f64; 3]> {
    let root = css
        .split(":root {")
        .nth(block + 1)
        .unwrap()
        .split('}')
        .next()
        .unwrap();
    root.split(';')
        .filter_map(|entry| entry.trim().strip_prefix("--")?.split_once(": #"))
        .map(|(name, hex)| {
            let part =
                |at: usize| f64::from(u8::from_str_radix(&hex[at..at + 2], 16).unwrap()) / 255.0;
            (name, [part(0), part(2), part(4)])
        })
        .collect()
}

/// Contrast ratio of WCAG 2.2, from the definitions of relative luminance and contrast ratio in its glossary.
fn contrast(a: [f64; 3], b: [f64; 3]) -> f64 {
    let linear = |c: f64| {
        if c <= 0.04045 {
            c / 12.92
        } else {
            ((c + 0.055) / 1.055).powf(2.4)
        }
    };
    let luminance =
        |c: [f64; 3]| 0.2126 * linear(c[0]) + 0.7152 * linear(c[1]) + 0.0722 * linear(c[2]);
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn colours_stand_out() {
    // WCAG 2.2: black on white is 21 to 1.
    assert!((contrast([0.0; 3], [1.0; 3]) - 21.0).abs() < 1e-9);
    let css = include_str!("../../src/output/html/style.css");
    for (block, theme) in ["light", "dark"].iter().enumerate() {
        let colours = colours(css, block);
        let check = |front: &str, back: &str, least: f64| {
            let ratio = contrast(colours[front], colours[back]);
            assert!(
                ratio >= least,
                "{theme}: {front} on {back}: {ratio:.2}, needs {least}"
            );
        };
        // Success criterion 1.4.3: 4.5 to 1 for text.
        for front in ["ink", "soft", "link", "bad", "warn"] {
            for back in ["paper", "sheet"] {
                check(front, back, 4.5);
            }
        }
        for back in ["pick", "sow", "both", "stand", "grow", "none"] {
            check("ink", back, 4.5);
        }
        check("hard", "sheet", 4.5);
        // Success criterion 1.4.11: 3 to 1 for what is needed to understand a drawing.
        let series = [
            "usual", "hard", "root", "store", "light", "day", "food", "wish", "cost", "budget",
            "ceiling", "up", "down", "edge", "focus",
        ];
        for front in series {
            check(front, "sheet", 3.0);
        }
        for hue in 0..8 {
            check("ink", &format!("hue-{hue}"), 4.5);
            check(&format!("mark-{hue}"), "sheet", 3.0);
            check(&format!("mark-{hue}"), &format!("hue-{hue}"), 3.0);
        }
    }
}

#[test]
fn a_browser_reads_the_page() {
    /// Exit code of a skipped test, by custom.
    const SKIPPED: i32 = 77;
    let page = page_on_disk();
    let pictures = page.with_file_name("pictures");
    std::fs::create_dir_all(&pictures).unwrap();
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/browser/check.mjs");
    match std::process::Command::new("node")
        .arg(script)
        .arg(&page)
        .arg(&pictures)
        .output()
    {
        Ok(run) => {
            let text = String::from_utf8_lossy(&run.stdout).into_owned()
                + &String::from_utf8_lossy(&run.stderr);
            println!("{text}");
            assert!(
                run.status.success() || run.status.code() == Some(SKIPPED),
                "{text}"
            );
        }
        Err(error) => println!("SKIPPED browser test: {error}"),
    }
}
