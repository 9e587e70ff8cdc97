//! One look for all tables: a thin rule under the heads, no frames, numbers to the right.

use std::collections::BTreeSet;

use comfy_table::{
    Cell as TableCell, CellAlignment, Color, ColumnConstraint, ContentArrangement, Table,
    TableComponent, presets,
};

use super::Look;
use crate::output::text::{clean, joined};

/// Where the cells of a column stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Align {
    /// Words.
    Left,
    /// A short word that is never broken.
    Key,
    /// Numbers and dates, never broken over two lines.
    Right,
    /// Numbers under a head that may be long and break.
    RightUnderLongHead,
}

/// Colour of a cell, always besides its words.
pub(super) type Tint = Option<Color>;

/// A table being filled.
pub(super) struct Sheet {
    heads: Vec<(String, Align)>,
    rows: Vec<Vec<(String, Tint)>>,
}

impl Sheet {
    /// An empty table; a head may have several lines. Without any head the rule is left out too.
    pub(super) fn new(heads: &[(&str, Align)]) -> Self {
        let heads = heads
            .iter()
            .map(|(head, align)| (head.to_string(), *align))
            .collect();
        Sheet {
            heads,
            rows: Vec::new(),
        }
    }

    /// One more row.
    pub(super) fn row(&mut self, cells: Vec<String>) {
        self.tinted(cells.into_iter().map(|cell| (cell, None)).collect());
    }

    /// One more row, with colours.
    pub(super) fn tinted(&mut self, cells: Vec<(String, Tint)>) {
        let cleaned = cells.into_iter().map(|(text, tint)| (clean(&text), tint));
        self.rows.push(cleaned.collect());
    }

    /// One more column.
    pub(super) fn column(&mut self, head: &str, align: Align) {
        self.heads
            .push((joined(head.split('\n'), "\n", clean), align));
    }

    /// The table as text, with a line end; where words would be broken, or lines run over the width, columns stand one blank apart in
    /// place of two.
    pub(super) fn render(&self, look: &Look) -> String {
        let plain = Look {
            colour: false,
            ..*look
        };
        let wide = self.laid_out(&plain, 1);
        let width = usize::from(look.columns());
        let fits = wide.lines().all(|line| line.chars().count() <= width);
        match fits && self.breaks_no_word(&wide) {
            true if !look.colour => wide,
            true => self.laid_out(look, 1),
            false => self.laid_out(look, 0),
        }
    }

    /// Does every longer word of the cells stand in one piece?
    fn breaks_no_word(&self, drawn: &str) -> bool {
        /// Shorter words find room anywhere.
        const LONG: usize = 9;
        let words = self
            .rows
            .iter()
            .flatten()
            .flat_map(|(text, _)| text.split_whitespace());
        let long: BTreeSet<&str> = words.filter(|word| word.chars().count() >= LONG).collect();
        long.into_iter().all(|word| drawn.contains(word))
    }

    fn laid_out(&self, look: &Look, between: u16) -> String {
        let mut table = Table::new();
        self.draw_lines(&mut table);
        table.set_content_arrangement(ContentArrangement::Dynamic);
        table.set_width(look.columns());
        if look.colour {
            table.enforce_styling();
        } else {
            table.force_no_tty();
        }
        if self.has_heads() {
            let heads = self
                .heads
                .iter()
                .map(|(head, align)| TableCell::new(head).set_alignment(alignment(*align)));
            table.set_header(heads);
        }
        for row in &self.rows {
            let aligns = self.heads.iter().map(|(_, align)| *align);
            let cells = row.iter().zip(aligns).map(|((text, tint), align)| {
                let cell = TableCell::new(text).set_alignment(alignment(align));
                match tint {
                    Some(colour) => cell.fg(*colour),
                    None => cell,
                }
            });
            table.add_row(cells);
        }
        let aligns = self.heads.iter().map(|(_, align)| *align);
        let last = self.heads.len().saturating_sub(1);
        for (index, align) in aligns.enumerate() {
            if let Some(column) = table.column_mut(index) {
                let gap = if index == last { 0 } else { between };
                column.set_padding((0, gap));
                if matches!(align, Align::Right | Align::Key) {
                    column.set_constraint(ColumnConstraint::ContentWidth);
                }
            }
        }
        format!("{}\n", table.trim_fmt())
    }

    pub(super) fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    fn has_heads(&self) -> bool {
        self.heads.iter().any(|(head, _)| !head.is_empty())
    }

    /// Columns parted by a blank; a rule under the heads.
    fn draw_lines(&self, table: &mut Table) {
        table.load_preset(presets::NOTHING);
        table.set_style(TableComponent::VerticalLines, ' ');
        if self.has_heads() {
            table.set_style(TableComponent::HeaderLines, '─');
            table.set_style(TableComponent::MiddleHeaderIntersections, '─');
        }
    }
}

/// Rows of cells in columns without heads.
pub(super) fn headless(
    aligns: &[Align],
    rows: impl IntoIterator<Item = Vec<String>>,
    look: &Look,
) -> String {
    let heads: Vec<(&str, Align)> = aligns.iter().map(|align| ("", *align)).collect();
    let mut sheet = Sheet::new(&heads);
    rows.into_iter().for_each(|row| sheet.row(row));
    sheet.render(look)
}

fn alignment(align: Align) -> CellAlignment {
    match align {
        Align::Left | Align::Key => CellAlignment::Left,
        Align::Right | Align::RightUnderLongHead => CellAlignment::Right,
    }
}
