//! Entries of a calendar written before, so that a new one can take back what it no longer has.

use chrono::NaiveDate;
use icalendar::{Calendar, CalendarComponent, Component, DatePerhapsTime, parser};

use super::{KEY, UID_ENDING};
use crate::output::text::clean;
use crate::plain::without_mark;

/// One entry of an earlier calendar of ours.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Earlier {
    /// Identifier.
    pub uid: String,
    /// Planting and task behind it; empty where the calendar does not say.
    pub key: String,
    /// Its day.
    pub date: NaiveDate,
    /// Head line.
    pub summary: String,
}

/// Reads the entries of an .ics file that this program wrote; those of other makers in it are passed over.
///
/// # Errors
/// In words, if the text is no iCalendar.
pub fn read(text: &str) -> Result<Vec<Earlier>, String> {
    let text = without_mark(text);
    if !text.starts_with("BEGIN:VCALENDAR") {
        return Err("is no calendar: an .ics file begins with BEGIN:VCALENDAR".to_owned());
    }
    let unreadable =
        || "is no calendar that can be read; name an .ics file that `calendar` wrote".to_owned();
    let unfolded = parser::unfold(text);
    let longest = unfolded.split('\n').map(str::len).max().unwrap_or(0);
    // The parser descends into each component and would fill the stack; it words its refusals with the place in the
    // line as a width, which the language holds to 65,535.
    if depth(&unfolded) > DEPTH_MAX || longest > LINE_MAX {
        return Err(unreadable());
    }
    let calendar: Calendar = text.parse().map_err(|_| unreadable())?;
    Ok(calendar.components.iter().filter_map(entry).collect())
}

/// Most components within each other: a calendar holds events, these alarms, and no standard goes further than a few
/// (RFC 5545, section 3.6).
const DEPTH_MAX: usize = 16;

/// Longest line once unfolded, bytes: ours hold a week's work in words, some thousand at most (own choice).
const LINE_MAX: usize = 32_768;

/// How many components of an unfolded text stand within each other where it is deepest.
fn depth(unfolded: &str) -> usize {
    let begins_with = |line: &str, mark: &str| {
        line.get(..mark.len())
            .is_some_and(|start| start.eq_ignore_ascii_case(mark))
    };
    let (mut now, mut most) = (0_usize, 0);
    for line in unfolded.split(['\n', '\r']) {
        if begins_with(line, "BEGIN:") {
            now += 1;
            most = most.max(now);
        } else if begins_with(line, "END:") {
            now = now.saturating_sub(1);
        }
    }
    most
}

fn entry(component: &CalendarComponent) -> Option<Earlier> {
    let CalendarComponent::Event(event) = component else {
        return None;
    };
    let uid = event.get_uid().filter(|uid| uid.ends_with(UID_ENDING))?;
    let Some(DatePerhapsTime::Date(date)) = event.get_start() else {
        return None;
    };
    Some(Earlier {
        uid: clean(uid),
        key: event
            .property_value(KEY)
            .unwrap_or_default()
            .replace('|', "\u{1f}"),
        date,
        summary: clean(event.get_summary().unwrap_or_default()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_broken_file_with_an_endless_line_is_refused_in_words() {
        for line in [
            "x".repeat(70_000),
            format!("{}\u{7}", "SUMMARY:y".repeat(9000)),
        ] {
            let text = format!("BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\n{line}");
            assert!(read(&text).unwrap_err().contains("can be read"));
        }
    }
}
