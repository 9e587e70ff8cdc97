//! The plan made anew from the journal, and what is otherwise than agreed.

use super::{Look, draw};
use crate::output::tables;
use crate::output::view::ReplanView;

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
