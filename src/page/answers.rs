//! What was found, and what it is an answer to; what waits for a yes or a no; what is told.

use std::sync::Arc;

use chrono::NaiveDate;

use super::ask::{Climate, Planned};
use crate::output::view::{
    OutageView, PlanCheckView, ReplanView, ReviewView, SeasonView, ValueView, WhyView,
};
use crate::plan::PlanFile;

/// What a view may want to know, in the order in which it is worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Need {
    /// The year inside.
    Climate,
    /// Crops against months.
    Season,
    /// The plan, made or agreed to.
    Plan,
    /// The year's money.
    Value,
    /// The plan against the journal.
    Review,
    /// A failure of power.
    Outage,
    /// Measures against the cold.
    Why,
    /// The agreed plan mended, beside it.
    Mend,
    /// A new plan, beside the agreed one.
    Search,
    /// The rest of the year anew, from the journal.
    Replan,
}

/// An answer, and what it is an answer to.
pub struct Slot<T> {
    /// The answer; an older one stays until there is a newer.
    pub value: Option<Arc<T>>,
    /// The answer before this one, where it was another.
    pub before: Option<Arc<T>>,
    /// Why there is none.
    pub error: Option<String>,
    /// Revision of the draft that it was worked out for; 0 for none.
    pub revision: u64,
    /// A first answer, from few weather years.
    pub rough: bool,
}

impl<T> Default for Slot<T> {
    fn default() -> Self {
        Self {
            value: None,
            before: None,
            error: None,
            revision: 0,
            rough: false,
        }
    }
}

impl<T> Clone for Slot<T> {
    fn clone(&self) -> Self {
        Self {
            value: self.value.clone(),
            before: self.before.clone(),
            error: self.error.clone(),
            revision: self.revision,
            rough: self.rough,
        }
    }
}

impl<T> Slot<T> {
    /// Puts an answer down.
    pub fn put(&mut self, found: Result<Arc<T>, String>, revision: u64, rough: bool) {
        match found {
            Ok(value) => {
                let other = |old: &Arc<T>| !Arc::ptr_eq(old, &value);
                // A rough answer is no measure of what the full one changed.
                if !self.rough
                    && let Some(old) = self.value.take().filter(other)
                {
                    self.before = Some(old);
                }
                self.value = Some(value);
                self.error = None;
            }
            Err(error) => {
                self.value = None;
                self.error = Some(error);
            }
        }
        self.revision = revision;
        self.rough = rough;
    }

    /// Is it the full answer to this revision?
    pub fn is_fresh(&self, revision: u64) -> bool {
        self.revision == revision && !self.rough
    }
}

/// All answers.
#[derive(Clone, Default)]
pub struct Answers {
    /// The year inside.
    pub climate: Slot<Climate>,
    /// Crops against months.
    pub season: Slot<SeasonView>,
    /// The plan.
    pub plan: Slot<Planned>,
    /// The year's money.
    pub value: Slot<ValueView>,
    /// The plan against the journal.
    pub review: Slot<ReviewView>,
    /// A failure of power.
    pub outage: Slot<OutageView>,
    /// Measures against the cold.
    pub why: Slot<WhyView>,
}

/// A plan that waits for a yes or a no.
#[derive(Clone)]
pub struct Offer {
    /// What it is, in a sentence.
    pub what: String,
    /// The plan.
    pub file: PlanFile,
    /// What it changes, where it was held against the agreed one.
    pub effect: Option<Arc<PlanCheckView>>,
    /// As shown, where it can be laid out.
    pub planned: Option<Arc<Planned>>,
    /// For a plan from the journal, what is otherwise than agreed.
    pub replan: Option<Arc<Replanned>>,
    /// Revision that it was made for.
    pub revision: u64,
}

/// The rest of the year planned anew.
pub struct Replanned {
    /// As shown.
    pub view: ReplanView,
    /// The day from which it is planned.
    pub from: NaiveDate,
    /// What stands in the beds on that day, as tables of the project file: keys and values.
    pub standing: Vec<Vec<(&'static str, String)>>,
}

/// Something to tell once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Message {
    /// Key of the file that it is about; empty for none.
    pub path: String,
    /// What to say.
    pub text: String,
    /// Did something go wrong?
    pub bad: bool,
    /// What the person had written.
    pub written: String,
}

/// What the page hears of the work.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tick {
    /// Grows when there is something new to show.
    pub version: u64,
    /// Work done and in all, of a search.
    pub work: Option<(u64, u64)>,
    /// What is being done, in a few words; empty for nothing.
    pub doing: String,
}

impl Message {
    /// Something that went wrong.
    pub fn bad(text: impl Into<String>) -> Self {
        Self {
            path: String::new(),
            text: text.into(),
            bad: true,
            written: String::new(),
        }
    }

    /// Something that went well.
    pub fn good(text: impl Into<String>) -> Self {
        Self {
            bad: false,
            ..Self::bad(text)
        }
    }
}

impl Answers {
    /// Is there a full answer to this revision?
    pub fn is_known(&self, need: Need, revision: u64) -> bool {
        let answers = self;
        match need {
            Need::Climate => answers.climate.is_fresh(revision),
            Need::Season => answers.season.is_fresh(revision),
            Need::Plan => answers.plan.is_fresh(revision),
            Need::Value => answers.value.is_fresh(revision),
            Need::Review => answers.review.is_fresh(revision),
            Need::Outage => answers.outage.is_fresh(revision),
            Need::Why => answers.why.is_fresh(revision),
            Need::Mend | Need::Search | Need::Replan => false,
        }
    }
}

impl Answers {
    /// Where an answer could not be had, because what it rests on could not: says so, in place of asking for ever.
    pub fn give_up(&mut self, need: Need, revision: u64) {
        if self.is_known(need, revision) {
            return;
        }
        let answers = self;
        let why = [&answers.climate.error, &answers.plan.error];
        let why = why.into_iter().flatten().next().cloned();
        let why = why.unwrap_or_else(|| "this cannot be worked out yet".to_owned());
        match need {
            Need::Climate => answers.climate.put(Err(why), revision, false),
            Need::Season => answers.season.put(Err(why), revision, false),
            Need::Plan => answers.plan.put(Err(why), revision, false),
            Need::Value => answers.value.put(Err(why), revision, false),
            Need::Review => answers.review.put(Err(why), revision, false),
            Need::Outage => answers.outage.put(Err(why), revision, false),
            Need::Why => answers.why.put(Err(why), revision, false),
            Need::Mend | Need::Search | Need::Replan => {}
        }
    }
}
