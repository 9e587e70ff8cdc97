//! What stands in the calendar: a week's harvest in one entry, row cover as a span, every other task by itself; and what stood in one
//! written before, so that a new one can take back what it no longer has.

use std::collections::{BTreeMap, BTreeSet};
use std::hash::Hasher;

use chrono::{Datelike, IsoWeek, NaiveDate, Weekday};
use icalendar::{Calendar, CalendarComponent, Component, DatePerhapsTime, parser};

use super::{KEY, UID_ENDING};
use crate::output::tasks::{Task, TaskKind, cover_spans, tasks};
use crate::output::text::{capital, clean, joined, kind, percent, spoken};
use crate::output::units::Units;
use crate::output::view::PlanView;
use crate::plain::without_mark;
use fnv::FnvHasher;

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
    let first = joined(cleared, ", ", |clear| {
        format!("first clear {}", spoken(&clear.row.crop_name))
    });
    let through = row.in_all.map_or_else(String::new, |share| {
        format!(
            "comes through in {} of the weather years",
            percent(share, 0)
        )
    });
    let parts = [first, row.amount_words(units), through, row.note.clone()];
    let filled = parts.into_iter().filter(|part| !part.is_empty());
    Entry {
        uid: uid(&plan.project, &task.key),
        key: task.key.clone(),
        date: row.date,
        until: row.date,
        summary: clean(&format!("{} ({})", capital(&task.work()), row.place())),
        description: clean(&joined(filled, ", ", |part| part)),
        category: category(task.kind),
    }
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
    let amount = kg.map_or_else(String::new, |kg| format!(" {}", units.said(kg, "kg", 1)));
    let key = format!("harvest\u{1f}{week}");
    let date = picks.iter().map(|pick| pick.row.date).min().unwrap_or(week);
    Entry {
        uid: uid(&plan.project, &key),
        key,
        date,
        until: date,
        summary: clean(&format!("Pick{amount}: {}{more}", named.join(", "))),
        description: joined(picks, "\n", |pick| line(pick, units)),
        category: category(TaskKind::Pick),
    }
}

/// One picking, such as `Spinach (north 1): 0.4 kg, first harvest`.
fn line(pick: &Task, units: Units) -> String {
    let row = &pick.row;
    let amount = row.amount.map(|_| row.amount_words(units));
    let first = (pick.kind == TaskKind::FirstPick).then(|| "first harvest".to_owned());
    let note = (!row.note.is_empty()).then(|| row.note.clone());
    let what = [amount, first, note].into_iter().flatten();
    let what = joined(what, ", ", |part| part);
    clean(&format!("{} ({}): {what}", row.crop_name, row.place()))
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
        TaskKind::SowTray | TaskKind::SowBed | TaskKind::Plant => "SOWING",
        TaskKind::Buy => "BUYING",
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

/// One entry of an earlier calendar of ours.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Earlier {
    /// Identifier.
    pub uid: String,
    /// Planting and task behind it; empty where the calendar does not say.
    pub key: String,
    /// Its day.
    pub date: NaiveDate,
    /// Head line.
    pub summary: String,
}

/// Reads the entries of an .ics file that this program wrote; those of other makers in it are passed over.
///
/// # Errors
/// Line and what is wrong there in words (`12: ...`), if the text is no iCalendar.
pub fn read(text: &str) -> Result<Vec<Earlier>, String> {
    let text = without_mark(text);
    if !text.starts_with("BEGIN:VCALENDAR") {
        return Err("1: is no calendar: an .ics file begins with BEGIN:VCALENDAR".to_owned());
    }
    let unreadable = |line: usize| {
        format!("{line}: is no calendar that can be read; name an .ics file that `calendar` wrote")
    };
    let unfolded = parser::unfold(text);
    // The parser descends into each component and would fill the stack; it words its refusals with the place in the
    // line as a width, which the language holds to 65,535.
    if let Some(line) = too_deep_or_long(text, &unfolded) {
        return Err(unreadable(line));
    }
    let calendar: Calendar = text.parse().map_err(|_| unreadable(odd_line(text)))?;
    calendar
        .components
        .iter()
        .filter_map(|component| entry(component, text).transpose())
        .collect()
}

/// Line from 1 of the first beginning of a component too deep, or of a line too long once unfolded.
fn too_deep_or_long(text: &str, unfolded: &str) -> Option<usize> {
    let long = unfolded.split('\n').find(|line| line.len() > LINE_MAX);
    let start_of = |long: &str| {
        let start: String = long.chars().take(40).collect();
        line_of(text, start.trim_end())
    };
    // A folded line may hide a beginning from the text as it stands.
    let deep = too_deep(unfolded).map(|_| too_deep(text).unwrap_or(1));
    deep.or_else(|| long.map(start_of))
}

/// The first line that says nothing of a property: neither a name and a colon nor the rest of the line above; the last line
/// where each does.
fn odd_line(text: &str) -> usize {
    let says = |line: &str| line.is_empty() || line.starts_with([' ', '\t']) || line.contains(':');
    let count = text.lines().count();
    text.lines()
        .position(|line| !says(line))
        .map_or(count, |at| at + 1)
}

/// The line that holds some words, from 1.
fn line_of(text: &str, words: &str) -> usize {
    text.lines()
        .position(|line| line.contains(words))
        .map_or(1, |at| at + 1)
}

/// Most components within each other: a calendar holds events, these alarms, and no standard goes further than a few
/// (RFC 5545, section 3.6).
const DEPTH_MAX: usize = 16;

/// Longest line once unfolded, bytes: ours hold a week's work in words, some thousand at most (own choice).
const LINE_MAX: usize = 32_768;

/// Line from 1 in which a component begins that stands in more than [`DEPTH_MAX`] others.
fn too_deep(text: &str) -> Option<usize> {
    let begins_with = |line: &str, mark: &str| {
        line.get(..mark.len())
            .is_some_and(|start| start.eq_ignore_ascii_case(mark))
    };
    let mut now = 0_usize;
    for (at, line) in text.split('\n').enumerate() {
        for line in line.split('\r') {
            if begins_with(line, "BEGIN:") {
                now += 1;
            } else if begins_with(line, "END:") {
                now = now.saturating_sub(1);
            }
            if now > DEPTH_MAX {
                return Some(at + 1);
            }
        }
    }
    None
}

/// An entry of ours; none of another maker's.
fn entry(component: &CalendarComponent, text: &str) -> Result<Option<Earlier>, String> {
    let CalendarComponent::Event(event) = component else {
        return Ok(None);
    };
    let Some(uid) = event.get_uid().filter(|uid| uid.ends_with(UID_ENDING)) else {
        return Ok(None);
    };
    let Some(DatePerhapsTime::Date(date)) = event.get_start() else {
        let line = line_of(text, &uid.chars().take(60).collect::<String>());
        return Err(format!(
            "{line}: the entry of this UID has no day that can be read; DTSTART;VALUE=DATE:20270401 is one"
        ));
    };
    Ok(Some(Earlier {
        uid: clean(uid),
        key: event
            .property_value(KEY)
            .unwrap_or_default()
            .replace('|', "\u{1f}"),
        date,
        summary: clean(event.get_summary().unwrap_or_default()),
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_broken_file_with_an_endless_line_is_refused_in_words() {
        for line in [
            "x".repeat(70_000),
            format!("{}\u{7}", "SUMMARY:y".repeat(9000)),
        ] {
            let text = format!("BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\n{line}");
            assert!(read(&text).unwrap_err().contains("can be read"));
        }
    }
}
