//! What the program understood.

use super::table::{Align, Sheet};
use super::{Look, notes};
use crate::output::text::fixed;
use crate::output::view::{CheckView, FactRow, Note, NoteKind};

/// What was understood, in a dozen lines, with warnings and cautions.
pub fn check(view: &CheckView, look: &Look) -> String {
    let mut text = look.head(&format!("{}, {}", view.project, view.place));
    let mut sheet = Sheet::new(&[("", Align::Left), ("", Align::Left)]);
    for fact in view.facts.iter().filter(|fact| !detail(fact)) {
        let name = look.units.say(&fact.fact);
        let said = match fact.amount {
            Some(amount) => {
                let unit = fact.unit.to_string();
                let (amount, unit) = look.units.convert(amount, &unit);
                format!("{} {unit}", readable(amount))
            }
            None => look.units.say(&fact.unit),
        };
        sheet.row(vec![name, said.trim().to_owned()]);
    }
    text.push_str(&sheet.render(look));
    let (cautions, others): (Vec<Note>, Vec<Note>) = view
        .notes
        .iter()
        .cloned()
        .partition(|note| note.kind == NoteKind::Caution);
    text.push_str(&notes(&others, look));
    let topics: Vec<String> = cautions
        .iter()
        .map(|note| look.units.say(&note.text))
        .map(|text| text.split(':').next().unwrap_or_default().to_owned())
        .collect();
    if !topics.is_empty() {
        text.push_str(&look.prose(&format!(
            "\nCAUTION  {}: --list cautions says what to mind and who decides.",
            topics.join("; ")
        )));
    }
    text.push_str(&look.prose(&format!(
        "{} values were assumed in your name: --list assumed.\n",
        view.defaults.len()
    )));
    text
}

/// A figure that the totals hold already.
fn detail(fact: &FactRow) -> bool {
    fact.fact.to_string().starts_with("loss of")
}

/// Small figures with more decimals than large ones.
fn readable(value: f64) -> String {
    let decimals = match value.abs() {
        size if size >= 100.0 => 0,
        size if size >= 10.0 => 1,
        _ => 2,
    };
    fixed(value, decimals)
}
