//! The work list as iCalendar (RFC 5545): all-day entries that a new plan updates in place.
//!
//! All pickings of a week are one entry that lists them, row cover is a span, every other task is an entry of its own, on
//! the days on which the person works. A UID belongs to a planting and its task (project, bed, section, crop, day of
//! sowing, task), that of a week's harvest to its week. Where the calendar written before is given, a planting that only
//! moved keeps its UID, what the new plan has no use for is sent again as cancelled, and what is past stays as it was.
//! SEQUENCE, the number of times the plan was made anew, says which is newer; the clock is never read.

mod entry;

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, Days, NaiveDate, NaiveTime, TimeDelta, Utc};
use icalendar::{
    Alarm, Calendar, CalendarComponent, Component, Event, EventStatus, Property, ValueType,
};

use super::text::clean;
use super::units::Units;
use super::view::PlanView;
use entry::{Entry, entries};

/// How the calendar is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct CalendarStyle {
    /// Hour of the day before each entry, local time, 0 to 23, at which a reminder rings; none if not asked for.
    pub reminder_hour: Option<u32>,
    /// Units of the amounts.
    pub units: Units,
}

/// What the identifiers of our entries end in.
const UID_ENDING: &str = "@bedyear";

/// Property that names planting and task, so that a later calendar knows what moved.
const KEY: &str = "X-BEDYEAR-TASK";

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
        ("X-WR-CALNAME", name.as_str()),
    ];
    let mut now = entries(plan, style.units);
    keep_moved(&mut now, earlier);
    let kept: BTreeSet<&str> = now.iter().map(|entry| entry.uid.as_str()).collect();
    let cancelled = earlier
        .iter()
        .filter(|entry| !kept.contains(entry.uid.as_str()))
        // What is past was done, or not; a new plan says nothing of it.
        .filter(|entry| entry.date >= plan.start)
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
    folded(&calendar.to_string())
}

/// Longest line, bytes (RFC 5545 3.1).
const LINE_MAX: usize = 75;

/// Lines that the library leaves a byte or two too long, folded once more.
fn folded(text: &str) -> String {
    let mut all = String::with_capacity(text.len());
    for mut line in text.split_inclusive("\r\n") {
        while line.trim_end_matches("\r\n").len() > LINE_MAX {
            let (start, rest) = line.split_at(line.floor_char_boundary(LINE_MAX - 1));
            all.push_str(start);
            all.push_str("\r\n ");
            line = rest;
        }
        all.push_str(line);
    }
    all
}

/// Days by which a planting may have moved and still be the same one (own choice: no crop is sown twice in less).
const MOVED_DAYS: i64 = 28;

/// Gives entries that only moved the UID that they had.
fn keep_moved(now: &mut [Entry], earlier: &[Earlier]) {
    let old: BTreeSet<&str> = earlier.iter().map(|entry| entry.uid.as_str()).collect();
    let mut used: BTreeSet<String> = now.iter().map(|entry| entry.uid.clone()).collect();
    let mut by_place: BTreeMap<Vec<&str>, Vec<(NaiveDate, &Earlier)>> = BTreeMap::new();
    for other in earlier {
        if let Some((sow, place)) = planting(&other.key) {
            by_place.entry(place).or_default().push((sow, other));
        }
    }
    for entry in now
        .iter_mut()
        .filter(|entry| !old.contains(entry.uid.as_str()))
    {
        let Some((sow, place)) = planting(&entry.key) else {
            continue;
        };
        let alike = by_place.get(&place).into_iter().flatten();
        let nearest = alike
            .map(|(their_sow, other)| ((*their_sow - sow).num_days().abs(), *other))
            .filter(|(days, other)| *days <= MOVED_DAYS && !used.contains(&other.uid))
            .min_by_key(|(days, _)| *days);
        if let Some((_, other)) = nearest {
            used.insert(other.uid.clone());
            entry.uid.clone_from(&other.uid);
        }
    }
}

/// Day of sowing of a planting's task, and what else names it.
fn planting(key: &str) -> Option<(NaiveDate, Vec<&str>)> {
    /// Which field of the name is the day.
    const DAY: usize = 3;
    let mut fields: Vec<&str> = key.split('\u{1f}').collect();
    let day = fields.get(DAY)?.parse().ok()?;
    fields.remove(DAY);
    Some((day, fields))
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
    let mut event = all_day(plan, &entry.uid, (entry.date, entry.until), &entry.summary);
    event
        .description(&entry.description)
        .append_property(Property::new("CATEGORIES", entry.category))
        .append_property(Property::new(KEY, entry.key.replace('\u{1f}', "|")));
    if let Some(hour) = style.reminder_hour {
        let before = TimeDelta::hours(i64::from(hour) - HOURS_PER_DAY);
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
    all_day(plan, &entry.uid, (entry.date, entry.date), &entry.summary)
        .status(EventStatus::Cancelled)
        .done()
}

/// What every entry has.
fn all_day(
    plan: &PlanView,
    uid: &str,
    (date, until): (NaiveDate, NaiveDate),
    summary: &str,
) -> Event {
    let next_day = until.checked_add_days(Days::new(1)).unwrap_or(until);
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

/// Day from which the stamps are counted: stamps must not lie in the future (RFC 5545, 3.8.7.2), plans do.
const STAMPS_FROM: (i32, u32, u32) = (2026, 1, 1);

/// A time stamp that grows with every new plan; it comes from no clock.
fn stamp(plan: &PlanView) -> DateTime<Utc> {
    let (year, month, day) = STAMPS_FROM;
    let first = NaiveDate::from_ymd_opt(year, month, day).unwrap_or_default();
    let after = first.and_time(NaiveTime::MIN) + TimeDelta::minutes(i64::from(plan.revision));
    after.and_utc()
}

/// A day without a clock time.
fn date_property(key: &str, date: NaiveDate) -> Property {
    Property::new(key, date.format("%Y%m%d").to_string())
        .append_parameter(ValueType::Date)
        .done()
}
pub use entry::{Earlier, read as read_earlier};
