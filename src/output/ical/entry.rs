//! What stands in the calendar: a week's harvest in one entry, row cover as a span, every other task by itself.

use std::collections::{BTreeMap, BTreeSet};
use std::hash::Hasher;

use chrono::{Datelike, IsoWeek, NaiveDate, Weekday};
use fnv::FnvHasher;

use super::UID_ENDING;
use crate::output::tasks::{Task, TaskKind, cover_spans, tasks};
use crate::output::text::{clean, fixed, kind, percent, spoken};
use crate::output::units::Units;
use crate::output::view::PlanView;

/// One all-day entry.
pub(super) struct Entry {
    /// Identifier that lasts through changes of plan.
    pub uid: String,
    /// Planting and task behind it.
    pub key: String,
    /// Its first day.
    pub date: NaiveDate,
    /// Its last day.
    pub until: NaiveDate,
    /// Head line.
    pub summary: String,
    /// What else to know, in lines.
    pub description: String,
    /// Group by which a calendar may sort.
    pub category: &'static str,
}

/// The entries of a plan by day. What lies before the day on which the plan begins is past and left alone.
pub(super) fn entries(plan: &PlanView, units: Units) -> Vec<Entry> {
    let mut single: Vec<Task> = Vec::new();
    let mut weeks: BTreeMap<NaiveDate, Vec<Task>> = BTreeMap::new();
    for task in tasks(plan) {
        match task.kind {
            TaskKind::CoverOn | TaskKind::CoverOff => {}
            _ if task.picking => weeks.entry(monday(task.row.date)).or_default().push(task),
            _ => single.push(task),
        }
    }
    // A section that is cleared in the week in which it is planted again is cleared with that.
    let mut together: BTreeMap<(&str, IsoWeek), Vec<&Task>> = BTreeMap::new();
    for task in &single {
        together.entry(place_and_week(task)).or_default().push(task);
    }
    let mut all: Vec<Entry> = Vec::new();
    for beside in together.values() {
        for task in beside {
            if !beside.iter().any(|other| task.makes_room_for(other)) {
                let before = beside.iter().filter(|clear| clear.makes_room_for(task));
                all.push(of_task(plan, task, before.copied(), units));
            }
        }
    }
    let harvests = weeks
        .iter()
        .map(|(week, picks)| of_week(plan, *week, picks, units));
    all.extend(harvests.chain(covers(plan)));
    all.retain(|entry| entry.until >= plan.start);
    all.sort_by(|a, b| (a.date, &a.key).cmp(&(b.date, &b.key)));
    all
}

/// Tasks that can make room for one another share bed and week.
fn place_and_week(task: &Task) -> (&str, IsoWeek) {
    (&task.row.bed, task.row.date.iso_week())
}

fn monday(date: NaiveDate) -> NaiveDate {
    date.week(Weekday::Mon).first_day()
}

fn of_task<'t>(
    plan: &PlanView,
    task: &Task,
    cleared: impl Iterator<Item = &'t Task>,
    units: Units,
) -> Entry {
    let row = &task.row;
    let first: Vec<String> = cleared
        .map(|clear| format!("first clear {}", spoken(&clear.row.crop_name)))
        .collect();
    let through = row.in_all.map_or_else(String::new, |share| {
        format!(
            "comes through in {} of the simulated years",
            percent(share, 0)
        )
    });
    let parts = [
        first.join(", "),
        row.amount_words(units),
        through,
        row.note.clone(),
    ];
    let filled: Vec<String> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    let work = match task.kind {
        TaskKind::Plant => format!("plant {}", row.unit_of(&spoken(&row.crop_name))),
        TaskKind::SowTray => format!("sow {} in trays", spoken(&row.crop_name)),
        TaskKind::Order => format!("order {} plants", spoken(&row.crop_name)),
        _ => format!(
            "{} {}",
            row.task.trim_end_matches(" in bed"),
            spoken(&row.crop_name)
        ),
    };
    Entry {
        uid: uid(&plan.project, &task.key),
        key: task.key.clone(),
        date: row.date,
        until: row.date,
        summary: clean(&format!("{} ({})", capital(&work), row.place())),
        description: clean(&filled.join(", ")),
        category: category(task.kind),
    }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// All that is picked in a week.
fn of_week(plan: &PlanView, week: NaiveDate, picks: &[Task], units: Units) -> Entry {
    /// Crops that a phone has room to name.
    const NAMED: usize = 3;
    let crops: BTreeSet<String> = picks.iter().map(|pick| kind(&pick.row.crop_name)).collect();
    let named: Vec<&str> = crops.iter().take(NAMED).map(String::as_str).collect();
    let more = match crops.len().saturating_sub(NAMED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let kg: Option<f64> = picks.iter().map(|pick| pick.row.amount).sum();
    let amount = kg.map_or_else(String::new, |kg| {
        format!(" {} {}", fixed(units.mass(kg), 1), units.mass_unit())
    });
    let lines: Vec<String> = picks.iter().map(|pick| line(pick, units)).collect();
    let key = format!("harvest\u{1f}{week}");
    let date = picks.iter().map(|pick| pick.row.date).min().unwrap_or(week);
    Entry {
        uid: uid(&plan.project, &key),
        key,
        date,
        until: date,
        summary: clean(&format!("Pick{amount}: {}{more}", named.join(", "))),
        description: lines.join("\n"),
        category: category(TaskKind::Pick),
    }
}

/// One picking, such as `Spinach (north 1): 0.4 kg, first harvest`.
fn line(pick: &Task, units: Units) -> String {
    let row = &pick.row;
    let amount = row.amount.map(|_| row.amount_words(units));
    let first = (pick.kind == TaskKind::FirstPick).then(|| "first harvest".to_owned());
    let note = (!row.note.is_empty()).then(|| row.note.clone());
    let what: Vec<String> = [amount, first, note].into_iter().flatten().collect();
    clean(&format!(
        "{} ({}): {}",
        row.crop_name,
        row.place(),
        what.join(", ")
    ))
}

/// Row cover from the first cold nights to the last.
fn covers(plan: &PlanView) -> Vec<Entry> {
    cover_spans(plan)
        .into_iter()
        .map(|span| {
            let key = format!("cover\u{1f}{}", span.from.format("%Y-%m"));
            Entry {
                uid: uid(&plan.project, &key),
                key,
                date: span.from,
                until: span.to,
                summary: "Cover the beds in cold nights".to_owned(),
                description: clean(&span.beds.join(", ")),
                category: category(TaskKind::CoverOn),
            }
        })
        .collect()
}

fn category(kind: TaskKind) -> &'static str {
    match kind {
        TaskKind::FirstPick | TaskKind::Pick => "HARVEST",
        TaskKind::SowTray | TaskKind::SowBed | TaskKind::Plant | TaskKind::Order => "SOWING",
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
