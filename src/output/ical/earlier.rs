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
/// Line and what is wrong there in words (`12: ...`), if the text is no iCalendar.
pub fn read(text: &str) -> Result<Vec<Earlier>, String> {
    let text = without_mark(text);
    if !text.starts_with("BEGIN:VCALENDAR") {
        return Err("1: is no calendar: an .ics file begins with BEGIN:VCALENDAR".to_owned());
    }
    let unreadable = |line: usize| {
        format!("{line}: is no calendar that can be read; name an .ics file that `calendar` wrote")
    };
    let unfolded = parser::unfold(text);
    // The parser descends into each component and would fill the stack; it words its refusals with the place in the
    // line as a width, which the language holds to 65,535.
    if let Some(line) = too_deep_or_long(text, &unfolded) {
        return Err(unreadable(line));
    }
    let calendar: Calendar = text.parse().map_err(|_| unreadable(odd_line(text)))?;
    calendar
        .components
        .iter()
        .filter_map(|component| entry(component, text).transpose())
        .collect()
}

/// Line from 1 of the first beginning of a component too deep, or of a line too long once unfolded.
fn too_deep_or_long(text: &str, unfolded: &str) -> Option<usize> {
    let long = unfolded.split('\n').find(|line| line.len() > LINE_MAX);
    let start_of = |long: &str| {
        let start: String = long.chars().take(40).collect();
        line_of(text, start.trim_end())
    };
    // A folded line may hide a beginning from the text as it stands.
    let deep = too_deep(unfolded).map(|_| too_deep(text).unwrap_or(1));
    deep.or_else(|| long.map(start_of))
}

/// The first line that says nothing of a property: neither a name and a colon nor the rest of the line above; the last line
/// where each does.
fn odd_line(text: &str) -> usize {
    let says = |line: &str| line.is_empty() || line.starts_with([' ', '\t']) || line.contains(':');
    let count = text.lines().count();
    text.lines()
        .position(|line| !says(line))
        .map_or(count, |at| at + 1)
}

/// The line that holds some words, from 1.
fn line_of(text: &str, words: &str) -> usize {
    text.lines()
        .position(|line| line.contains(words))
        .map_or(1, |at| at + 1)
}

/// Most components within each other: a calendar holds events, these alarms, and no standard goes further than a few
/// (RFC 5545, section 3.6).
const DEPTH_MAX: usize = 16;

/// Longest line once unfolded, bytes: ours hold a week's work in words, some thousand at most (own choice).
const LINE_MAX: usize = 32_768;

/// Line from 1 in which a component begins that stands in more than [`DEPTH_MAX`] others.
fn too_deep(text: &str) -> Option<usize> {
    let begins_with = |line: &str, mark: &str| {
        line.get(..mark.len())
            .is_some_and(|start| start.eq_ignore_ascii_case(mark))
    };
    let mut now = 0_usize;
    for (at, line) in text.split('\n').enumerate() {
        for line in line.split('\r') {
            if begins_with(line, "BEGIN:") {
                now += 1;
            } else if begins_with(line, "END:") {
                now = now.saturating_sub(1);
            }
            if now > DEPTH_MAX {
                return Some(at + 1);
            }
        }
    }
    None
}

/// An entry of ours; none of another maker's.
fn entry(component: &CalendarComponent, text: &str) -> Result<Option<Earlier>, String> {
    let CalendarComponent::Event(event) = component else {
        return Ok(None);
    };
    let Some(uid) = event.get_uid().filter(|uid| uid.ends_with(UID_ENDING)) else {
        return Ok(None);
    };
    let Some(DatePerhapsTime::Date(date)) = event.get_start() else {
        let line = line_of(text, &uid.chars().take(60).collect::<String>());
        return Err(format!(
            "{line}: the entry of this UID has no day that can be read; DTSTART;VALUE=DATE:20270401 is one"
        ));
    };
    Ok(Some(Earlier {
        uid: clean(uid),
        key: event
            .property_value(KEY)
            .unwrap_or_default()
            .replace('|', "\u{1f}"),
        date,
        summary: clean(event.get_summary().unwrap_or_default()),
    }))
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
