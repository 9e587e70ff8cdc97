//! Plain tables for people.

use maud::{Markup, html};

use crate::output::tables::DataTable;
use crate::output::units::Units;

/// A table with heads; the first column names the row, the others are numbers if `numbers` says so.
pub(super) struct Grid {
    caption: String,
    heads: Vec<String>,
    rows: Vec<Vec<String>>,
    words: Vec<usize>,
}

impl Grid {
    /// An empty table.
    pub(super) fn new(caption: &str, heads: &[&str]) -> Self {
        Grid {
            caption: caption.to_string(),
            heads: heads.iter().map(|head| head.to_string()).collect(),
            rows: Vec::new(),
            words: Vec::new(),
        }
    }

    /// Columns (from 0) that hold words and stand at the left.
    pub(super) fn words(mut self, columns: &[usize]) -> Self {
        self.words = columns.to_vec();
        self
    }

    /// One more row.
    pub(super) fn row(&mut self, cells: Vec<String>) {
        self.rows.push(cells);
    }

    /// The table; nothing at all where it has no rows.
    pub(super) fn render(&self) -> Markup {
        let class =
            |column: usize| (column > 0 && !self.words.contains(&column)).then_some("number");
        html! {
            @if !self.rows.is_empty() {
                table {
                    caption { span { (self.caption) } }
                    thead { tr {
                        @for (column, head) in self.heads.iter().enumerate() {
                            @if head.trim().is_empty() { td {} }
                            @else { th scope="col" class=[class(column)] { (head) } }
                        }
                    } }
                    tbody {
                        @for row in &self.rows {
                            tr {
                                @for (column, cell) in row.iter().enumerate() {
                                    @if column == 0 && !cell.is_empty() { th scope="row" { (cell) } }
                                    @else if self.words.contains(&column) { td { div.words { (cell) } } }
                                    @else { td.number { (cell) } }
                                }
                            }
                        }
                    }
                }
            }
        }
    }

    /// The table in a box that scrolls sideways on a narrow screen, reachable by keyboard.
    pub(super) fn scrolling(&self) -> Markup {
        html! {
            @if !self.rows.is_empty() {
                div.scroll tabindex="0" role="region" aria-label=(self.caption) { (self.render()) }
            }
        }
    }
}

/// A table of a view, with what its heads mean; nothing where it has no rows.
pub fn draw(table: &DataTable, units: Units) -> Markup {
    let said = table.said(units);
    let head = |head: &crate::output::tables::Head| match (head.words.trim(), head.unit.as_str()) {
        (words, "") => words.to_owned(),
        (words, unit) => format!("{words}, {unit}"),
    };
    let words: Vec<usize> = (0..said.heads.len())
        .filter(|at| !said.heads[*at].number)
        .collect();
    let heads: Vec<String> = said.heads.iter().map(head).collect();
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let mut grid = Grid::new(&table.title, &heads).words(&words);
    for row in said.rows {
        grid.row(row);
    }
    html! {
        @if !table.rows.is_empty() {
            (grid.scrolling())
            @if !said.note.is_empty() { p.key { (said.note) } }
            @if !said.footnotes.is_empty() { ol.key { @for note in &said.footnotes { li { (note) } } } }
        }
    }
}

/// All tables that are shown together.
pub(super) fn draw_all(tables: &[DataTable], units: Units) -> Markup {
    html! { @for table in tables.iter().filter(|table| !table.by_name) { (draw(table, units)) } }
}
