//! Tables and charts for people.

use bedyear::output::tables::DataTable;
use bedyear::output::terminal::{self, Look};
use bedyear::output::units::Units;
use bedyear::output::{Cell, Kind};
use chrono::NaiveDate;

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

/// A plan over the turn of two years at 80 columns: days of the usual year stand without it, and no name is broken.
#[test]
fn days_of_two_years_leave_room_for_whole_words() {
    let mut columns = vec![
        ("bed", "Bed", Kind::Text),
        ("crop_name", "Crop", Kind::Text),
        ("sections", "Section", Kind::Text),
    ];
    columns.extend(
        ["sow", "transplant", "first", "last", "clear"].map(|name| (name, name, Kind::Date)),
    );
    columns.extend([
        ("kg", "Yield", Kind::Number),
        ("in_all", "In all", Kind::Number),
    ]);
    let row = |crop: &str, years: [i32; 5]| {
        let mut row = vec!["bed 12", crop, "1, 2"]
            .into_iter()
            .map(|text| Cell::Text(text.to_owned()))
            .collect::<Vec<_>>();
        row.extend(years.map(|year| Cell::Date(NaiveDate::from_ymd_opt(year, 12, 28).unwrap())));
        row.extend([Cell::Number(12.3), Cell::Number(97.25)]);
        row
    };
    let table = |rows| DataTable::plain("plantings", &columns, rows);
    let two = table(vec![
        row("Strawberry, day-neutral", [2027, 2027, 2028, 2029, 2029]),
        row("Tomato, indeterminate or cherry", [2028; 5]),
        row("Spinach, slow-bolting", [2028, 2028, 2028, 2029, 2029]),
    ]);
    let drawn = terminal::draw(&two, &Look::default());
    assert!(
        drawn.lines().all(|line| line.chars().count() <= 80),
        "{drawn}"
    );
    for word in [
        "Strawberry,",
        "day-neutral",
        "indeterminate",
        "slow-bolting",
    ] {
        assert!(drawn.contains(word), "{word}\n{drawn}");
    }
    assert!(
        drawn.ends_with("Days without a year are of 2028.\n"),
        "{drawn}"
    );
    assert_eq!(drawn.matches("2028").count(), 1, "{drawn}");
    assert!(
        !terminal::draw(&table(vec![row("Leek", [2028; 5])]), &Look::default()).contains("2028")
    );
}

/// What is bought as plants is never said to be sown.
#[test]
fn bought_plants_are_bought_and_set_out() {
    let mut plan = fixture::plan();
    plan.plantings
        .retain(|planting| planting.row.transplant.is_some());
    plan.plantings.truncate(1);
    let row = &mut plan.plantings[0].row;
    row.planted_as = "bought plants".to_owned();
    (plan.risks[0].bed, plan.risks[0].sow) = (row.bed.clone(), row.sow);
    plan.risks[0].crop_name.clone_from(&row.crop_name);
    let look = Look::default();
    let (work, answer) = (
        terminal::work_list(&plan, &look),
        terminal::plan(&plan, &look),
    );
    assert!(
        work.contains("buy ") && work.contains("set out ") && !work.contains(": sow"),
        "{work}"
    );
    let risks = answer
        .lines()
        .find(|line| line.starts_with("Risks"))
        .unwrap();
    assert!(
        risks.contains("set out") && !risks.contains("sown"),
        "{answer}"
    );
    let tables = bedyear::output::tables::plan(&plan);
    let plantings = terminal::draw(&tables[0], &look);
    assert!(
        plantings.contains("Sow or") && plantings.contains("buy"),
        "{plantings}"
    );
}

#[test]
fn prices_of_another_country_are_named_in_the_overview() {
    let mut report = fixture::report();
    assert!(!terminal::overview(&report, &Look::default()).contains("Prices "));
    report.value.foreign_prices = "the United States".to_owned();
    let said = terminal::overview(&report, &Look::default());
    assert!(
        said.contains("of the United States, turned into SEK"),
        "{said}"
    );
}

/// A shortfall is answered by what gains most; what costs more than its food is worth is no advice, and is told as such on the list.
#[test]
fn advice_is_what_brings_more_than_it_costs() {
    let mut report = fixture::report();
    let said = |report: &bedyear::output::view::ReportView| {
        let text = terminal::overview(report, &Look::default());
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let gaps = &mut report.plan.gaps;
    gaps[0].remedy_gains = Some(23.0);
    gaps[1].remedy_gains = Some(9.0);
    gaps[1].house = "heater at 10 C would close 87 % of it".into();
    gaps[1].house_gains = Some(-3511.0);
    let text = said(&report);
    assert!(
        text.contains("with bed to spare: 1.6 m2 more corn salad sown by 7 Sep."),
        "{text}"
    );
    assert!(!text.contains("would close 87 %"), "{text}");
    report.plan.gaps[1].house_gains = Some(40.0);
    let text = said(&report);
    let (sowing, house) = (
        text.find("1.6 m2 more corn salad"),
        text.find("would close 87 %"),
    );
    assert!(sowing.is_some() && sowing < house, "{text}");
    for gap in &mut report.plan.gaps {
        (gap.remedy_gains, gap.house_gains) = (Some(-1.0), None);
    }
    let text = said(&report);
    assert!(
        text.contains("Nothing that was tried against it brings what it costs"),
        "{text}"
    );
}
