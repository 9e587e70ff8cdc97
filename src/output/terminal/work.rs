//! The work by week, and the seed to order.

use chrono::Datelike;

use super::Look;
use super::table::{Align, Sheet};
use crate::output::tasks::{Task, seed_order, tasks};
use crate::output::text::fixed;
use crate::output::view::PlanView;

/// The work list: every task of the plan with a box to tick, an empty line after each week.
pub fn work_list(view: &PlanView, look: &Look) -> String {
    let tasks = tasks(view);
    let mut sheet = Sheet::new(&[
        ("Day", Align::Right),
        ("", Align::Key),
        ("Task", Align::Left),
        ("Crop", Align::Left),
        ("Bed", Align::Left),
        ("Amount", Align::Left),
    ]);
    for (number, week) in tasks.chunk_by(same_week).enumerate() {
        if number > 0 {
            sheet.row(vec![" ".to_string()]);
        }
        for task in week {
            sheet.row(cells(task, look));
        }
    }
    let circle = if view.repeats {
        look.prose(CIRCLE)
    } else {
        String::new()
    };
    format!(
        "{}{}{}",
        look.head(&format!("Work by week, {}", view.project)),
        sheet.render(look),
        circle
    )
}

/// Where the first weeks' harvest is.
const CIRCLE: &str = "\nEvery year is planned alike: what is picked in the first months was sown before the list begins, and its \
                      pickings stand at the end of the list, a year later.\n\n";

/// Weeks begin on Monday (ISO 8601).
fn same_week(a: &Task, b: &Task) -> bool {
    a.row.date.iso_week() == b.row.date.iso_week()
}

fn cells(task: &Task, look: &Look) -> Vec<String> {
    let row = &task.row;
    let mut amount = row.amount_words(look.units);
    if !row.note.is_empty() {
        amount = format!("{amount}, {}", row.note);
    }
    vec![
        row.date.format("%a %Y-%m-%d").to_string(),
        "[ ]".to_string(),
        row.task.clone(),
        row.crop_name.clone(),
        row.bed.clone(),
        amount,
    ]
}

/// Seed to order, earliest need first.
pub fn seeds(view: &PlanView, look: &Look) -> String {
    let area = format!("Area {}", look.units.area_unit());
    let mut sheet = Sheet::new(&[
        ("Crop", Align::Left),
        ("Sowings", Align::Right),
        (area.as_str(), Align::Right),
        ("Seeds", Align::Right),
        ("Needed by", Align::Right),
    ]);
    for order in seed_order(view) {
        sheet.row(vec![
            order.crop_name.clone(),
            order.sowings.to_string(),
            fixed(look.units.area(order.area_m2), 1),
            order
                .seeds
                .map(|seeds| fixed(seeds.ceil(), 0))
                .unwrap_or_default(),
            order.needed_by.to_string(),
        ]);
    }
    format!("{}{}", look.head("Seed to order"), sheet.render(look))
}
