//! The plan made anew from the journal, and what is otherwise than agreed.

use super::Look;
use super::table::{Align, Sheet};
use crate::output::text::{fixed, short_date};
use crate::output::view::ReplanView;

/// Every change with its reason; nothing where there was no plan to change.
pub fn replan(view: &ReplanView, look: &Look) -> String {
    let mut text = String::new();
    if view.changes.is_empty() && view.kept == 0 {
        return text;
    }
    let mut sheet = Sheet::new(&[
        ("", Align::Key),
        ("Bed", Align::Left),
        ("Crop", Align::Left),
        ("Sow", Align::Right),
        ("Why", Align::Left),
    ]);
    for row in &view.changes {
        let change = match row.later_days {
            Some(days) if days >= 0.0 => format!("{} d later", fixed(days, 0)),
            Some(days) => format!("{} d earlier", fixed(-days, 0)),
            None => row.change.clone(),
        };
        sheet.row(vec![
            change,
            row.bed.clone(),
            row.crop_name.clone(),
            short_date(row.sow),
            row.why.clone(),
        ]);
    }
    text.push_str(&format!(
        "Against the plan agreed to: {} sowings stay, {} changes\n",
        view.kept,
        view.changes.len()
    ));
    text.push_str(&sheet.render(look));
    text.push('\n');
    text
}
