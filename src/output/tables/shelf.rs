//! What is on the shelf, as tables.

use super::DataTable;
use crate::output::view::{CropFigureRow, ShelfView};

/// Sections of a crop file with figures, in their order.
const SECTIONS: [&str; 17] = [
    "cold",
    "temperature",
    "growth",
    "organ",
    "emergence",
    "planting",
    "root_zone",
    "time",
    "light",
    "bolting",
    "bulbing",
    "fruit_set",
    "yield",
    "spacing",
    "water",
    "keeping",
    "rotation",
];

/// The figures of a crop with their sources: all for machines, and by section.
pub fn crop(view: &ShelfView<CropFigureRow>) -> Vec<DataTable> {
    let of_section = |section: &&'static str| {
        let is = |row: &&CropFigureRow| row.figure.split('.').next() == Some(section);
        let rows: Vec<CropFigureRow> = view.rows.iter().filter(is).cloned().collect();
        DataTable::of(section, &rows)
    };
    let sections = SECTIONS.iter().map(of_section);
    std::iter::once(DataTable::of("figures", &view.rows).by_name())
        .chain(sections)
        .filter(|table| !table.rows.is_empty())
        .collect()
}
