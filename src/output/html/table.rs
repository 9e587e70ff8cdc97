//! Plain tables for people.

use maud::{Markup, html};

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
                            th scope="col" class=[class(column)] { (head) }
                        }
                    } }
                    tbody {
                        @for row in &self.rows {
                            tr {
                                @for (column, cell) in row.iter().enumerate() {
                                    @if column == 0 { th scope="row" { (cell) } }
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
