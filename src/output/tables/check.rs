//! What was understood of a project, as tables.

use super::DataTable;
use crate::output::row::{Cell, Kind};
use crate::output::view::{CheckView, Note, NoteKind};

/// Facts, what was assumed, cautions.
pub fn check(view: &CheckView) -> Vec<DataTable> {
    vec![
        DataTable::of("facts", &view.facts).titled("Areas and losses"),
        DataTable::of("assumed", &view.defaults)
            .titled("Assumed, as the file does not say (write the key to override it)"),
        caution_table(&view.notes),
    ]
}

/// What to mind, and who decides.
pub(super) fn caution_table(notes: &[Note]) -> DataTable {
    let caution = |note: &Note| {
        vec![
            Cell::Said(note.text.clone()),
            Cell::Text(note.source.clone()),
        ]
    };
    let cautions = notes.iter().filter(|note| note.kind == NoteKind::Caution);
    let columns = [
        ("caution", "Caution", Kind::Text),
        ("decides", "Who decides", Kind::Text),
    ];
    DataTable::plain("cautions", &columns, cautions.map(caution).collect()).titled("Cautions")
}
