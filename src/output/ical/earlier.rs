//! Entries of a calendar written before, so that a new one can take back what it no longer has.

use chrono::NaiveDate;
use icalendar::{Calendar, CalendarComponent, Component, DatePerhapsTime};

use super::UID_ENDING;
use crate::output::text::clean;
use crate::plain::without_mark;

/// One entry of an earlier calendar of ours.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Earlier {
    /// Identifier.
    pub uid: String,
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
    let calendar: Calendar = text.parse().map_err(|_| {
        "is no calendar that can be read; name an .ics file that `calendar` wrote".to_owned()
    })?;
    Ok(calendar.components.iter().filter_map(entry).collect())
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
        date,
        summary: clean(event.get_summary().unwrap_or_default()),
    })
}
