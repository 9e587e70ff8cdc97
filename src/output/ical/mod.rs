//! The work list as iCalendar (RFC 5545): all-day entries that a new plan updates in place.
//!
//! All pickings of a week are one entry that lists them, so that a phone can take the calendar; every other task is an
//! entry of its own. A task's UID comes from what it is (project, bed, crop, number of the planting, task), not from its
//! date, and that of a week's harvest from its first day, so importing a new plan moves and changes the entries of the
//! old one; entries that the new plan has no use for are sent again as cancelled where the old calendar is given. DTSTAMP is the day the plan was made, SEQUENCE the
//! number of times it was planned anew; the clock is never read.

mod earlier;
mod entry;

use std::collections::BTreeSet;

use chrono::{DateTime, Days, NaiveDate, NaiveTime, TimeDelta, Utc};
use icalendar::{
    Alarm, Calendar, CalendarComponent, Component, Event, EventStatus, Property, ValueType,
};

pub use earlier::{Earlier, read as read_earlier};

use super::text::clean;
use super::units::Units;
use super::view::PlanView;
use entry::{Entry, entries};

/// When a reminder rings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reminder {
    /// Days before the task; 0 is the day itself.
    pub days_before: u32,
    /// Hour of that day, local time, 0 to 23.
    pub hour: u32,
}

/// How the calendar is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct CalendarStyle {
    /// Reminder of every entry; none if not asked for.
    pub reminder: Option<Reminder>,
    /// Units of the amounts.
    pub units: Units,
}

/// What the identifiers of our entries end in.
const UID_ENDING: &str = "@bedyear";

/// Hours in a day.
const HOURS_PER_DAY: i64 = 24;

/// The plan as the text of an .ics file.
///
/// Entries of an `earlier` calendar that the new one no longer has are listed as cancelled, so that they leave the
/// phone.
pub fn render(plan: &PlanView, earlier: &[Earlier], style: CalendarStyle) -> String {
    let name = format!("{} beds", clean(&plan.project));
    let properties = [
        ("VERSION", "2.0"),
        ("PRODID", "-//bedyear//bed calendar//EN"),
        ("CALSCALE", "GREGORIAN"),
        ("NAME", name.as_str()),
    ];
    let now = entries(plan, style.units);
    let kept: BTreeSet<&str> = now.iter().map(|entry| entry.uid.as_str()).collect();
    let cancelled = earlier
        .iter()
        .filter(|entry| !kept.contains(entry.uid.as_str()))
        .map(|entry| cancelled(plan, entry));
    let events = now.iter().map(|entry| event(plan, entry, style));
    let calendar = Calendar {
        properties: properties
            .iter()
            .map(|(key, value)| text_property(key, value))
            .collect(),
        components: events
            .chain(cancelled)
            .map(CalendarComponent::Event)
            .collect(),
    };
    calendar.to_string()
}

/// A property whose value is text or a fixed word.
fn text_property(key: &str, value: &str) -> Property {
    let mut property = Property::new(key, value);
    if key == "NAME" {
        property.append_parameter(ValueType::Text);
    }
    property.done()
}

/// One all-day entry.
fn event(plan: &PlanView, entry: &Entry, style: CalendarStyle) -> Event {
    let mut event = all_day(plan, &entry.uid, entry.date, &entry.summary);
    event
        .description(&entry.description)
        .append_property(Property::new("CATEGORIES", entry.category));
    if let Some(reminder) = style.reminder {
        let before = TimeDelta::hours(
            i64::from(reminder.hour) - HOURS_PER_DAY * i64::from(reminder.days_before),
        );
        let mut alarm = Alarm::display(&entry.summary, before);
        // Both would otherwise be filled from the clock and from chance.
        alarm.append_property(Property::new("UID", format!("{}-reminder", entry.uid)));
        alarm.timestamp(stamp(plan));
        event.append_component(alarm);
    }
    event.done()
}

/// An entry that is taken back (RFC 5545, 3.8.1.11).
fn cancelled(plan: &PlanView, entry: &Earlier) -> Event {
    all_day(plan, &entry.uid, entry.date, &entry.summary)
        .status(EventStatus::Cancelled)
        .done()
}

/// What every entry has.
fn all_day(plan: &PlanView, uid: &str, date: NaiveDate, summary: &str) -> Event {
    let next_day = date.checked_add_days(Days::new(1)).unwrap_or(date);
    let mut event = Event::new();
    event
        .uid(uid)
        .timestamp(stamp(plan))
        .sequence(plan.revision)
        .summary(summary)
        .append_property(date_property("DTSTART", date))
        // The end of an all-day entry is the day after (RFC 5545, 3.6.1).
        .append_property(date_property("DTEND", next_day))
        .append_property(Property::new("TRANSP", "TRANSPARENT"));
    event
}

/// The day the plan was made, as a time stamp.
fn stamp(plan: &PlanView) -> DateTime<Utc> {
    plan.as_of.and_time(NaiveTime::MIN).and_utc()
}

/// A day without a clock time.
fn date_property(key: &str, date: NaiveDate) -> Property {
    Property::new(key, date.format("%Y%m%d").to_string())
        .append_parameter(ValueType::Date)
        .done()
}
