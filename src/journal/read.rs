//! The journal read row by row: what can be used, and every row that cannot, by line and column.

use chrono::NaiveDate;

use super::COLUMNS;
use super::add::is_whole;
use super::entry::{Draft, Entry};
use crate::crops::Table;
use crate::plain::without_mark;
use crate::sheet::{self, Cell, DateOrder, Line};

/// What a journal's words are checked against.
#[derive(Clone, Copy, Debug)]
pub struct Known<'a> {
    /// Names of the project's beds.
    pub beds: &'a [&'a str],
    /// Crops on file.
    pub table: &'a Table,
    /// ISO 4217 code of the project's currency.
    pub currency: &'a str,
}

/// A row that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file}:{line}:{column}: {what}")]
pub struct BadRow {
    /// Name of the journal in messages.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column, in characters from 1.
    pub column: usize,
    /// What is wrong, and what would be right.
    pub what: String,
}

/// A journal.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Journal {
    /// Rows in use, by day, then by line.
    pub entries: Vec<Entry>,
    /// Rows left out, in the order of the file.
    pub bad: Vec<BadRow>,
}

impl Journal {
    /// First and last day; none in an empty journal.
    pub fn span(&self) -> Option<(NaiveDate, NaiveDate)> {
        Some((self.entries.first()?.date, self.entries.last()?.date))
    }
}

/// How a journal is laid out.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Layout {
    /// Separator of the cells.
    pub separator: char,
    /// For each of [`COLUMNS`], where it stands.
    pub places: [Option<usize>; COLUMNS.len()],
    /// Number of columns.
    pub width: usize,
    order: Option<DateOrder>,
    comma_decimal: bool,
}

/// Reads a journal; `file` is the name shown in messages.
pub fn read(file: &str, text: &str, known: &Known<'_>) -> Journal {
    let mut journal = Journal::default();
    let bad = |line: usize, (column, what): Wrong| BadRow {
        file: file.to_owned(),
        line,
        column,
        what,
    };
    match layout(text) {
        Ok((layout, rows)) => {
            for row in &rows {
                match entry(&layout, row, known) {
                    Ok(entry) => journal.entries.push(entry),
                    Err(wrong) => journal.bad.push(bad(row.number, wrong)),
                }
            }
        }
        Err((line, what)) => journal.bad.push(bad(line, (1, what))),
    }
    journal
        .entries
        .sort_by_key(|entry| (entry.date, entry.line));
    journal
}

/// Places of the columns and the rows below the heads; an empty text has the columns of a new journal.
///
/// # Errors
/// The line, and what its heads lack.
pub(super) fn layout(text: &str) -> Result<(Layout, Vec<Line>), (usize, String)> {
    let separator = sheet::separator(without_mark(text));
    let starts_row = |line: &str| {
        let first = line.split(separator).next().unwrap_or("");
        sheet::date(first.trim().trim_matches('"'), Some(DateOrder::DayFirst)).is_ok()
    };
    let mut rows = sheet::lines(text, separator, starts_row);
    let headed = rows.first().is_none_or(|first| !starts_row(first.text(0)));
    let (places, width) = match rows.first() {
        Some(first) if headed => (places(first)?, first.cells.len()),
        _ => (std::array::from_fn(Some), COLUMNS.len()),
    };
    if headed && !rows.is_empty() {
        rows.remove(0);
    }
    let texts = |column: usize| {
        let place = places[column];
        rows.iter().filter_map(move |row| Some(row.text(place?)))
    };
    let layout = Layout {
        separator,
        places,
        width,
        order: sheet::order(texts(0)),
        comma_decimal: sheet::comma_decimal(separator, texts(4)),
    };
    Ok((layout, rows))
}

fn places(heads: &Line) -> Result<[Option<usize>; COLUMNS.len()], (usize, String)> {
    let place = |name: &str| {
        let is = |cell: &Cell| {
            let head = cell.text.trim();
            head.eq_ignore_ascii_case(name)
                || (name == "note" && head.eq_ignore_ascii_case("cause"))
        };
        heads.cells.iter().position(is)
    };
    let found = COLUMNS.map(place);
    for (name, place) in COLUMNS.iter().zip(&found).take(2) {
        if place.is_none() {
            let right = COLUMNS.join(", ");
            return Err((
                heads.number,
                format!("no column `{name}`; the first line names the columns: {right}"),
            ));
        }
    }
    Ok(found)
}

type Wrong = (usize, String);

fn entry(layout: &Layout, row: &Line, known: &Known<'_>) -> Result<Entry, Wrong> {
    let end = row.cells.last().map_or(1, |cell| cell.column);
    if row.open {
        return Err((end, "a quotation mark is opened and not closed".to_owned()));
    }
    let cell = |column: usize| layout.places[column].and_then(|place| row.cells.get(place));
    let text = |column: usize| cell(column).map_or_else(String::new, |cell| cell.text.clone());
    let draft = Draft {
        date: text(0),
        event: text(1),
        bed: text(2),
        crop: text(3),
        amount: text(4),
        unit: text(5),
        note: text(6),
    };
    let mut entry = draft
        .check(known, layout.order, layout.comma_decimal)
        .map_err(|wrong| {
            let at = COLUMNS.iter().position(|name| *name == wrong.column);
            let at = at.and_then(cell).map_or(end, |cell| cell.column);
            (at, wrong.what)
        })?;
    whole(layout, row).map_err(|what| (end, what))?;
    entry.line = row.number;
    Ok(entry)
}

/// Refuses a row with more cells than heads, or one that was cut short.
fn whole(layout: &Layout, row: &Line) -> Result<(), String> {
    if let Some(cell) = row.surplus(layout.width) {
        return Err(format!(
            "`{}` stands beyond the last of {} columns; put text with a `{}` in quotation marks",
            cell.text, layout.width, layout.separator
        ));
    }
    match layout.places[COLUMNS.len() - 1].map_or("", |place| row.text(place)) {
        id if !id.is_empty() && !is_whole(id) => {
            Err(format!("the row was cut short: `{id}` is no whole id"))
        }
        _ => Ok(()),
    }
}
