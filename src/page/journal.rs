//! What was done: one row into the journal, at once; what stands in the journal is never written again.

use chrono::NaiveDate;

use super::answers::Message;
use super::ask::with_known;
use super::desk::Desk;
use crate::journal::{Addition, Draft, Event, Journal, addition};
use crate::output::view::WorkRow;

/// Words between the work and the day to which it is put off, in a note of the journal.
const PUT_OFF: &str = " put off to ";

pub fn put_off(task: &str, until: NaiveDate) -> String {
    format!("{task}{PUT_OFF}{until}")
}

/// Is a piece of work put off to a day after `day`? `name` gives a crop's name by its identifier.
pub fn is_put_off<'n>(
    work: &WorkRow,
    journal: &Journal,
    day: NaiveDate,
    name: impl Fn(&str) -> Option<&'n str>,
) -> bool {
    journal.entries.iter().any(|entry| {
        let until = entry.note.split_once(PUT_OFF);
        entry.event == Event::Note
            && entry.bed.as_deref() == Some(work.bed.as_str())
            && entry.crop.as_deref().and_then(&name) == Some(work.crop_name.as_str())
            && until.is_some_and(|(task, until)| {
                task == work.task && until.parse::<NaiveDate>().is_ok_and(|until| day < until)
            })
    })
}

impl Desk {
    /// Adds a row to the journal. A row that is there already is not added twice.
    pub(super) fn log(&self, draft: &Draft) {
        let ready = self.lock().ready.clone();
        let said = with_known(&ready, |known| {
            let entry = draft
                .check(known, None, false)
                .map_err(|wrong| format!("{}: {}", wrong.column, wrong.what))?;
            let mut there = false;
            self.disk
                .add_to_journal(&mut |text| match addition(text, &entry, known, false)? {
                    Addition::Append { bytes, .. } => Ok(bytes),
                    Addition::Present { .. } => {
                        there = true;
                        Ok(Vec::new())
                    }
                })?;
            Ok::<_, String>(there)
        });
        self.change(|inner| {
            inner.message = Some(match said {
                Ok(false) => {
                    Message::good(format!("in the journal: {} {}", draft.event, draft.crop))
                }
                Ok(true) => {
                    Message::good("that row is in the journal already; it was not added twice")
                }
                Err(why) => Message::bad(why),
            });
            inner.answers.review.revision = 0;
        });
    }

    /// The day that `this week` begins with.
    pub(super) fn set_day(&self, day: NaiveDate) {
        let mut inner = self.lock();
        if inner.day != day {
            inner.day = day;
            inner.answers.review.revision = 0;
        }
    }
}
