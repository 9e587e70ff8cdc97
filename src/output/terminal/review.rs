//! The plan against what was done.

use super::draw::first_rows;
use super::{Look, notes};
use crate::output::tables;
use crate::output::text::{fixed, percent};
use crate::output::view::ReviewView;

/// Rows of what needs an eye, and of the work ahead, on the first screen.
const FIRST_ROWS: usize = 4;

/// Totals, what needs an eye and the next work.
pub fn review(view: &ReviewView, look: &Look) -> String {
    let mut text = look.head(&format!(
        "Plan and journal, {}, {} to {}",
        view.place, view.from, view.at
    ));
    text.push_str(&look.prose(&totals(view, look)));
    let tables = tables::review(view);
    for name in ["attention", "work"] {
        if let Some(table) = tables.iter().find(|table| table.name == name) {
            let all = format!("--list {}", table.short_name());
            let rows = first_rows(table, FIRST_ROWS, &all, look);
            text.push_str(&format!(
                "{}{rows}",
                if rows.is_empty() { "" } else { "\n" }
            ));
        }
    }
    if view.work.is_empty() {
        text.push_str("Nothing to do in the two weeks ahead.\n");
    }
    text
}

/// What to mind of the figures.
pub fn review_notes(view: &ReviewView, look: &Look) -> String {
    notes(&view.notes, look)
}

fn totals(view: &ReviewView, look: &Look) -> String {
    let mass = |kg: f64| {
        format!(
            "{} {}",
            fixed(look.units.mass(kg), 1),
            look.units.mass_unit()
        )
    };
    let money = |amount: f64| format!("{} {}", fixed(amount, 0), view.currency);
    let to_date = &view.to_date;
    let share = to_date.share.map_or_else(String::new, |share| {
        format!(", of which {} is saved", percent(share, 1))
    });
    let shop = match to_date.shop {
        0.0 => String::new(),
        shop => format!(", for food in shops {}", money(shop)),
    };
    let left_out = match view.rows_bad {
        0 => String::new(),
        1 => ", one left out".to_owned(),
        bad => format!(", {bad} left out"),
    };
    format!(
        "Picked {} of {} planned by now. Saved {} of {} planned by now; the produce budget of these days is \
         {}{share}. Paid for the garden: {}{shop}. Rows of the journal: {}{left_out}.",
        mass(view.picked_kg),
        mass(view.planned_kg),
        money(to_date.saved),
        money(to_date.planned),
        money(to_date.budget),
        money(to_date.paid),
        view.rows_used,
    )
}
