//! Heads and rows of a logger's file, and what its figures are.

use super::clock::stamp;
use crate::plain;
use crate::sheet::{self, DateOrder};

/// Temperatures that a sensor in or by a greenhouse can show, °C; beyond, it is broken or out of reach.
const PLAUSIBLE_C: std::ops::RangeInclusive<f64> = -60.0..=70.0;
/// Lines in which the heads are looked for.
const HEAD_LINES: usize = 60;
/// Most rows that are read (own choice): a reading a minute for more than two years.
pub(super) const ROWS_MAX: usize = 1_200_000;
/// A mean of a record above this can only be °F, or must be asked for.
const MEAN_MAX_C: f64 = 45.0;

/// Cells of the file: heads, and rows with their lines.
pub(super) struct Cells {
    /// Names of the columns.
    pub heads: Vec<String>,
    /// Line and cells of each row.
    pub rows: Vec<(usize, Vec<String>)>,
    /// Are decimals written with a comma?
    pub comma_decimal: bool,
}

/// Heads and rows, by the separator that parts both alike.
pub(super) fn cells(text: &str) -> Option<Cells> {
    let text = plain::without_mark(text);
    [b';', b'\t', b','].into_iter().find_map(|separator| {
        // The first lines tell; a large file of something else is not read to its end.
        let first = rows(text, separator)
            .take(HEAD_LINES)
            .position(|(_, row)| row.len() > 1 && row.iter().take(3).any(|cell| is_moment(cell)))?;
        let mut rows: Vec<_> = rows(text, separator).take(first + ROWS_MAX + 1).collect();
        let width = rows[first].1.len();
        let heads = match first.checked_sub(1).and_then(|at| rows.get(at)) {
            Some((_, heads)) if heads.len() > 1 => heads.clone(),
            _ => (1..=width).map(|at| format!("column {at}")).collect(),
        };
        Some(Cells {
            heads: (0..width.max(heads.len()))
                .map(|at| {
                    heads
                        .get(at)
                        .cloned()
                        .unwrap_or_else(|| format!("column {}", at + 1))
                })
                .collect(),
            rows: rows.split_off(first),
            comma_decimal: separator != b',',
        })
    })
}

fn rows(text: &str, separator: u8) -> impl Iterator<Item = (usize, Vec<String>)> {
    csv::ReaderBuilder::new()
        .delimiter(separator)
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes())
        .into_records()
        .filter_map(Result::ok)
        .map(|record| {
            let line = record
                .position()
                .map_or(0, |position| position.line() as usize);
            (line, record.iter().map(str::to_owned).collect())
        })
}

pub(super) fn is_moment(cell: &str) -> bool {
    let written = cell.contains(['-', '/', '.', ':']) || cell.len() >= 10;
    written && stamp(cell, None, Some(DateOrder::DayFirst)).is_ok()
        || written && stamp(cell, None, Some(DateOrder::MonthFirst)).is_ok()
}

/// Is something true of most of the filled cells of a column? Not of one that is always empty.
pub(super) fn mostly(cells: &Cells, at: usize, is: impl Fn(&str) -> bool) -> bool {
    let filled: Vec<&String> = cells
        .rows
        .iter()
        .filter_map(|(_, row)| row.get(at))
        .filter(|cell| !cell.is_empty())
        .collect();
    2 * filled.iter().filter(|cell| is(cell)).count() > filled.len()
}

/// The scale that a head names: true for °F.
pub(super) fn scale(head: &str) -> Option<bool> {
    let lower = head.to_lowercase();
    let alone = |letter: &str| {
        lower
            .split(|c: char| !(c.is_alphanumeric() || c == '°'))
            .any(|piece| piece == letter)
    };
    if lower.contains("fahrenheit") || lower.contains("°f") || alone("f") || alone("degf") {
        Some(true)
    } else if lower.contains("celsius") || lower.contains("°c") || alone("c") || alone("degc") {
        Some(false)
    } else {
        None
    }
}

pub(super) fn guess_scale(cells: &Cells, air: usize) -> Result<bool, String> {
    let numbers: Vec<f64> = cells
        .rows
        .iter()
        .filter_map(|(_, row)| sheet::number(row.get(air)?, cells.comma_decimal).ok())
        .collect();
    let mean = numbers.iter().sum::<f64>() / numbers.len().max(1) as f64;
    if mean > MEAN_MAX_C {
        return Err(format!(
            "`{}` has a mean of {mean:.0}: are these °F? say --scale f or --scale c",
            cells.heads[air]
        ));
    }
    Ok(false)
}

pub(super) fn celsius(cell: &str, comma_decimal: bool, fahrenheit: bool) -> Result<f64, String> {
    const FREEZING_F: f64 = 32.0;
    const F_PER_K: f64 = 1.8;
    let number = sheet::number(cell, comma_decimal).map_err(|error| error.to_string())?;
    let value = if fahrenheit {
        (number - FREEZING_F) / F_PER_K
    } else {
        number
    };
    if PLAUSIBLE_C.contains(&value) {
        Ok(value)
    } else {
        Err(format!("{cell} is no temperature of a greenhouse"))
    }
}

/// Sunlight on the level, W/m2, 0 or more.
pub(super) fn sunlight(cell: &str, comma_decimal: bool) -> Result<f64, String> {
    /// What a sensor shows in the dark, and at the edge of a bright cloud, at most (own choice).
    const PLAUSIBLE_W_M2: std::ops::RangeInclusive<f64> = -30.0..=1600.0;
    let value = sheet::number(cell, comma_decimal).map_err(|error| error.to_string())?;
    if PLAUSIBLE_W_M2.contains(&value) {
        Ok(value.max(0.0))
    } else {
        Err(format!("{cell} is no sunlight in W/m2"))
    }
}
