//! The work by week, grouped by bed; what is picked, one line a week. Shared by terminal and report.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use super::tasks::{Task, TaskKind, cover_spans, tasks};
use super::text::{brief, clean, joined, kind, percent};
use super::units::Units;
use super::view::PlanView;

/// Where trays are taken to stand; nothing where none is sown.
pub(super) fn trays(plan: &PlanView, units: Units) -> String {
    if !tasks(plan)
        .iter()
        .any(|task| task.kind == TaskKind::SowTray)
    {
        return String::new();
    }
    format!(
        "Trays are taken to stand indoors in good light, at about {}, until they are set out.",
        units.said(crate::crops::TRAY_C, "°C", 0)
    )
}

/// What is done in a week.
pub(super) struct Week {
    /// The first day on which something is done.
    pub day: NaiveDate,
    /// A line for each bed, then one for what is picked.
    pub lines: Vec<WorkLine>,
}

/// The work in one place.
pub(super) struct WorkLine {
    /// Bed; empty for picking.
    pub place: String,
    /// What is done there.
    pub work: String,
}

/// All weeks with work, in order.
pub(super) fn weeks(plan: &PlanView, units: Units) -> Vec<Week> {
    let single = |task: &Task| !matches!(task.kind, TaskKind::CoverOn | TaskKind::CoverOff);
    let all: Vec<Task> = tasks(plan).into_iter().filter(single).collect();
    let covers = cover_spans(plan);
    let ends = |week: NaiveDate| -> Vec<WorkLine> {
        let of = |day: NaiveDate, work: &str| {
            (day.iso_week() == week.iso_week()).then(|| WorkLine {
                place: String::new(),
                work: work.to_owned(),
            })
        };
        // A cover for a few nights is one line.
        let lines = covers.iter().flat_map(|span| {
            let brief = span.from.iso_week() == span.to.iso_week();
            [
                of(span.from, "cover the beds in cold nights"),
                of(span.to, "covers off").filter(|_| !brief),
            ]
        });
        lines.flatten().collect()
    };
    all.chunk_by(|a, b| a.row.date.iso_week() == b.row.date.iso_week())
        .map(|tasks| Week {
            day: tasks[0].row.date,
            lines: ends(tasks[0].row.date)
                .into_iter()
                .chain(lines(tasks, units))
                .collect(),
        })
        .collect()
}

fn lines(week: &[Task], units: Units) -> Vec<WorkLine> {
    let mut beds: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    let mut picked: BTreeMap<String, f64> = BTreeMap::new();
    for task in week {
        let row = &task.row;
        match task.kind {
            TaskKind::FirstPick | TaskKind::Pick => {
                *picked.entry(kind(&row.crop_name)).or_default() += row.amount.unwrap_or(0.0);
            }
            _ => beds.entry(&row.bed).or_default().push(said(task)),
        }
    }
    let mut lines: Vec<WorkLine> = beds
        .into_iter()
        .map(|(place, work)| WorkLine {
            place: clean(place),
            work: work.join(", "),
        })
        .collect();
    let sum: f64 = picked.values().sum();
    if !picked.is_empty() {
        let foods = joined(picked.into_keys(), ", ", |food| food);
        lines.push(WorkLine {
            place: String::new(),
            work: format!("pick {}: {}", units.said(sum, "kg", 1), foods),
        });
    }
    lines
}

/// What comes through in a smaller share of the years is said so (own choice: the rest would make a long list longer).
const RISKY: f64 = 0.8;

/// Such as `sow spinach (1)`, the number being the section.
fn said(task: &Task) -> String {
    let row = &task.row;
    let work = task.work_of(&brief(&row.crop_name));
    let through = match row.in_all.filter(|share| *share < RISKY) {
        Some(share) => format!(", comes through in {}", percent(share, 0)),
        None => String::new(),
    };
    match row.sections.as_str() {
        "" => format!("{work}{through}"),
        sections => format!("{work} ({sections}){through}"),
    }
}
