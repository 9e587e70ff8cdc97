//! One look for all tables: a thin rule under the heads, no frames, numbers to the right.

use std::collections::BTreeSet;

use comfy_table::{
    Cell as TableCell, CellAlignment, Color, ColumnConstraint, ContentArrangement, Table,
    TableComponent, Width, presets,
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
    /// place of two, and where that is not enough, each column is as wide as its longest word at least.
    pub(super) fn render(&self, look: &Look) -> String {
        let plain = Look {
            colour: false,
            ..*look
        };
        let width = usize::from(look.columns());
        let suits = |drawn: &str| {
            let mut lines = drawn.lines();
            lines.all(|line| line.chars().count() <= width) && self.breaks_no_word(drawn)
        };
        for (between, whole_words) in [(1, false), (0, false), (0, true)] {
            let drawn = self.laid_out(&plain, between, whole_words);
            if suits(&drawn) {
                return match look.colour {
                    true => self.laid_out(look, between, whole_words),
                    false => drawn,
                };
            }
        }
        self.laid_out(look, 0, false)
    }

    /// Does every longer word of the cells stand in one piece?
    fn breaks_no_word(&self, drawn: &str) -> bool {
        /// Shorter words find room anywhere.
        const LONG: usize = 6;
        let words = self
            .rows
            .iter()
            .flatten()
            .flat_map(|(text, _)| text.split_whitespace());
        let long: BTreeSet<&str> = words.filter(|word| word.chars().count() >= LONG).collect();
        long.into_iter().all(|word| drawn.contains(word))
    }

    /// Letters of the longest word of a column, its head among them.
    fn longest_word(&self, column: usize) -> u16 {
        let cells = self.rows.iter().filter_map(|row| row.get(column));
        let texts = cells.map(|(text, _)| text).chain([&self.heads[column].0]);
        let words = texts.flat_map(|text| text.split_whitespace());
        let longest = words.map(|word| word.chars().count()).max();
        u16::try_from(longest.unwrap_or(0)).unwrap_or(u16::MAX)
    }

    /// The table with its columns so far apart; where asked for, none of them narrower than its longest word.
    fn laid_out(&self, look: &Look, between: u16, whole_words: bool) -> String {
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
                } else if whole_words {
                    // A boundary counts the gap in.
                    let least = self.longest_word(index) + gap;
                    column.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(least)));
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
