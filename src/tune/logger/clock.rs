//! From the clock of the logger to local standard time.

use crate::calendar::SECONDS_PER_HOUR;
use chrono::{Duration, FixedOffset, LocalResult, NaiveDateTime, Offset, TimeZone};
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
}
