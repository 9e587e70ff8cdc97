//! What is on the shelf, as tables.

use super::{DataTable, names};
use crate::output::view::{CropFigureRow, ShelfView};

/// The figures of a crop with their sources: all for machines, and by section.
pub fn crop(view: &ShelfView<CropFigureRow>) -> Vec<DataTable> {
    let of_section = |section: &'static str| {
        let is = |row: &&CropFigureRow| row.figure.split('.').next() == Some(section);
        let rows: Vec<CropFigureRow> = view.rows.iter().filter(is).cloned().collect();
        DataTable::of(section, &rows)
    };
    let sections = names::CROP.split_whitespace().skip(1).map(of_section);
    std::iter::once(DataTable::of("figures", &view.rows).by_name())
        .chain(sections)
        .filter(|table| !table.rows.is_empty())
        .collect()
}
