//! Tasks and calendars.

use std::collections::BTreeSet;

use bedyear::output::ical::CalendarStyle;
use bedyear::output::tasks::{TaskKind, tasks};
use bedyear::output::{csv_out, ical};
use chrono::{Datelike, NaiveDate};

use crate::fixture;

#[test]
fn every_task_once() {
    let plan = fixture::plan();
    let all = tasks(&plan);
    let keys: BTreeSet<&String> = all.iter().map(|task| &task.key).collect();
    assert_eq!(keys.len(), all.len(), "none twice");
    let count = |kinds: &[TaskKind]| all.iter().filter(|task| kinds.contains(&task.kind)).count();
    let rows = || plan.plantings.iter().map(|planting| &planting.row);
    assert_eq!(
        count(&[TaskKind::SowBed, TaskKind::SowTray]),
        plan.plantings.len()
    );
    assert_eq!(
        count(&[TaskKind::SetOut]),
        rows().filter(|row| row.transplant.is_some()).count()
    );
    assert_eq!(count(&[TaskKind::Clear]), plan.plantings.len());
    assert_eq!(
        count(&[TaskKind::CoverOn]),
        rows().filter(|row| row.cover_on.is_some()).count()
    );
    assert_eq!(count(&[TaskKind::FirstPick]), plan.plantings.len());
    let saturdays = all
        .iter()
        .all(|task| task.row.date.weekday() == chrono::Weekday::Sat);
    assert!(saturdays, "work falls on the days that the person names");
    let kg: f64 = all
        .iter()
        .filter(|task| task.row.unit == "kg")
        .filter_map(|task| task.row.amount)
        .sum();
    let planned: f64 = rows().map(|row| row.harvest_kg).sum();
    assert!(
        (kg - planned).abs() < 1e-9,
        "{kg} kg in the tasks, {planned} kg in the plan"
    );
}

#[test]
fn pickings_without_weeks_come_every_seven_days() {
    let mut plan = fixture::plan();
    plan.plantings.truncate(1);
    plan.plantings[0].picks.clear();
    let picks: Vec<_> = tasks(&plan)
        .into_iter()
        .filter(|task| matches!(task.kind, TaskKind::FirstPick | TaskKind::Pick))
        .collect();
    let row = &plan.plantings[0].row;
    // The Saturday on or after each seventh day.
    let (first, last) = (row.first_harvest.unwrap(), row.last_harvest.unwrap());
    let week = chrono::Days::new(6);
    assert!((first..=first + week).contains(&picks[0].row.date));
    assert!(picks.iter().all(|pick| pick.row.date <= last + week));
    assert_eq!(picks.len(), 25);
}

/// Identifiers of a calendar's entries.
fn uids(text: &str) -> BTreeSet<String> {
    text.lines()
        .filter(|line| line.starts_with("UID:") && !line.ends_with("-reminder"))
        .map(String::from)
        .collect()
}

#[test]
fn a_planting_that_moves_keeps_its_entries_and_no_other_changes() {
    let plan = fixture::plan();
    let old = ical::render(&plan, &[], CalendarStyle::default());
    let mut later = plan.clone();
    later.revision = 1;
    let moved = &mut later.plantings[0].row;
    moved.sow = moved.sow.checked_add_days(chrono::Days::new(7)).unwrap();
    let earlier = ical::read_earlier(&old).unwrap();
    let new = ical::render(&later, &earlier, CalendarStyle::default());
    assert_eq!(uids(&old), uids(&new));
    assert!(new.contains("SEQUENCE:1") && old.contains("SEQUENCE:0"));
    assert!(!new.contains("STATUS:CANCELLED"));
    // Without the old calendar the moved planting is another one, and all others are the same.
    let alone = ical::render(&later, &[], CalendarStyle::default());
    assert_eq!(
        uids(&old).difference(&uids(&alone)).count(),
        2,
        "its sowing and its clearing"
    );
}

