//! Draws a table of a view, and says which others there are.

use std::ops::RangeInclusive;

use super::Look;
use super::table::{Align, Sheet, headless};
use crate::output::Row;
use crate::output::tables::{DataTable, Head};

/// Longest words that are never broken, letters.
const KEY: usize = 8;
/// Longest identifiers that are not, letters.
const IDENTIFIER: usize = 26;

/// A table under its title, with what its heads mean; nothing where it has no rows.
pub fn draw(table: &DataTable, look: &Look) -> String {
    if table.rows.is_empty() {
        return String::new();
    }
    let said = table.said(look.units);
    let heads: Vec<String> = said.heads.iter().map(stacked).collect();
    let tallest = heads
        .iter()
        .map(|head| head.lines().count())
        .max()
        .unwrap_or(0);
    let mut sheet = Sheet::new(&[]);
    for (at, (head, column)) in heads.iter().zip(&said.heads).enumerate() {
        // All heads stand on the rule.
        let above = "\n".repeat(tallest.saturating_sub(head.lines().count().max(1)));
        let short = || {
            let cells = said.rows.iter().filter_map(|row| row.get(at));
            cells.map(|cell| cell.chars().count()).max().unwrap_or(0) <= KEY
        };
        // An identifier in the first column, broken, is none.
        let identifiers = || {
            let mut cells = said.rows.iter().filter_map(|row| row.get(at));
            at == 0 && cells.all(|cell| !cell.contains(' ') && cell.chars().count() <= IDENTIFIER)
        };
        let align = match column.number {
            true if column.day => Align::RightUnderLongHead,
            true => Align::Right,
            false if short() || identifiers() => Align::Key,
            false => Align::Left,
        };
        sheet.column(&format!("{above}{head}"), align);
    }
    for row in said.rows {
        sheet.row(row);
    }
    let mut text = String::new();
    if !table.title.is_empty() {
        text.push_str(&look.head(&table.title));
    }
    text.push_str(&sheet.render(look));
    if !said.note.is_empty() {
        text.push_str(&look.prose(&said.note));
    }
    if !said.footnotes.is_empty() {
        let notes = (1..).zip(said.footnotes);
        text.push_str(&pairs(
            notes.map(|(at, note)| (format!("[{at}]"), note)),
            look,
        ));
    }
    text
}

/// What is said in place of a table without rows.
pub fn nothing(table: &DataTable, look: &Look) -> String {
    let (name, why) = (table.short_name(), table.empty);
    look.prose(format!("Nothing to show in the table `{name}` here. {why}").trim())
}

/// Lines that an answer may have.
pub(super) const LINES: usize = 24;

/// As many entries as an answer has room for, drawn together, the names of the others below, and where more is said.
pub(super) fn screen<T>(
    entries: &[T],
    name: impl Fn(&T) -> &str,
    drawn: impl Fn(&[T]) -> String,
    more: &str,
    look: &Look,
) -> String {
    let text = |count: usize| {
        let others: Vec<&str> = entries[count..].iter().map(&name).collect();
        let also = match others.is_empty() {
            true => String::new(),
            false => look.prose(&format!("Also: {}.", others.join(", "))),
        };
        format!("{}{also}{}", drawn(&entries[..count]), look.prose(more))
    };
    fullest(0..=entries.len(), LINES, text).unwrap_or_else(|| text(0))
}

/// The text of the largest count that some lines hold; none where even the least does not fit.
pub(super) fn fullest(
    counts: RangeInclusive<usize>,
    room: usize,
    text: impl Fn(usize) -> String,
) -> Option<String> {
    let mut texts = counts.rev().map(text);
    texts.find(|text| text.lines().count() <= room)
}

/// A table of which no more rows are shown than an answer has room for.
pub fn fitted(table: &DataTable, look: &Look) -> String {
    fitting(
        table,
        LINES,
        &format!("--list {}", table.short_name()),
        look,
    )
}

#[cfg(feature = "frames")]
/// The designs of a sweep: what varies, the figures that most is asked of, and where the others are.
pub fn designs(answer: &DataTable, look: &Look) -> String {
    let more =
        look.prose("More: --show with other columns, --where and --by; --format csv has them all.");
    let room = LINES.saturating_sub(more.lines().count());
    fitting(answer, room, "--format csv", look) + &more
}

/// As many rows as some lines hold, and what shows the others.
pub(super) fn fitting(table: &DataTable, room: usize, all: &str, look: &Look) -> String {
    let first = |count| first_rows(table, count, all, look);
    fullest(1..=table.rows.len(), room, first).unwrap_or_default()
}

/// The first rows of a table, and how many more there are under its name.
pub(super) fn first_rows(table: &DataTable, count: usize, all: &str, look: &Look) -> String {
    let mut first = table.clone();
    first.rows.truncate(count);
    let mut text = draw(&first, look);
    let more = table.rows.len().saturating_sub(count);
    if more > 0 {
        text.push_str(&look.prose(&format!("and {more} more: {all}")));
    }
    text
}

/// A head in lines that make a narrow column: its words in two where they are several, its unit below.
fn stacked(head: &Head) -> String {
    let words = &head.words;
    let mut lines = vec![words.clone()];
    if head.number {
        let middle = words.len() / 2;
        let blanks = words.match_indices(' ').map(|(at, _)| at);
        if let Some(at) = blanks.min_by_key(|at| at.abs_diff(middle)) {
            lines = vec![words[..at].to_owned(), words[at + 1..].to_owned()];
        }
    }
    if !head.unit.is_empty() {
        lines.push(head.unit.clone());
    }
    lines.join("\n")
}

/// Any rows as a table: for verbs whose rows are all they have to say.
pub fn rows<R: Row>(rows: &[R], look: &Look) -> String {
    draw(&DataTable::of("rows", rows), look)
}

/// Which tables there are beside the answer.
pub fn more(tables: &[DataTable], look: &Look) -> String {
    let filled = || tables.iter().filter(|table| !table.rows.is_empty());
    let names: Vec<&str> = filled().map(DataTable::short_name).collect();
    if names.is_empty() {
        return String::new();
    }
    let line =
        |names: &[&str]| look.prose(&format!("More: --all, or --list {}", names.join(" | ")));
    let all = line(&names);
    if all.lines().count() == 1 {
        return all;
    }
    // What is there for machines, or comes last, is left unnamed where it would cost a line.
    let of_people = filled().filter(|table| !table.by_name);
    let mut named: Vec<&str> = of_people
        .map(DataTable::short_name)
        .chain(["..."])
        .collect();
    while line(&named).lines().count() > 1 && named.len() > 2 {
        named.remove(named.len() - 2);
    }
    line(&named)
}

/// Matters with what is said of each, in a column of their own.
pub(super) fn lines(lines: &[crate::output::answer::Line], look: &Look) -> String {
    let of_line = |line: &crate::output::answer::Line| {
        let abouts = std::iter::once(line.about.to_owned()).chain(std::iter::repeat(String::new()));
        abouts.zip(line.said.clone()).collect::<Vec<_>>()
    };
    pairs(lines.iter().flat_map(of_line), look)
}

/// Words, and what is said of each in a column of its own.
pub(super) fn pairs(rows: impl Iterator<Item = (String, String)>, look: &Look) -> String {
    let rows = rows.map(|(about, said)| vec![about, said]);
    headless(&[Align::Key, Align::Left], rows, look)
}
