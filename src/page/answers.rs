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
#[derive(Clone)]
pub struct Slot<A> {
    /// The answer; an older one stays until there is a newer.
    pub value: Option<A>,
    /// The answer before this one, where it was another.
    pub before: Option<A>,
    pub error: Option<String>,
    /// Revision of the draft that it was worked out for; 0 for none.
    pub revision: u64,
    /// A first answer, from few weather years.
    pub rough: bool,
}

impl<A> Default for Slot<A> {
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

impl<T> Slot<Arc<T>> {
    pub fn put(&mut self, found: Result<Arc<T>, String>, revision: u64, rough: bool) {
        self.error = found.as_ref().err().cloned();
        let old = self.value.take();
        self.value = found.ok();
        // A rough answer is no measure of what the full one changed.
        if let (false, Some(old), Some(new)) = (self.rough, old, &self.value)
            && !Arc::ptr_eq(&old, new)
        {
            self.before = Some(old);
        }
        self.revision = revision;
        self.rough = rough;
    }
}

/// What all answers have, whatever they answer.
pub trait Answer {
    /// Is it the full answer to this revision?
    fn is_fresh(&self, revision: u64) -> bool;
    /// There can be none to this revision.
    fn refuse(&mut self, why: String, revision: u64);
    /// A revision that changes no figure: the answer to the one before is the answer to it.
    fn goes_on(&mut self, from: u64, to: u64);
}

impl<T> Answer for Slot<Arc<T>> {
    fn is_fresh(&self, revision: u64) -> bool {
        self.revision == revision && !self.rough
    }

    fn refuse(&mut self, why: String, revision: u64) {
        self.put(Err(why), revision, false);
    }

    fn goes_on(&mut self, from: u64, to: u64) {
        if self.revision == from {
            self.revision = to;
        }
    }
}

/// All answers, each to the [`Need`] of its name.
#[derive(Clone, Default)]
pub struct Answers {
    pub climate: Slot<Arc<Climate>>,
    pub season: Slot<Arc<SeasonView>>,
    pub plan: Slot<Arc<Planned>>,
    pub value: Slot<Arc<ValueView>>,
    pub review: Slot<Arc<ReviewView>>,
    pub outage: Slot<Arc<OutageView>>,
    pub why: Slot<Arc<WhyView>>,
}

/// A plan that waits for a yes or a no.
#[derive(Clone)]
pub struct Offer {
    /// What it is, in a sentence.
    pub what: String,
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
    pub view: ReplanView,
    /// The day from which it is planned.
    pub from: NaiveDate,
    /// What stands in the beds on that day, as tables of the project file: keys and values.
    pub standing: Vec<Vec<(&'static str, String)>>,
}

/// Something to tell once.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Message {
    /// Key of the file that it is about; empty for none.
    pub path: String,
    pub text: String,
    pub bad: bool,
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
    pub fn bad(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            bad: true,
            ..Self::default()
        }
    }

    pub fn good(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            ..Self::default()
        }
    }
}

impl Answers {
    /// Each answer; what is offered beside the agreed plan is none of them.
    pub fn all(&mut self) -> [(Need, &mut dyn Answer); 7] {
        [
            (Need::Climate, &mut self.climate),
            (Need::Season, &mut self.season),
            (Need::Plan, &mut self.plan),
            (Need::Value, &mut self.value),
            (Need::Review, &mut self.review),
            (Need::Outage, &mut self.outage),
            (Need::Why, &mut self.why),
        ]
    }

    /// Is there a full answer to this revision?
    pub fn is_known(&mut self, need: Need, revision: u64) -> bool {
        let mut all = self.all().into_iter();
        all.any(|(of, answer)| of == need && answer.is_fresh(revision))
    }

    /// Where an answer could not be had, because what it rests on could not: says so, in place of asking for ever.
    pub fn give_up(&mut self, need: Need, revision: u64) {
        let why = self.climate.error.clone().or(self.plan.error.clone());
        let why = why.unwrap_or_else(|| "this cannot be worked out yet".to_owned());
        for (of, answer) in self.all() {
            if of == need && !answer.is_fresh(revision) {
                answer.refuse(why.clone(), revision);
            }
        }
    }
}
