//! A plan changed by hand against what it was.

use super::Look;
use super::plan::gap_table;
use super::table::{Align, Sheet};
use crate::output::text::{clean, fixed};
use crate::output::view::{ChangeRow, PlanCheckView};

/// Changes smaller than this are not listed, kg or money.
const SHOWN_FROM: f64 = 0.005;

/// What a change by hand does to food, money and rules.
pub fn plan_check(view: &PlanCheckView, look: &Look) -> String {
    let mut text = look.head(&format!("The plan against what it was, {}", view.project));
    text.push_str(&changes(view, look));
    let [low, median, high] = [
        view.replayed_value.p10,
        view.replayed_value.p50,
        view.replayed_value.p90,
    ]
    .map(|value| fixed(value, 0));
    text.push_str(&look.prose(&format!(
        "Over the simulated years: {median} {} in the middle year, {low} to {high} in eight of ten.\n",
        clean(&view.currency)
    )));
    text.push_str(&list(
        "Rules broken",
        &view.broken,
        "No rule is broken.",
        look,
    ));
    text.push_str(&list(
        "Sowings that come through too seldom",
        &view.doubtful,
        "Every sowing comes through in four years of five or more.",
        look,
    ));
    text.push_str(&gap_table(&view.gaps, look));
    text
}

fn changes(view: &PlanCheckView, look: &Look) -> String {
    let mut sheet = Sheet::new(&[
        ("", Align::Left),
        ("Before", Align::Right),
        ("Now", Align::Right),
        ("Change", Align::Right),
        ("", Align::Left),
    ]);
    let money = |row: &&ChangeRow| row.unit != "kg";
    let moved = |row: &&ChangeRow| row.change.is_none_or(|change| change.abs() >= SHOWN_FROM);
    let shown = view.changes.iter().filter(|row| money(row) || moved(row));
    for row in shown {
        let kilograms = row.unit == "kg";
        let amount = |value: f64| {
            if kilograms {
                fixed(look.units.mass(value), 2)
            } else {
                fixed(value, 2)
            }
        };
        let unit = if kilograms {
            look.units.mass_unit().to_owned()
        } else {
            clean(&row.unit)
        };
        let signed = |change: f64| {
            let sign = if change > 0.0 { "+" } else { "" };
            format!("{sign}{}", amount(change))
        };
        sheet.row(vec![
            clean(&row.what),
            row.before.map(amount).unwrap_or_default(),
            amount(row.after),
            row.change.map(signed).unwrap_or_default(),
            unit,
        ]);
    }
    sheet.render(look)
}

fn list(head: &str, lines: &[String], none: &str, look: &Look) -> String {
    if lines.is_empty() {
        return format!("\n{none}\n");
    }
    let rows: Vec<String> = lines
        .iter()
        .map(|line| format!("- {}", clean(line)))
        .collect();
    format!("\n{head}\n{}", look.prose(&rows.join("\n")))
}
