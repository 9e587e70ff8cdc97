//! The data rows: stamps checked, columns read, missing codes told from values.

use super::columns::{self, Column, LEAST_COLUMNS};
use super::error::WeatherError;
use super::header::{HEADER_LINES, shorten};
use crate::calendar::{DAYS_IN_MONTH, HOURS_PER_DAY, HOURS_PER_YEAR};
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
        return Err(cut_short(file, lines.len(), &rows, data.last()));
    }
    Ok(rows)
}

fn cut_short(
    file: &str,
    line_count: usize,
    rows: &Rows,
    last: Option<&(usize, &str)>,
) -> WeatherError {
    WeatherError::Line {
        file: file.to_owned(),
        line: last.map_or(line_count.max(1), |(line, _)| *line),
        wrong: format!("the file ends after {} hourly rows", rows.lines.len()),
        right: format!("a whole year has {HOURS_PER_YEAR} rows (8784 with a leap day)"),
    }
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
        let mut day = hour / HOURS_PER_DAY;
        let mut month = 0;
        while month < 11 && day >= DAYS_IN_MONTH[month] {
            day -= DAYS_IN_MONTH[month];
            month += 1;
        }
        Self {
            month: month + 1,
            day: day + 1,
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
    fn refuse_line(&self, wrong: String, right: String) -> WeatherError {
        WeatherError::Line {
            file: self.file.to_owned(),
            line: self.line,
            wrong,
            right,
        }
    }

    fn refuse(&self, column: &Column, wrong: String, right: String) -> WeatherError {
        WeatherError::Value {
            file: self.file.to_owned(),
            line: self.line,
            cell: column.cell,
            wrong,
            right,
        }
    }

    fn wide_enough(&self, last: bool) -> Result<(), WeatherError> {
        if self.fields.len() >= LEAST_COLUMNS {
            return Ok(());
        }
        let count = self.fields.len();
        Err(self.refuse_line(
            if last {
                format!("the last row has {count} columns: the file is cut short")
            } else {
                format!("the row has {count} columns")
            },
            format!("a row has 35 columns, of which the first {LEAST_COLUMNS} are needed"),
        ))
    }

    fn field(&self, column: &Column) -> &str {
        self.fields
            .get(column.cell.number - 1)
            .copied()
            .unwrap_or_default()
    }

    /// A number of the column in its range, or nothing for an empty cell or the missing code.
    fn value(&self, column: &Column) -> Result<Option<f64>, WeatherError> {
        let text = self.field(column);
        if text.is_empty() {
            return Ok(None);
        }
        let Some(value) = text.parse::<f64>().ok().filter(|value| value.is_finite()) else {
            return Err(self.refuse(
                column,
                format!("`{}` is not a number", shorten(text)),
                self.expected(column),
            ));
        };
        if value >= column.missing_from {
            return Ok(None);
        }
        if !(column.low..=column.high).contains(&value) {
            return Err(self.refuse(
                column,
                format!("{value} is out of range"),
                self.expected(column),
            ));
        }
        Ok(Some(value))
    }

    fn expected(&self, column: &Column) -> String {
        let range = format!(
            "a number from {} to {} belongs there",
            column.low, column.high
        );
        if column.missing_from.is_finite() {
            format!("{range}, or the missing code {}", column.missing_from)
        } else {
            range
        }
    }

    fn whole(&self, column: &Column) -> Result<usize, WeatherError> {
        match self.value(column)? {
            Some(value) => Ok(value.round().max(0.0) as usize),
            None => Err(self.refuse(column, "nothing there".to_owned(), self.expected(column))),
        }
    }

    fn stamp(&self) -> Result<Stamp, WeatherError> {
        Ok(Stamp {
            month: self.whole(&columns::MONTH)?,
            day: self.whole(&columns::DAY)?,
            hour: self.whole(&columns::HOUR)?,
        })
    }

    fn follows(&self, stamp: Stamp, hour: usize) -> Result<(), WeatherError> {
        if hour >= HOURS_PER_YEAR {
            return Err(self.refuse_line(
                format!("the file goes on after {HOURS_PER_YEAR} hourly rows"),
                "one year belongs in a file".to_owned(),
            ));
        }
        let due = Stamp::of_hour(hour);
        if stamp == due {
            return Ok(());
        }
        let column = if stamp.month != due.month {
            &columns::MONTH
        } else if stamp.day != due.day {
            &columns::DAY
        } else {
            &columns::HOUR
        };
        let say = |stamp: Stamp| {
            format!(
                "month {}, day {}, hour {}",
                stamp.month, stamp.day, stamp.hour
            )
        };
        Err(self.refuse(
            column,
            format!("the row is of {}", say(stamp)),
            format!(
                "the rows run by the hour from 1 January, so {} is due",
                say(due)
            ),
        ))
    }

    fn minute(&self, rows: &mut Rows) -> Result<(), WeatherError> {
        let minute = self.value(&columns::MINUTE)?.unwrap_or(0.0);
        if minute != 0.0 && minute != 60.0 && rows.odd_minute.is_none() {
            rows.odd_minute = Some((self.line, minute));
        }
        Ok(())
    }

    fn values(&self, rows: &mut Rows) -> Result<(), WeatherError> {
        rows.lines.push(self.line);
        rows.dry_bulb.push(self.value(&columns::DRY_BULB)?);
        rows.dew_point.push(self.value(&columns::DEW_POINT)?);
        rows.humidity.push(self.value(&columns::HUMIDITY)?);
        rows.pressure.push(self.value(&columns::PRESSURE)?);
        // Writers that have no such column put zeros into it; no sky on earth is that cold.
        rows.infrared.push(
            self.value(&columns::INFRARED)?
                .filter(|&value| value >= columns::LEAST_INFRARED),
        );
        rows.global.push(self.value(&columns::GLOBAL)?);
        rows.direct.push(self.value(&columns::DIRECT)?);
        rows.diffuse.push(self.value(&columns::DIFFUSE)?);
        rows.wind.push(self.value(&columns::WIND)?);
        let opaque = self.value(&columns::OPAQUE_COVER)?;
        let total = self.value(&columns::SKY_COVER)?;
        rows.cover
            .push(opaque.or(total).map(|tenths| tenths / 10.0));
        // Not needed and written carelessly by many: what is no number there counts as missing.
        rows.precipitation
            .push(self.value(&columns::PRECIPITATION).unwrap_or(None));
        rows.observed_snow.push(
            self.value(&columns::OBSERVED)
                .unwrap_or(None)
                .and_then(|_| self.observed_snow_mm()),
        );
        Ok(())
    }

    /// Snow of the hour by the digits of the present weather, mm of water; nothing where there are no such digits.
    fn observed_snow_mm(&self) -> Option<f64> {
        /// Digits in the code; leading zeros may be left out.
        const DIGITS: usize = 9;
        let text = self.fields.get(columns::PRESENT - 1)?;
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
