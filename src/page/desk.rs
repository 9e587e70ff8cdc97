//! The desk: the project that lies open, what was found about it, and what is still being worked out.

use std::collections::{BTreeSet, HashMap};
use std::ops::Deref;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};

use chrono::NaiveDate;
use tokio::sync::watch;

use super::answers::{Answers, Message, Need, Offer, Tick};
use super::disk::{Beside, Disk, Ready, ready};
use super::draft::{Draft, State};
use crate::file::{StarterOptions, StarterShape, starter};
use crate::output::units::Units;
use crate::plan::PlanFile;

/// What is behind the lock.
#[derive(Clone)]
pub struct Inner {
    pub draft: Draft,
    pub ready: Ready,
    pub units: Units,
    /// What is still to be worked out.
    pub needs: BTreeSet<Need>,
    pub answers: Answers,
    /// A plan that waits for a yes or a no.
    pub offer: Option<Offer>,
    pub message: Option<Message>,
    /// The day of `this week`.
    pub day: NaiveDate,
    /// There is no file on disk yet.
    pub is_new: bool,
    /// Changes of an earlier time that were never saved.
    pub unsaved: Option<String>,
    /// The file on disk, where it is no longer what was read.
    pub on_disk: Option<String>,
}

/// A step that is about no key of the file, and what was written at it.
pub(super) const NO_KEY: (&str, &str) = ("", "");

/// The project that lies open.
pub struct Desk {
    pub(super) disk: Box<dyn Disk>,
    pub(super) inner: Mutex<Inner>,
    pub(super) wake: Condvar,
    /// Raised to end a search with the best plan so far.
    pub(super) stop: AtomicBool,
    /// Raised when the work at hand is for a draft that has moved on.
    pub(super) given_up: Arc<AtomicBool>,
    pub(super) ended: AtomicBool,
    pub(super) tick: watch::Sender<Tick>,
}

/// What a view is made from: the desk as it was at one moment.
pub struct Seen {
    inner: Inner,
    pub name: String,
    pub tick: Tick,
    /// Guards forms against other pages.
    pub csrf: String,
    /// What the address asked for.
    pub query: HashMap<String, String>,
}

impl Deref for Seen {
    type Target = Inner;

    fn deref(&self) -> &Inner {
        &self.inner
    }
}

impl Desk {
    /// Opens a project; where there is no file yet, a starter in the units given.
    ///
    /// # Errors
    /// Files that cannot be used, a sentence each.
    pub fn open(disk: Box<dyn Disk>, units: Units) -> Result<Self, Vec<String>> {
        let one = |what: String| vec![what];
        let on_disk = disk.project().map_err(one)?;
        let is_new = on_disk.is_none();
        let text = on_disk.unwrap_or_else(|| begin("helena", StarterShape::default(), units));
        let ready = ready(&text, disk.as_ref())?;
        let plan = match disk.beside(Beside::Plan).map_err(one)? {
            Some(text) => Some(PlanFile::parse(&text).map_err(|error| one(error.to_string()))?),
            None => None,
        };
        let unsaved = disk.beside(Beside::Unsaved).map_err(one)?;
        let unsaved = unsaved.filter(|kept| *kept != text);
        let saved = State {
            text,
            plan,
            ..State::default()
        };
        let inner = Inner {
            draft: Draft::new(saved),
            ready,
            units,
            needs: BTreeSet::new(),
            answers: Answers::default(),
            offer: None,
            message: None,
            day: disk.today(),
            is_new,
            unsaved,
            on_disk: None,
        };
        Ok(Self {
            disk,
            inner: Mutex::new(inner),
            wake: Condvar::new(),
            stop: AtomicBool::new(false),
            given_up: Arc::default(),
            ended: AtomicBool::new(false),
            tick: watch::Sender::new(Tick {
                version: 1,
                ..Tick::default()
            }),
        })
    }

    /// A thread that stopped in the middle of a change leaves the desk as it was before: states are put down whole.
    pub(super) fn lock(&self) -> MutexGuard<'_, Inner> {
        self.inner.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Tells every open page that there is something new.
    pub(super) fn told(&self) {
        self.tick.send_modify(|tick| tick.version += 1);
    }

    /// Changes what is behind the lock, and tells every open page.
    pub(super) fn change(&self, with: impl FnOnce(&mut Inner)) {
        with(&mut self.lock());
        self.told();
    }

    pub(super) fn say(&self, message: Message) {
        self.change(|inner| inner.message = Some(message));
    }

