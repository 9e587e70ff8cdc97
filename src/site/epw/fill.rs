//! Short gaps in needed columns: filled and named, or refused.

use super::columns::Column;
use super::error::WeatherError;

/// Longest gap that is filled, rows in succession (own assumption: half a day's course can be guessed, not more).
pub const LONGEST_GAP_ROWS: usize = 6;

/// Gaps of one column that are named one by one; the rest is counted.
const GAPS_NAMED: usize = 5;

/// A column without gaps: short ones interpolated between their neighbours, each named in `warnings`.
///
/// # Errors
/// A longer gap, with the line of its first row; a column with no values at all is one such gap.
pub fn filled(
    file: &str,
    lines: &[usize],
    column: &Column,
    values: &[Option<f64>],
    warnings: &mut Vec<String>,
) -> Result<Vec<f64>, WeatherError> {
    let mut whole: Vec<f64> = values.iter().map(|value| value.unwrap_or(0.0)).collect();
    let mut gaps = 0;
    let mut start = 0;
    while start < values.len() {
        if values[start].is_some() {
            start += 1;
            continue;
        }
        let end = (start..values.len())
            .find(|&at| values[at].is_some())
            .unwrap_or(values.len());
        let line = lines.get(start).copied().unwrap_or(1);
        if end - start > LONGEST_GAP_ROWS {
            return Err(WeatherError::Value {
                file: file.to_owned(),
                line,
                cell: column.cell,
                wrong: format!("missing in {} rows in succession", end - start),
                right: format!(
                    "gaps of up to {LONGEST_GAP_ROWS} rows are filled; longer ones need another file"
                ),
            });
        }
        bridge(&mut whole, values, start, end);
        gaps += 1;
        if gaps <= GAPS_NAMED {
            warnings.push(format!(
                "{file}:{line}: {}: missing in {} row{}, filled between its neighbours",
                column.cell,
                end - start,
                if end - start == 1 { "" } else { "s" }
            ));
        }
        start = end;
    }
    if gaps > GAPS_NAMED {
        warnings.push(format!(
            "{file}: {}: {} further gaps filled in the same way",
            column.cell,
            gaps - GAPS_NAMED
        ));
    }
    Ok(whole)
}

/// A straight line over rows `start` to `end`; the year's ends take their one neighbour.
fn bridge(whole: &mut [f64], values: &[Option<f64>], start: usize, end: usize) {
    let before = start.checked_sub(1).and_then(|at| values[at]);
    let after = values.get(end).copied().flatten();
    let (from, to) = match (before, after) {
        (Some(from), Some(to)) => (from, to),
        (Some(one), None) | (None, Some(one)) => (one, one),
        (None, None) => return,
    };
    let steps = (end - start + 1) as f64;
    for (step, value) in whole[start..end].iter_mut().enumerate() {
        *value = from + (to - from) * (step + 1) as f64 / steps;
    }
}