#[test]
fn what_the_new_plan_drops_is_taken_back_and_the_past_stays() {
    let old = fixture::plan();
    let mut new = old.clone();
    new.revision = 1;
    let gone = new.plantings.remove(0);
    let earlier = ical::read_earlier(&ical::render(&old, &[], CalendarStyle::default())).unwrap();
    let text = ical::render(&new, &earlier, CalendarStyle::default());
    // Sowing and clearing at least, and the weeks in which nothing else is picked.
    let cancelled = text.matches("STATUS:CANCELLED").count();
    assert!(cancelled >= 2, "{cancelled} of {}", gone.row.crop);
    assert!(ical::read_earlier("date,task").is_err());
    // Every entry of the old calendar is in the new one, either kept or taken back.
    assert_eq!(uids(&text).len(), earlier.len());
    // A plan that begins later says nothing of what lies before.
    new.start = NaiveDate::from_ymd_opt(2028, 6, 1).unwrap();
    new.plantings.clear();
    let late = ical::render(&new, &earlier, CalendarStyle::default());
    assert!(late.matches("STATUS:CANCELLED").count() < earlier.len());
    assert!(!late.contains("DTSTART;VALUE=DATE:2027"));
}

#[test]
fn a_week_of_harvest_is_one_entry_that_lists_every_picking() {
    let plan = fixture::plan();
    let text = ical::render(&plan, &[], CalendarStyle::default()).replace("\r\n ", "");
    let picks = tasks(&plan).iter().filter(|task| task.picking).count();
    let harvests: Vec<&str> = text
        .split("BEGIN:VEVENT")
        .filter(|event| event.contains("CATEGORIES:HARVEST"))
        .collect();
    assert!(harvests.len() <= 53 + 20, "{} entries", harvests.len());
    let listed: usize = harvests
        .iter()
        .flat_map(|event| event.lines())
        .filter_map(|line| line.strip_prefix("DESCRIPTION:"))
        // A line end inside a text is written as two characters (RFC 5545, 3.3.11).
        .map(|lines| lines.split("\\n").count())
        .sum();
    assert_eq!(listed, picks);
    assert!(text.contains("CATEGORIES:SETTING OUT"));
}

#[test]
fn the_calendar_is_the_same_in_every_run_and_well_formed() {
    let mut plan = fixture::plan();
    plan.plantings[0].row.crop_name =
        "Spinach; \"savoy\", \\ winter\nBEGIN:VEVENT ".to_string() + &"ø".repeat(90);
    let style = CalendarStyle {
        reminder_hour: Some(18),
        ..CalendarStyle::default()
    };
    let text = ical::render(&plan, &[], style);
    assert_eq!(text, ical::render(&plan, &[], style));
    assert_eq!(
        text.matches("\r\nBEGIN:VEVENT\r\n").count(),
        uids(&text).len()
    );
    for line in text.split_terminator("\r\n") {
        assert!(!line.contains(['\r', '\n']));
        // RFC 5545, 3.1: lines should not be longer than 75 octets.
        assert!(line.len() <= 75, "{} octets: {line}", line.len());
    }
    // RFC 5545, 3.8.7.2: a stamp is when the entry was made, so none lies in the future.
    assert!(text.contains("DTSTAMP:20260101T000000Z"));
    assert!(text.contains("X-WR-CALNAME:"));
    assert!(text.contains("TRIGGER:-PT21600S"));
    assert!(text.contains(r"pinach\; "));
}

#[test]
fn the_calendar_reads_as_before() {
    let mut plan = fixture::plan();
    plan.plantings.truncate(1);
    plan.plantings[0].picks.truncate(2);
    let style = CalendarStyle {
        reminder_hour: Some(7),
        ..CalendarStyle::default()
    };
    insta::assert_snapshot!(
        "calendar",
        ical::render(&plan, &[], style).replace("\r\n", "\n")
    );
    let rows: Vec<_> = tasks(&plan).into_iter().map(|task| task.row).collect();
    insta::assert_snapshot!(
        "calendar_csv",
        csv_out::to_string(&rows).unwrap().replace("\r\n", "\n")
    );
}