    /// Changes the draft; what cannot be used is told and leaves it as it was. The older work is given up.
    pub(super) fn step(&self, what: &str, (path, written): (&str, &str), next: State) {
        self.change(|inner| {
            let ready = if next.text == inner.draft.now.text {
                Ok(inner.ready.clone())
            } else {
                ready(&next.text, self.disk.as_ref())
            };
            match ready {
                Ok(ready) => {
                    inner.ready = ready;
                    inner.message = None;
                    // The same value sent twice (a key pressed, the field left) leaves the work at hand alone.
                    if inner.draft.step(what.to_owned(), next) {
                        self.changed(inner);
                    }
                }
                Err(problems) => {
                    inner.message = Some(Message {
                        path: path.to_owned(),
                        written: written.to_owned(),
                        ..Message::bad(problems.join(". "))
                    });
                }
            }
        });
    }

    /// After the draft changed: older work is given up, and what is not saved is kept safe.
    pub(super) fn changed(&self, inner: &mut Inner) {
        self.give_up();
        inner.offer = None;
        let text = (inner.draft.now.text != inner.draft.saved.text)
            .then_some(inner.draft.now.text.as_str());
        if let Err(why) = self.disk.write_beside(Beside::Unsaved, text) {
            inner.message = Some(Message::bad(format!(
                "what is not saved cannot be kept safe: {why}"
            )));
        }
        self.wake.notify_all();
    }

    /// Takes a step back, or again.
    pub(super) fn back_or_forth(&self, back: bool) {
        let mut inner = self.lock();
        if !inner.draft.back_or_forth(back) {
            return;
        }
        match ready(&inner.draft.now.text, self.disk.as_ref()) {
            Ok(ready) => inner.ready = ready,
            Err(problems) => inner.message = Some(Message::bad(problems.join(". "))),
        }
        self.changed(&mut inner);
        drop(inner);
        self.told();
    }

    /// Asks for answers; those that are there already are not asked for again.
    pub(super) fn want(&self, needs: &[Need]) {
        let mut inner = self.lock();
        let revision = inner.draft.revision;
        for need in needs {
            if !inner.answers.is_known(*need, revision) {
                inner.needs.insert(*need);
            }
        }
        drop(inner);
        self.wake.notify_all();
    }

    pub(super) fn seen(&self, query: HashMap<String, String>, csrf: &str) -> Seen {
        self.look_at_disk();
        Seen {
            inner: self.lock().clone(),
            name: self.disk.name(),
            tick: self.tick.borrow().clone(),
            csrf: csrf.to_owned(),
            query,
        }
    }

    pub(super) fn forget_message(&self) {
        self.lock().message = None;
    }

    /// Has the file on disk changed since it was read? Where nothing on the page is unsaved, it is read anew.
    fn look_at_disk(&self) {
        let Ok(on_disk) = self.disk.project() else {
            return;
        };
        let mut inner = self.lock();
        let Some(text) = on_disk.filter(|text| *text != inner.draft.saved.text) else {
            inner.on_disk = None;
            return;
        };
        if !inner.is_new && inner.draft.now.text == inner.draft.saved.text {
            self.take_from_disk(&mut inner, text);
        } else {
            inner.on_disk = Some(text);
        }
    }

    /// Reads the file on disk in place of the draft's text; where that cannot be used, says so and keeps the draft.
    pub(super) fn take_from_disk(&self, inner: &mut Inner, text: String) {
        match ready(&text, self.disk.as_ref()) {
            Ok(ready) => {
                inner.ready = ready;
                let next = State {
                    text: text.clone(),
                    ..inner.draft.now.clone()
                };
                inner.draft.step("the file as changed on disk".into(), next);
                inner.draft.saved.text = text;
                inner.on_disk = None;
                inner.is_new = false;
                inner.message = Some(Message::good("the file was changed on disk and read anew"));
                self.changed(inner);
            }
            Err(problems) => {
                inner.message = Some(Message::bad(format!(
                    "the file on disk cannot be used: {}",
                    problems.join(". ")
                )));
                inner.on_disk = Some(text);
            }
        }
    }

    fn give_up(&self) {
        self.stop.store(true, Ordering::Relaxed);
        self.given_up.store(true, Ordering::Relaxed);
    }

    /// Ends all work; what is not saved has been kept safe with every change.
    pub fn end(&self) {
        self.ended.store(true, Ordering::Relaxed);
        self.give_up();
        self.wake.notify_all();
        self.told();
    }
}

/// Text of a new project.
pub(super) fn begin(place: &str, shape: StarterShape, units: Units) -> String {
    starter(&StarterOptions {
        place: place.to_owned(),
        shape,
        units,
    })
}
