//! The data rows: stamps checked, columns read, missing codes told from values, short gaps filled.

use super::cells::{self, Cell, Column, LEAST_COLUMNS, WeatherError};
use super::header::{HEADER_LINES, shorten};
use crate::calendar::{HOURS_PER_DAY, HOURS_PER_YEAR, MONTH_START_DAY, month_of_hour};
use crate::site::snow;

/// Columns of the file in hours of the model year; nothing where the file has a missing code.
#[derive(Clone, Debug, Default)]
pub struct Rows {
    /// Line of each hour, from 1.
    pub lines: Vec<usize>,
    pub dry_bulb: Vec<Option<f64>>,
    pub dew_point: Vec<Option<f64>>,
    pub humidity: Vec<Option<f64>>,
    pub pressure: Vec<Option<f64>>,
    pub infrared: Vec<Option<f64>>,
    pub global: Vec<Option<f64>>,
    pub direct: Vec<Option<f64>>,
    pub diffuse: Vec<Option<f64>>,
    pub wind: Vec<Option<f64>>,
    pub cover: Vec<Option<f64>>,
    /// Precipitation, mm.
    pub precipitation: Vec<Option<f64>>,
    /// Snow by the code of the weather observed, mm of water.
    pub observed_snow: Vec<Option<f64>>,
    /// Whether a leap day was left out.
    pub leap_day_dropped: bool,
    /// A minute other than 0 or 60, with its line.
    pub odd_minute: Option<(usize, f64)>,
}

/// Reads the rows after the header.
pub fn read_rows(file: &str, lines: &[&str]) -> Result<Rows, WeatherError> {
    let mut rows = Rows::default();
    let data: Vec<(usize, &str)> = lines
        .iter()
        .enumerate()
        .skip(HEADER_LINES)
        .filter(|(_, line)| !line.trim().is_empty())
        .map(|(index, line)| (index + 1, *line))
        .collect();
    for (at, &(line, text)) in data.iter().enumerate() {
        let row = Row {
            file,
            line,
            fields: text.split(',').map(str::trim).collect(),
        };
        row.wide_enough(at + 1 == data.len())?;
        let stamp = row.stamp()?;
        if stamp.is_leap_day() {
            rows.leap_day_dropped = true;
            continue;
        }
        row.follows(stamp, rows.lines.len())?;
        row.minute(&mut rows)?;
        row.values(&mut rows)?;
    }
    if rows.lines.len() < HOURS_PER_YEAR {
        let last = data.last().map_or(lines.len().max(1), |(line, _)| *line);
        let wrong = format!("the file ends after {} hourly rows", rows.lines.len());
        let right = format!("a whole year has {HOURS_PER_YEAR} rows (8784 with a leap day)");
        return Err(WeatherError::of_line(file, last, wrong, right));
    }
    Ok(rows)
}

/// Month and day as in the file, hour from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Stamp {
    month: usize,
    day: usize,
    hour: usize,
}

impl Stamp {
    fn is_leap_day(self) -> bool {
        self.month == 2 && self.day == 29
    }

    /// The stamp of an hour of the model year.
    fn of_hour(hour: usize) -> Self {
        let month = month_of_hour(hour);
        Self {
            month: month + 1,
            day: hour / HOURS_PER_DAY - MONTH_START_DAY[month] + 1,
            hour: hour % HOURS_PER_DAY + 1,
        }
    }
}

struct Row<'a> {
    file: &'a str,
    line: usize,
    fields: Vec<&'a str>,
}

