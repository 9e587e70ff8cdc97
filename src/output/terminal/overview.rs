//! The whole job in one screen.

use super::Look;
use super::draw::{draw, lines};
use crate::output::answer;
use crate::output::view::ReportView;

/// What is eaten when, what falls short, what to sow, how long warm crops stay, money, risks, the coldest night.
pub fn overview(view: &ReportView, look: &Look) -> String {
    let mut text = look.head(&format!("{}, from {}", view.title, view.plan.start));
    let table = answer::eaten(view, look.units);
    text.push_str(&draw(
        &crate::output::tables::DataTable {
            title: String::new(),
            note: String::new(),
            ..table
        },
        look,
    ));
    text.push_str(&lines(&answer::lines(view, look.units), look));
    text.push_str(&look.prose(
        "Eaten: in place of buying; below it how far each target is met.\n\
         More: overview --all; or ask climate, season, plan, value, calendar, report.",
    ));
    text
}
