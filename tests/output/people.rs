//! Tables and charts for people.

use bedyear::output::terminal::{self, Look};
use bedyear::output::units::Units;

use crate::fixture;

/// Every table of the terminal, with its name.
fn all(look: &Look) -> Vec<(&'static str, String)> {
    let plan = fixture::plan();
    vec![
        ("climate", terminal::climate(&fixture::climate(), look)),
        ("season", terminal::season(&fixture::season(), look)),
        ("plan", terminal::plan(&plan, look)),
        ("weeks", terminal::weeks(&plan, look)),
        ("value", terminal::value(&fixture::value(), look)),
        ("overview", terminal::overview(&fixture::report(), look)),
        ("tables", tables(look)),
        ("prices", terminal::prices(&fixture::prices(), look)),
        ("check", terminal::check(&fixture::check(), look)),
        ("compare", terminal::compare(&fixture::compare(), look)),
        ("work", terminal::work_list(&plan, look)),
        ("rows", terminal::rows(&plan.gaps, look)),
    ]
}

/// Every table that the views yield, one below the other.
fn tables(look: &Look) -> String {
    let all = [
        bedyear::output::tables::climate(&fixture::climate()),
        bedyear::output::tables::season(&fixture::season()),
        bedyear::output::tables::plan(&fixture::plan()),
        bedyear::output::tables::value(&fixture::value()),
        bedyear::output::tables::check(&fixture::check()),
    ];
    let drawn = all.iter().flatten().filter(|table| !table.by_name);
    drawn.map(|table| terminal::draw(table, look)).collect()
}

/// An answer is read without scrolling: 24 lines of 80 columns, the lanes of the beds besides.
#[test]
fn every_answer_is_one_screen() {
    const LINES: usize = 24;
    let look = Look::default();
    let plan = fixture::plan();
    let answers = [
        ("overview", terminal::overview(&fixture::report(), &look)),
        ("climate", terminal::climate(&fixture::climate(), &look)),
        ("value", terminal::value(&fixture::value(), &look)),
        ("check", terminal::check(&fixture::check(), &look)),
        ("plan", terminal::plan(&plan, &look)),
        ("compare", terminal::compare(&fixture::compare(), &look)),
        ("prices", terminal::prices(&fixture::prices(), &look)),
        (
            "crops",
            terminal::crops(
                &bedyear::output::build::crops(&bedyear::crops::Table::builtin().unwrap()).rows,
                &look,
            ),
        ),
        (
            "columns",
            terminal::data_tables(&bedyear::output::tables::dictionary(None), &look),
        ),
    ];
    for (name, text) in answers {
        let lanes = text.lines().filter(|line| line.contains('·')).count();
        // What a share of the groceries would take is told only when asked for.
        let text = text.split("\nWhat would it take?").next().unwrap_or("");
        let lines = text.lines().count() - lanes;
        assert!(lines <= LINES, "{name}: {lines} lines\n{text}");
    }
}

#[test]
fn tables_read_as_before() {
    for (name, text) in all(&Look::default()) {
        insta::assert_snapshot!(name, text);
    }
    let us = Look {
        width: 120,
        colour: false,
        units: Units::Us,
    };
    for (name, text) in all(&us) {
        insta::assert_snapshot!(format!("{name}_us_wide"), text);
    }
}

#[test]
fn no_line_passes_the_width() {
    for width in [0, 80, 100, 140] {
        for (name, text) in all(&Look {
            width,
            ..Look::default()
        }) {
            for line in text.lines() {
                let columns = line.chars().count();
                assert!(
                    columns <= usize::from(width.max(80)),
                    "{name} at {width}: {columns}: {line}"
                );
            }
        }
    }
}

#[test]
fn colour_changes_nothing_but_colour() {
    let plain = all(&Look::default());
    let coloured = all(&Look {
        colour: true,
        ..Look::default()
    });
    assert!(coloured.iter().any(|(_, text)| text.contains('\u{1b}')));
    for ((name, plain), (_, coloured)) in plain.iter().zip(&coloured) {
        assert!(!plain.contains('\u{1b}'), "{name}");
        let stripped: Vec<String> = without_escapes(coloured)
            .lines()
            .map(|line| line.trim_end().to_string())
            .collect();
        assert_eq!(
            stripped,
            plain.lines().map(String::from).collect::<Vec<_>>(),
            "{name}"
        );
    }
}

/// The text without select-graphic-rendition sequences.
fn without_escapes(text: &str) -> String {
    let mut parts = text.split("\u{1b}[");
    let first = parts.next().unwrap_or_default().to_string();
    parts.fold(first, |whole, part| {
        whole + part.split_once('m').map_or(part, |(_, rest)| rest)
    })
}

#[test]
fn a_name_cannot_steer_the_terminal() {
    let mut plan = fixture::plan();
    plan.beds[0] = "North\u{1b}[2J\u{7}\r1".to_string();
    plan.plantings[0].row.bed = plan.beds[0].clone();
    plan.plantings[0].row.crop_name = "Spin\u{9b}31mach\u{202e}".to_string();
    plan.gaps[0].cause = "dark\u{1b}]0;title\u{7}".into();
    let look = Look::default();
    for text in [
        terminal::plan(&plan, &look),
        terminal::work_list(&plan, &look),
        terminal::rows(&plan.gaps, &look),
    ] {
        assert!(
            text.chars().all(|c| c == '\n' || !c.is_control()),
            "{text:?}"
        );
        assert!(!text.contains('\u{202e}'));
    }
}