impl Row<'_> {
    fn refuse(&self, cell: Option<Cell>, wrong: String, right: String) -> WeatherError {
        WeatherError {
            cell,
            ..WeatherError::of_line(self.file, self.line, wrong, right)
        }
    }

    /// A value that does not belong in its column.
    fn refuse_value(&self, column: &Column, wrong: String) -> WeatherError {
        let mut right = format!(
            "a number from {} to {} belongs there",
            column.low, column.high
        );
        if column.missing_from.is_finite() {
            right += &format!(", or the missing code {}", column.missing_from);
        }
        self.refuse(Some(column.cell), wrong, right)
    }

    fn wide_enough(&self, last: bool) -> Result<(), WeatherError> {
        if self.fields.len() >= LEAST_COLUMNS {
            return Ok(());
        }
        let count = self.fields.len();
        let wrong = if last {
            format!("the last row has {count} columns: the file is cut short")
        } else {
            format!("the row has {count} columns")
        };
        let right = format!("a row has 35 columns, of which the first {LEAST_COLUMNS} are needed");
        Err(self.refuse(None, wrong, right))
    }

    /// A number of the column in its range, or nothing for an empty cell or the missing code.
    fn value(&self, column: &Column) -> Result<Option<f64>, WeatherError> {
        let text = self.fields.get(column.cell.number - 1).copied();
        let text = text.unwrap_or_default();
        if text.is_empty() {
            return Ok(None);
        }
        let Some(value) = text.parse::<f64>().ok().filter(|value| value.is_finite()) else {
            return Err(self.refuse_value(column, format!("`{}` is not a number", shorten(text))));
        };
        if value >= column.missing_from {
            return Ok(None);
        }
        if !(column.low..=column.high).contains(&value) {
            return Err(self.refuse_value(column, format!("{value} is out of range")));
        }
        Ok(Some(value))
    }

    fn whole(&self, column: &Column) -> Result<usize, WeatherError> {
        match self.value(column)? {
            Some(value) => Ok(value.round().max(0.0) as usize),
            None => Err(self.refuse_value(column, "nothing there".to_owned())),
        }
    }

    fn stamp(&self) -> Result<Stamp, WeatherError> {
        Ok(Stamp {
            month: self.whole(&cells::MONTH)?,
            day: self.whole(&cells::DAY)?,
            hour: self.whole(&cells::HOUR)?,
        })
    }

    fn follows(&self, stamp: Stamp, hour: usize) -> Result<(), WeatherError> {
        if hour >= HOURS_PER_YEAR {
            let wrong = format!("the file goes on after {HOURS_PER_YEAR} hourly rows");
            return Err(self.refuse(None, wrong, "one year belongs in a file".to_owned()));
        }
        let due = Stamp::of_hour(hour);
        if stamp == due {
            return Ok(());
        }
        let column = if stamp.month != due.month {
            cells::MONTH
        } else if stamp.day != due.day {
            cells::DAY
        } else {
            cells::HOUR
        };
        let say = |Stamp { month, day, hour }| format!("month {month}, day {day}, hour {hour}");
        let wrong = format!("the row is of {}", say(stamp));
        let due = say(due);
        let right = format!("the rows run by the hour from 1 January, so {due} is due");
        Err(self.refuse(Some(column.cell), wrong, right))
    }

    fn minute(&self, rows: &mut Rows) -> Result<(), WeatherError> {
        let minute = self.value(&cells::MINUTE)?.unwrap_or(0.0);
        if minute != 0.0 && minute != 60.0 && rows.odd_minute.is_none() {
            rows.odd_minute = Some((self.line, minute));
        }
        Ok(())
    }

    fn values(&self, rows: &mut Rows) -> Result<(), WeatherError> {
        rows.lines.push(self.line);
        rows.dry_bulb.push(self.value(&cells::DRY_BULB)?);
        rows.dew_point.push(self.value(&cells::DEW_POINT)?);
        rows.humidity.push(self.value(&cells::HUMIDITY)?);
        rows.pressure.push(self.value(&cells::PRESSURE)?);
        // Writers that have no such column put zeros into it; no sky on earth is that cold.
        rows.infrared.push(
            self.value(&cells::INFRARED)?
                .filter(|&value| value >= cells::LEAST_INFRARED),
        );
        rows.global.push(self.value(&cells::GLOBAL)?);
        rows.direct.push(self.value(&cells::DIRECT)?);
        rows.diffuse.push(self.value(&cells::DIFFUSE)?);
        rows.wind.push(self.value(&cells::WIND)?);
        let opaque = self.value(&cells::OPAQUE_COVER)?;
        let total = self.value(&cells::SKY_COVER)?;
        rows.cover
            .push(opaque.or(total).map(|tenths| tenths / 10.0));
        // Not needed and written carelessly by many: what is no number there counts as missing.
        rows.precipitation
            .push(self.value(&cells::PRECIPITATION).unwrap_or(None));
        rows.observed_snow.push(
            self.value(&cells::OBSERVED)
                .unwrap_or(None)
                .and_then(|_| self.observed_snow_mm()),
        );
        Ok(())
    }

    /// Snow of the hour by the digits of the present weather, mm of water; nothing where there are no such digits.
    fn observed_snow_mm(&self) -> Option<f64> {
        /// Digits in the code; leading zeros may be left out.
        const DIGITS: usize = 9;
        let text = self.fields.get(cells::PRESENT - 1)?;
        let code: u32 = text.parse().ok()?;
        let digits = format!("{code:0DIGITS$}").into_bytes();
        let (snow, showers) = (digits.get(3)? - b'0', digits.get(4)? - b'0');
        // Light, moderate, heavy in turn; 6 to 8 are ice crystals, 9 is none.
        let kind = [snow, showers]
            .into_iter()
            .filter(|digit| *digit < 6)
            .map(|digit| digit % 3)
            .max();
        Some(kind.map_or(0.0, |kind| snow::OBSERVED_MM_H[usize::from(kind)]))
    }
}

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
            let wrong = format!("missing in {} rows in succession", end - start);
            let right = format!(
                "gaps of up to {LONGEST_GAP_ROWS} rows are filled; longer ones need another file"
            );
            return Err(WeatherError {
                cell: Some(column.cell),
                ..WeatherError::of_line(file, line, wrong, right)
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
