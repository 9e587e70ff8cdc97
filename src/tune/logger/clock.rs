//! Day and time as loggers write them, and from the clock of the logger to local standard time.

use crate::calendar::SECONDS_PER_HOUR;
use crate::sheet::{self, DateError, DateOrder};
use chrono::{
    DateTime, Duration, FixedOffset, LocalResult, NaiveDateTime, NaiveTime, Offset, TimeZone,
};
use chrono_tz::Tz;

/// What the logger's clock shows where its stamps carry no offset.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clock {
    /// Local standard time all year.
    Standard,
    /// Coordinated universal time.
    Utc,
    /// The time of a place, with its summer time.
    Zone(Tz),
}

impl std::str::FromStr for Clock {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        match text.to_ascii_lowercase().as_str() {
            "standard" => Ok(Clock::Standard),
            "utc" | "gmt" | "z" => Ok(Clock::Utc),
            _ => text.parse().map(Clock::Zone).map_err(|_| {
                format!(
                    "`{text}` is no clock: write standard, utc, or a zone of the tz database such as America/Denver"
                )
            }),
        }
    }
}

impl std::fmt::Display for Clock {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Clock::Standard => f.write_str("local standard time"),
            Clock::Utc => f.write_str("UTC"),
            Clock::Zone(zone) => write!(f, "{}, summer time included", zone.name()),
        }
    }
}

/// A stamp as it stands in the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stamp {
    /// Day and time shown.
    pub shown: NaiveDateTime,
    /// Offset written with it.
    pub offset: Option<FixedOffset>,
}

/// The moment of a stamp in local standard time; `after` is the moment before it in the file, which tells the two hours
/// apart that autumn shows twice. Nothing for an hour that spring leaves out.
pub(super) fn standard_time(
    stamp: Stamp,
    clock: Clock,
    utc_offset_h: f64,
    after: Option<NaiveDateTime>,
) -> Option<NaiveDateTime> {
    let zone_offset = Duration::seconds((utc_offset_h * SECONDS_PER_HOUR).round() as i64);
    let of_offset = |offset: FixedOffset| {
        let utc = stamp.shown - Duration::seconds(i64::from(offset.local_minus_utc()));
        utc + zone_offset
    };
    if let Some(offset) = stamp.offset {
        return Some(of_offset(offset));
    }
    match clock {
        Clock::Standard => Some(stamp.shown),
        Clock::Utc => Some(stamp.shown + zone_offset),
        Clock::Zone(zone) => match zone.offset_from_local_datetime(&stamp.shown) {
            LocalResult::None => None,
            LocalResult::Single(offset) => Some(of_offset(offset.fix())),
            LocalResult::Ambiguous(first, second) => {
                let first = of_offset(first.fix());
                match after {
                    Some(after) if after >= first => Some(of_offset(second.fix())),
                    _ => Some(first),
                }
            }
        },
    }
}

/// The day's part of a stamp.
pub(super) fn day_part(text: &str) -> &str {
    text.split(['T', ' ', ',']).next().unwrap_or(text)
}

/// Seconds since 1970 from here on are taken for such; smaller numbers are days of a spreadsheet (1 September 2001).
const EPOCH_FROM_S: f64 = 1.0e9;

/// Reads a stamp; a time may follow the day in the same cell or stand in one of its own.
///
/// # Errors
/// What is wrong, and what would be right.
pub(super) fn stamp(
    day: &str,
    time: Option<&str>,
    order: Option<DateOrder>,
) -> Result<Stamp, String> {
    let day = day.trim();
    if let Ok(seconds) = day.parse::<f64>() {
        return epoch(seconds, day);
    }
    let date_text = day_part(day);
    let rest = day[date_text.len()..].trim_start_matches(['T', ' ', ',']);
    let time_text = match time {
        Some(time) => time.trim(),
        None => rest.trim(),
    };
    let date = sheet::date(date_text, order).map_err(|error| match error {
        DateError::TwoMeanings(shown, ..) => {
            format!("`{shown}` can be two days; say --dates month-first or --dates day-first")
        }
        other => other.to_string(),
    })?;
    let (clock, offset) = split_offset(time_text)?;
    let time = clock_time(clock)
        .ok_or_else(|| format!("`{time_text}` is no time of day; write it as 14:30 or 2:30 PM"))?;
    Ok(Stamp {
        shown: date.and_time(time),
        offset,
    })
}

fn epoch(seconds: f64, text: &str) -> Result<Stamp, String> {
    let utc = FixedOffset::east_opt(0);
    let moment = (seconds >= EPOCH_FROM_S)
        .then(|| DateTime::from_timestamp(seconds as i64, 0))
        .flatten();
    match moment {
        Some(moment) => Ok(Stamp {
            shown: moment.naive_utc(),
            offset: utc,
        }),
        None => Err(format!(
            "`{text}` is no moment; write it as 2027-01-31 14:30"
        )),
    }
}

