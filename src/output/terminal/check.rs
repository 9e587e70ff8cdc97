//! What the program understood.

use super::draw::LINES;
use super::table::{Align, Sheet};
use super::{Look, notes, topics};
use crate::output::text::{fixed, joined};
use crate::output::view::{CheckView, FactRow, Note, NoteKind};

/// What was understood, in a dozen lines, with warnings and cautions.
pub fn check(view: &CheckView, look: &Look) -> String {
    // A project without a name goes by its place.
    let mut text = match view.place.starts_with(&view.project) {
        true => look.head(&view.place),
        false => look.head(&format!("{}, {}", view.project, view.place)),
    };
    let mut sheet = Sheet::new(&[("", Align::Left), ("", Align::Left)]);
    let shown: Vec<&FactRow> = view.facts.iter().filter(|fact| !detail(fact)).collect();
    for of_one in shown.chunk_by(|a, b| a.fact == b.fact) {
        let said = joined(of_one, "; ", |fact| said(fact, look));
        sheet.row(vec![look.units.say(&of_one[0].fact), said]);
    }
    text.push_str(&sheet.render(look));
    let (cautions, mut others): (Vec<Note>, Vec<Note>) = view
        .notes
        .iter()
        .cloned()
        .partition(|note| note.kind == NoteKind::Caution);
    // What stands after the notes: cautions, what was assumed, other tables.
    const LINES_AFTER: usize = 6;
    let room = LINES.saturating_sub(text.lines().count() + LINES_AFTER);
    let all = others.len();
    let is_note = |note: &Note| note.kind == NoteKind::Note;
    // What is left out for want of room stands last.
    others.sort_by_key(is_note);
    while notes(&others, look).lines().count() > room && others.len() > 1 {
        others.pop();
    }
    text.push_str(&notes(&others, look));
    match all - others.len() {
        0 => {}
        more => text.push_str(&format!("and {more} more: --all\n")),
    }
    if !cautions.is_empty() {
        text.push_str(&look.prose(&format!(
            "\nCAUTION  {}: --list cautions says what to mind and who decides.",
            topics(&cautions, look)
        )));
    }
    text.push_str(&look.prose(&format!(
        "{} values were assumed in your name: --list assumed.\n",
        view.defaults.len()
    )));
    text
}

/// The notes behind what was understood.
pub fn check_notes(view: &CheckView, look: &Look) -> String {
    let is_caution = |note: &&Note| note.kind == NoteKind::Caution;
    notes(view.notes.iter().filter(|note| !is_caution(note)), look)
}

fn said(fact: &FactRow, look: &Look) -> String {
    let Some(amount) = fact.amount else {
        return look.units.say(&fact.unit);
    };
    let unit = fact.unit.to_string();
    let (amount, unit) = look.units.convert(amount, &unit);
    format!("{} {unit}", readable(amount)).trim().to_owned()
}

/// Figures that the totals hold already, or that only an engineer asks for.
const DETAILS: [&str; 6] = [
    "loss of",
    "loss with",
    "heat loss",
    "air change",
    "air inside",
    "light aperture",
];

fn detail(fact: &FactRow) -> bool {
    let name = fact.fact.to_string();
    fact.amount == Some(0.0) || DETAILS.iter().any(|detail| name.starts_with(detail))
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
