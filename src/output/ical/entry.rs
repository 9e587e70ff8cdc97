//! What stands in the calendar: a week's harvest in one entry, every other task by itself.

use std::collections::BTreeMap;
use std::hash::Hasher;

use chrono::NaiveDate;
use fnv::FnvHasher;

use super::UID_ENDING;
use crate::output::tasks::{Task, TaskKind, tasks};
use crate::output::text::{clean, fixed, short_date};
use crate::output::units::Units;
use crate::output::view::PlanView;

/// One all-day entry.
pub(super) struct Entry {
    /// Identifier that lasts through changes of plan.
    pub uid: String,
    /// Its day.
    pub date: NaiveDate,
    /// Head line.
    pub summary: String,
    /// What else to know, in lines.
    pub description: String,
    /// Group by which a calendar may sort.
    pub category: &'static str,
}

/// The entries of a plan by day, a day's harvest last.
pub(super) fn entries(plan: &PlanView, units: Units) -> Vec<Entry> {
    let mut single = Vec::new();
    let mut weeks: BTreeMap<NaiveDate, Vec<Task>> = BTreeMap::new();
    for task in tasks(plan) {
        match task.week {
            Some(week) => weeks.entry(week).or_default().push(task),
            None => single.push(of_task(plan, &task, units)),
        }
    }
    let harvests = weeks
        .into_iter()
        .map(|(week, picks)| of_week(plan, week, &picks, units));
    let mut all: Vec<Entry> = single.into_iter().chain(harvests).collect();
    all.sort_by_key(|entry| entry.date);
    all
}

fn of_task(plan: &PlanView, task: &Task, units: Units) -> Entry {
    let row = &task.row;
    let amount = row.amount_words(units);
    let parts = [amount.as_str(), row.note.as_str()];
    let filled: Vec<&str> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    Entry {
        uid: uid(&plan.project, &task.key),
        date: row.date,
        summary: clean(&format!("{}: {} ({})", row.crop_name, row.task, row.bed)),
        description: clean(&filled.join(", ")),
        category: category(task.kind),
    }
}

/// All that is picked in a week of the plan.
fn of_week(plan: &PlanView, week: NaiveDate, picks: &[Task], units: Units) -> Entry {
    let mut crops: Vec<&str> = picks.iter().map(|pick| pick.row.crop.as_str()).collect();
    crops.sort_unstable();
    crops.dedup();
    let kg: Option<f64> = picks.iter().map(|pick| pick.row.amount).sum();
    let amount = kg.map_or_else(String::new, |kg| {
        format!(", {} {}", fixed(units.mass(kg), 1), units.mass_unit())
    });
    let (count, s) = (crops.len(), if crops.len() == 1 { "" } else { "s" });
    let lines: Vec<String> = picks.iter().map(|pick| line(pick, week, units)).collect();
    Entry {
        uid: uid(&plan.project, &format!("harvest\u{1f}{week}")),
        date: week,
        summary: format!("Harvest this week: {count} crop{s}{amount}"),
        description: lines.join("\n"),
        category: category(TaskKind::Pick),
    }
}

/// One picking, such as `Spinach (north 1): 0.4 kg, first harvest from 14 Jan`.
fn line(pick: &Task, week: NaiveDate, units: Units) -> String {
    let row = &pick.row;
    let amount = row.amount.map(|_| row.amount_words(units));
    let first = (pick.kind == TaskKind::FirstPick).then(|| match row.date == week {
        true => "first harvest".to_owned(),
        false => format!("first harvest from {}", short_date(row.date)),
    });
    let note = (!row.note.is_empty()).then(|| row.note.clone());
    let what: Vec<String> = [amount, first, note].into_iter().flatten().collect();
    clean(&format!(
        "{} ({}): {}",
        row.crop_name,
        row.bed,
        what.join(", ")
    ))
}

fn category(kind: TaskKind) -> &'static str {
    match kind {
        TaskKind::FirstPick | TaskKind::Pick => "HARVEST",
        TaskKind::SowTray | TaskKind::SowBed => "SOWING",
        TaskKind::SetOut => "SETTING OUT",
        TaskKind::CoverOn | TaskKind::CoverOff | TaskKind::Clear => "BED WORK",
    }
}

fn uid(project: &str, key: &str) -> String {
    let whole = format!("{project}\u{1f}{key}");
    format!(
        "{:016x}{:016x}{UID_ENDING}",
        hash(whole.as_bytes(), 0),
        hash(whole.as_bytes(), 1)
    )
}

/// A hash that is the same everywhere and in every build; `salt` gives an independent second half.
fn hash(bytes: &[u8], salt: u8) -> u64 {
    let mut hasher = FnvHasher::default();
    hasher.write(&[salt]);
    hasher.write(bytes);
    hasher.finish()
}
