//! The whole job in one screen.

use super::Look;
use super::draw::{draw, lines};
use crate::output::answer;
use crate::output::view::ReportView;

/// Lines of a plain terminal, which the answers keep to.
const SCREEN_LINES: usize = 24;
/// Matters of which less is said where the screen is full, the first first, down to one sentence each.
const CUT_SHORT: [&str; 2] = ["Risks", "Short"];

/// What is eaten when, what falls short, what to sow, how long warm crops stay, money, risks, the coldest night.
pub fn overview(view: &ReportView, look: &Look) -> String {
    let mut said = answer::lines(view, look.units);
    let mut text = drawn(view, &said, look);
    for about in CUT_SHORT {
        let Some(at) = said.iter().position(|line| line.about == about) else {
            continue;
        };
        while said[at].said.len() > 1 && text.lines().count() > SCREEN_LINES {
            said[at].said.pop();
            text = drawn(view, &said, look);
        }
    }
    text
}

fn drawn(view: &ReportView, said: &[answer::Line], look: &Look) -> String {
    let mut text = look.head(&format!("{}, from {}", view.title, view.plan.start));
    let table = answer::eaten(view, look.units);
    text.push_str(&draw(
        &crate::output::tables::DataTable {
            title: String::new(),
            note: crate::phrase::Phrase::default(),
            ..table
        },
        look,
    ));
    text.push_str(&lines(said, look));
    text.push_str(
        &look.prose("More: overview --all; or ask climate, season, plan, value, calendar, report."),
    );
    text
}
