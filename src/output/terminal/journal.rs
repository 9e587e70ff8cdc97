//! The journal: a row added, the plan made anew from it, the plan against it.

use super::draw::first_rows;
use super::{Look, draw, notes};
use crate::output::tables;
use crate::output::tasks::TaskKind;
use crate::output::text::{clean, day_in, fixed, joined, percent, spoken};
use crate::output::view::{JournalRow, LogView, ReplanView, ReviewView, WorkRow};
use crate::words::Word;
use chrono::Datelike;

/// Where the row stands, in one sentence.
pub fn log(view: &LogView, look: &Look) -> String {
    let row = words(&view.row, look);
    let line = view.row.line;
    let journal = clean(&view.journal);
    if view.taken_back {
        format!("{journal}, line {line} is taken back: {row}\n")
    } else if view.added {
        format!("{journal}, line {line}: {row}\n")
    } else {
        format!(
            "{journal}, line {line} says so already: {row}\nNothing was added; if it happened twice, say --again.\n"
        )
    }
}

fn words(row: &JournalRow, look: &Look) -> String {
    let decimals = if row.unit == "kg" { 3 } else { 2 };
    let amount = row
        .amount
        .map(|amount| look.units.said(amount, &row.unit, decimals));
    let parts = [
        Some(row.date.to_string()),
        Some(row.event.clone()),
        amount,
        Some(row.crop.clone()),
        Some(row.bed.clone()),
        Some(row.note.clone()),
    ];
    let said = parts.into_iter().flatten();
    joined(said.filter(|part| !part.is_empty()), ", ", |part| {
        clean(&part)
    })
}

/// Every change with its reason; nothing where there was no plan to change.
pub fn replan(view: &ReplanView, look: &Look) -> String {
    if view.changes.is_empty() && view.kept == 0 {
        return String::new();
    }
    let sowings = match view.kept {
        1 => "one sowing stays".to_owned(),
        kept => format!("{kept} sowings stay"),
    };
    let changes = match view.changes.len() {
        0 => "nothing changes".to_owned(),
        1 => "one changes".to_owned(),
        changes => format!("{changes} change"),
    };
    let head = look.head(&format!("Against the plan agreed to: {sowings}, {changes}"));
    format!("{head}{}\n", draw(&tables::replan(view), look))
}

/// Rows of what needs an eye on the first screen, and pieces of work.
const FIRST_ROWS: usize = 3;
const FIRST_WORK: usize = 5;

/// Totals, what needs an eye and the next work.
pub fn review(view: &ReviewView, look: &Look) -> String {
    let mut text = look.head(&format!(
        "Plan and journal, {}, {} to {}",
        view.place, view.from, view.at
    ));
    text.push_str(&look.prose(&totals(view, look)));
    let tables = tables::review(view);
    if let Some(table) = tables.iter().find(|table| table.name == "attention") {
        let rows = first_rows(table, FIRST_ROWS, "--list attention", look);
        text.push_str(&format!(
            "{}{rows}",
            if rows.is_empty() { "" } else { "\n" }
        ));
    }
    let (overdue, ahead): (Vec<&WorkRow>, Vec<&WorkRow>) =
        view.work.iter().partition(|work| work.late_days > 0);
    for (head, work, name) in [
        ("Overdue", overdue, "overdue"),
        ("Two weeks ahead", ahead, "work"),
    ] {
        if !work.is_empty() || name == "work" {
            let work = first_work(view, &work, name, look);
            text.push_str(&format!("\n{}{work}", look.head(head)));
        }
    }
    text
}

/// The first pieces of work in a sentence, and where the others are.
fn first_work(view: &ReviewView, work: &[&WorkRow], name: &str, look: &Look) -> String {
    let said = |work: &&WorkRow| {
        let day = day_in(work.due, Some(view.at.year()));
        let expected = work.harvest_kg.map_or_else(String::new, |kg| {
            format!(", about {}", look.units.said(kg, "kg", 1))
        });
        let crop = spoken(&work.crop_name);
        let what = TaskKind::meaning(&work.task).map(|kind| kind.of(&crop));
        let what = what.unwrap_or_default();
        clean(&format!("{day} {what} ({}{expected})", work.bed))
    };
    let first = joined(work.iter().take(FIRST_WORK), "; ", said);
    look.prose(&match work.len() {
        0 => "Nothing to do.".to_owned(),
        all if all > FIRST_WORK => format!("{first}; {} more: --list {name}.", all - FIRST_WORK),
        _ => format!("{first}."),
    })
}

/// What to mind of the figures.
pub fn review_notes(view: &ReviewView, look: &Look) -> String {
    notes(&view.notes, look)
}

fn totals(view: &ReviewView, look: &Look) -> String {
    let mass = |kg: f64| look.units.said(kg, "kg", 1);
    let money = |amount: f64| format!("{} {}", fixed(amount, 0), view.currency);
    let to_date = &view.to_date;
    let share = to_date.share.map_or_else(String::new, |share| {
        format!(", of which {} is saved", percent(share, 1))
    });
    let shop = match to_date.shop {
        0.0 => String::new(),
        shop => format!(", for food in shops {}", money(shop)),
    };
    let plan = match view.plan.as_str() {
        "" => "one searched for now; the one you follow is reviewed with --plan PLAN.toml (`plan --save` writes it)".to_owned(),
        file => format!("that of {}", clean(file)),
    };
    let left_out = match view.rows_bad {
        0 => String::new(),
        1 => ", one left out".to_owned(),
        bad => format!(", {bad} left out"),
    };
    format!(
        "Picked {} of {} planned by now. Saved {} of {} planned by now; the produce budget of these days is \
         {}{share}. Paid for the garden: {}{shop}. Rows of the journal: {}{left_out}. The plan is {plan}.",
        mass(view.picked_kg),
        mass(view.planned_kg),
        money(to_date.saved),
        money(to_date.planned),
        money(to_date.budget),
        money(to_date.paid),
        view.rows_used,
    )
}
