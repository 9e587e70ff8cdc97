//! Dates as several countries write them.

use chrono::NaiveDate;

/// In which order a file writes day, month and year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
// What stands first is what tells the orders apart.
#[allow(clippy::enum_variant_names)]
pub enum DateOrder {
    /// `2027-03-31`.
    YearFirst,
    /// `31.03.2027` or `31/3/2027`.
    DayFirst,
    /// `3/31/2027`.
    MonthFirst,
}

/// Why a cell is no date.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum DateError {
    /// No date at all.
    #[error("`{0}` is not a date; write it as 2027-03-31")]
    NoDate(String),
    /// Day and month could be either way round.
    #[error("`{0}` can be two days: month first or day first? write it as {1}, or as {2}")]
    TwoMeanings(String, NaiveDate, NaiveDate),
}

/// Year, month and day as numbers, in the order written, with the mark between them.
fn parts(text: &str) -> Option<([u32; 3], char)> {
    let text = text.trim();
    let mark = text.chars().find(|c| !c.is_ascii_digit())?;
    if !matches!(mark, '-' | '/' | '.') {
        return None;
    }
    let mut numbers = text.split(mark);
    let mut next = || {
        let piece = numbers.next()?.trim();
        let figures = (1..=4).contains(&piece.len()) && piece.bytes().all(|b| b.is_ascii_digit());
        if figures { piece.parse().ok() } else { None }
    };
    let found = [next()?, next()?, next()?];
    numbers.next().is_none().then_some((found, mark))
}

/// Numbers from here on are years, not days.
const YEAR_FROM: u32 = 1000;
/// Months in a year.
const MONTHS: u32 = 12;

/// What one date alone says of the order of day, month and year; nothing where it fits two.
fn order_of(text: &str) -> Option<DateOrder> {
    let ([first, second, third], mark) = parts(text)?;
    if first >= YEAR_FROM {
        return Some(DateOrder::YearFirst);
    }
    if third < YEAR_FROM {
        return None;
    }
    match (first > MONTHS, second > MONTHS) {
        (true, false) => Some(DateOrder::DayFirst),
        (false, true) => Some(DateOrder::MonthFirst),
        // Points are written day first everywhere.
        (false, false) if mark == '.' => Some(DateOrder::DayFirst),
        _ => None,
    }
}

/// The order that a file's dates follow, where some of them tell and none tells otherwise.
pub fn order<'t>(dates: impl Iterator<Item = &'t str>) -> Option<DateOrder> {
    let mut found: Option<DateOrder> = None;
    for date in dates {
        match (found, order_of(date)) {
            (Some(known), Some(other)) if known != other && other != DateOrder::YearFirst => {
                if known != DateOrder::YearFirst {
                    return None;
                }
                found = Some(other);
            }
            (None, other) => found = other,
            _ => {}
        }
    }
    found
}

/// Reads a date; `order` is what the rest of the file says where the date itself leaves it open.
///
/// # Errors
/// [`DateError`] where it is none, or could be two.
pub fn date(text: &str, order: Option<DateOrder>) -> Result<NaiveDate, DateError> {
    let none = || DateError::NoDate(text.trim().to_owned());
    let ([first, second, third], _) = parts(text).ok_or_else(none)?;
    let make = |year: u32, month: u32, day: u32| {
        let year = i32::try_from(year).ok()?;
        NaiveDate::from_ymd_opt(year, month, day)
    };
    match order_of(text).or(order.filter(|_| third >= YEAR_FROM)) {
        Some(DateOrder::YearFirst) if first >= YEAR_FROM => make(first, second, third),
        Some(DateOrder::DayFirst) => make(third, second, first),
        Some(DateOrder::MonthFirst) => make(third, first, second),
        _ => match (make(third, first, second), make(third, second, first)) {
            (Some(month_first), Some(day_first)) if third >= YEAR_FROM => {
                if month_first == day_first {
                    return Ok(month_first);
                }
                let shown = text.trim().to_owned();
                return Err(DateError::TwoMeanings(shown, month_first, day_first));
            }
            _ => None,
        },
    }
    .ok_or_else(none)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn one_meaning_is_read() {
        for text in [
            "2027-03-31",
            "31.3.2027",
            "31/03/2027",
            "3/31/2027",
            "2027/3/31",
        ] {
            assert_eq!(date(text, None), Ok(day("2027-03-31")), "{text}");
        }
        assert_eq!(date("4.3.2027", None), Ok(day("2027-03-04")));
        assert_eq!(date("3/3/2027", None), Ok(day("2027-03-03")));
    }

    #[test]
    fn two_meanings_are_asked_for() {
        assert!(matches!(
            date("4/3/2027", None),
            Err(DateError::TwoMeanings(..))
        ));
        assert_eq!(
            date("4/3/2027", Some(DateOrder::DayFirst)),
            Ok(day("2027-03-04"))
        );
        assert_eq!(
            date("4/3/2027", Some(DateOrder::MonthFirst)),
            Ok(day("2027-04-03"))
        );
    }

    #[test]
    fn what_is_no_date_is_refused() {
        for text in [
            "",
            "soon",
            "2027-02-30",
            "2027-13-01",
            "31/31/2027",
            "1-2",
            "1/2/27",
            "1-2-3-4",
        ] {
            assert!(
                matches!(date(text, None), Err(DateError::NoDate(_))),
                "{text}"
            );
        }
    }

    #[test]
    fn the_file_tells_the_order() {
        let of = |dates: &[&str]| order(dates.iter().copied());
        assert_eq!(of(&["4/3/2027", "31/3/2027"]), Some(DateOrder::DayFirst));
        assert_eq!(of(&["4/3/2027", "3/31/2027"]), Some(DateOrder::MonthFirst));
        assert_eq!(of(&["4/3/2027", "5/3/2027"]), None);
        assert_eq!(of(&["31/3/2027", "3/31/2027"]), None);
        assert_eq!(of(&["2027-01-02"]), Some(DateOrder::YearFirst));
    }
}
