//! The plan made anew from the journal, and what is otherwise than agreed.

use super::table::{Align, Sheet};
use super::{Look, plan};
use crate::output::text::{fixed, short_date};
use crate::output::view::ReplanView;

/// The plan, then every change with its reason.
pub fn replan(view: &ReplanView, look: &Look) -> String {
    let mut text = plan(&view.plan, look);
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
        "\nAgainst the plan agreed to: {} sowings stay, {} changes\n",
        view.kept,
        view.changes.len()
    ));
    text.push_str(&sheet.render(look));
    text
}