/// The time, and the offset written behind it (`Z`, `+01:00`, `-0700`).
fn split_offset(text: &str) -> Result<(&str, Option<FixedOffset>), String> {
    if let Some(time) = text.strip_suffix(['Z', 'z']) {
        return Ok((time.trim(), FixedOffset::east_opt(0)));
    }
    let Some(at) = text.rfind(['+', '-']) else {
        return Ok((text, None));
    };
    let (time, written) = text.split_at(at);
    let wrong = || format!("`{written}` is no offset from UTC; write it as +01:00");
    let figures: String = written[1..].chars().filter(char::is_ascii_digit).collect();
    let (hours, minutes) = match figures.len() {
        1 | 2 => (figures.as_str(), "0"),
        4 => figures.split_at(2),
        _ => return Err(wrong()),
    };
    let number = |text: &str| text.parse::<i32>().map_err(|_| wrong());
    let seconds = number(hours)? * 3600 + number(minutes)? * 60;
    let signed = if written.starts_with('-') {
        -seconds
    } else {
        seconds
    };
    let offset = FixedOffset::east_opt(signed).ok_or_else(wrong)?;
    Ok((time.trim(), Some(offset)))
}

fn clock_time(text: &str) -> Option<NaiveTime> {
    if text.is_empty() {
        return Some(NaiveTime::MIN);
    }
    let upper = text.to_ascii_uppercase().replace('.', ":");
    let upper = upper.trim();
    let half = ["AM", "PM", "A:M:", "P:M:"].iter().find_map(|half| {
        upper
            .strip_suffix(half)
            .map(|clock| (clock.trim(), half.starts_with('P')))
    });
    let (clock, afternoon) = match half {
        Some((clock, afternoon)) => (clock, Some(afternoon)),
        None => (upper, None),
    };
    let mut pieces = clock.split(':');
    let hour: u32 = pieces.next()?.parse().ok()?;
    let minute: u32 = pieces.next().map_or(Some(0), |text| text.parse().ok())?;
    let second: u32 = pieces.next().map_or(Some(0), |text| text.parse().ok())?;
    let hour = match afternoon {
        None => hour,
        Some(_) if !(1..=12).contains(&hour) => return None,
        Some(afternoon) => hour % 12 + if afternoon { 12 } else { 0 },
    };
    NaiveTime::from_hms_opt(hour, minute, second)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> NaiveDateTime {
        text.parse().unwrap()
    }

    fn denver(text: &str, after: Option<&str>) -> Option<NaiveDateTime> {
        let stamp = Stamp {
            shown: at(text),
            offset: None,
        };
        let clock: Clock = "America/Denver".parse().unwrap();
        standard_time(stamp, clock, -7.0, after.map(at))
    }

    #[test]
    fn summer_time_goes_and_comes() {
        // Rules of the United States since 2007: second Sunday in March, first Sunday in November, at 2 h.
        assert_eq!(
            denver("2027-01-10T12:00:00", None),
            Some(at("2027-01-10T12:00:00"))
        );
        assert_eq!(
            denver("2027-07-10T12:00:00", None),
            Some(at("2027-07-10T11:00:00"))
        );
        assert_eq!(denver("2027-03-14T02:30:00", None), None);
        assert_eq!(
            denver("2027-11-07T01:30:00", None),
            Some(at("2027-11-07T00:30:00"))
        );
        let second = denver("2027-11-07T01:00:00", Some("2027-11-07T00:30:00"));
        assert_eq!(second, Some(at("2027-11-07T01:00:00")));
    }

    #[test]
    fn an_offset_in_the_stamp_counts_alone() {
        let stamp = Stamp {
            shown: at("2027-07-10T12:00:00"),
            offset: FixedOffset::east_opt(0),
        };
        let found = standard_time(stamp, Clock::Standard, 5.5, None);
        assert_eq!(found, Some(at("2027-07-10T17:30:00")));
    }

    fn shown(day: &str, time: Option<&str>) -> String {
        stamp(day, time, None).unwrap().shown.to_string()
    }

    #[test]
    fn ways_to_write_a_moment() {
        for (day, time) in [
            ("2027-01-31T14:30:00", None),
            ("2027-01-31 14:30", None),
            ("31.01.2027 14:30", None),
            ("1/31/2027 2:30:00 PM", None),
            ("31.01.2027", Some("14.30")),
            ("2027-01-31T14:30Z", None),
            ("2027-01-31T14:30+01:00", None),
            ("1801405800", None),
        ] {
            assert_eq!(shown(day, time), "2027-01-31 14:30:00", "{day}");
        }
        assert_eq!(shown("12/31/2027 12:05 AM", None), "2027-12-31 00:05:00");
        assert_eq!(
            stamp("2027-01-31T14:30-0700", None, None).unwrap().offset,
            FixedOffset::west_opt(7 * 3600)
        );
    }

    #[test]
    fn doubt_and_nonsense_are_said() {
        assert!(
            stamp("1/2/2027 14:30", None, None)
                .unwrap_err()
                .contains("--dates")
        );
        for text in [
            "",
            "noon",
            "2027-01-31 25:00",
            "2027-01-31 13:00 PM",
            "17",
            "2027-02-30 1:00",
        ] {
            assert!(stamp(text, None, None).is_err(), "{text}");
        }
    }
}
