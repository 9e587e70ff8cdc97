//! Changes of the project file: one key, one entry of a list, and what becomes of them all: saved, thrown away, or laid
//! over a file that changed meanwhile.

use super::answers::Message;
use super::desk::{Desk, Inner, NO_KEY, begin};
use super::disk::Beside;
use super::draft::{State, key_changes};
use super::words::label_in_file;
use crate::file::{Edit, EditError, StarterShape};
use crate::output::units::Units;
use crate::plain;
use crate::plan::PlanFile;
use crate::site::places::{self, Chosen};

impl Desk {
    fn edit(
        &self,
        what: &str,
        (path, written): (&str, &str),
        change: impl FnOnce(&mut Edit) -> Result<(), EditError>,
    ) {
        let now = self.lock().draft.now.clone();
        let changed = Edit::new(&now.text).and_then(|mut edit| {
            change(&mut edit)?;
            Ok(edit.text())
        });
        match changed {
            Ok(text) => self.step(what, (path, written), State { text, ..now }),
            Err(error) => self.say(wrong_at(path, written, error.to_string())),
        }
    }

    /// Sets a key, or takes it out where nothing is written.
    pub(super) fn set(&self, path: &str, written: &str) {
        // What people call a place of the shelf is written by its name there; any other is looked up when the file is read.
        let place = (path == "site.place")
            .then(|| place_named(written).ok())
            .flatten();
        let value = place.as_deref().unwrap_or(written);
        let what = format!("{}: {written}", label_in_file(path));
        self.edit(&what, (path, written), |edit| edit.write(path, value));
    }

    /// Adds an entry to a list of texts or numbers.
    pub(super) fn add_to_list(&self, path: &str, written: &str) {
        if written.trim().is_empty() {
            return;
        }
        let what = format!("{}: {written}", label_in_file(path));
        self.edit(&what, (path, written), |edit| edit.push(path, written));
    }

    pub(super) fn add_beds(&self, keys: &[(&str, &str)]) {
        self.edit("more beds", ("bed", ""), |edit| {
            edit.push_table("bed", keys)
        });
    }

    pub(super) fn take_out(&self, path: &str) {
        let what = format!("{}: taken out", label_in_file(path));
        self.edit(&what, (path, ""), |edit| {
            edit.take(path);
            Ok(())
        });
    }

    /// Begins anew with a starter file at a place.
    pub(super) fn begin(&self, place: &str, shape: StarterShape, units: Units) {
        let named = match place_named(place) {
            Ok(named) => named,
            Err(why) => return self.say(wrong_at("begin", place, why)),
        };
        self.lock().units = units;
        let now = self.lock().draft.now.clone();
        let text = begin(&named, shape, units);
        self.step("a new project", ("begin", &named), State { text, ..now });
    }

    pub(super) fn set_units(&self, units: Units) {
        self.change(|inner| inner.units = units);
    }

    /// Writes file and plan. A file that changed on disk meanwhile is never written over, unless the person says so.
    pub(super) fn save(&self, over: bool) {
        let told = self.plan_with_reasons();
        let on_disk = self.disk.project();
        self.change(|inner| {
            let said = on_disk.and_then(|there| self.saved(inner, there, over, told.as_ref()));
            inner.message = Some(said.map_or_else(Message::bad, Message::good));
        });
    }

    fn saved(
        &self,
        inner: &mut Inner,
        there: Option<String>,
        over: bool,
        told: Option<&(PlanFile, PlanFile)>,
    ) -> Result<String, String> {
        let expected = (!inner.is_new).then(|| inner.draft.saved.text.clone());
        if there != expected && there.as_ref() != Some(&inner.draft.now.text) && !over {
            inner.on_disk = there;
            return Err("nothing was written: the file was changed on disk meanwhile".to_owned());
        }
        let plan = inner.draft.now.plan.as_ref();
        let told = told.filter(|(bare, _)| Some(bare) == plan);
        let plan = told.map(|told| &told.1).or(plan);
        let plan = plan.filter(|_| inner.draft.plan_is_changed());
        self.write(&inner.draft.now.text, plan)?;
        inner.draft.saved = inner.draft.now.clone();
        inner.is_new = false;
        inner.on_disk = None;
        inner.unsaved = None;
        Ok(format!("saved: {}", self.disk.name()))
    }

    /// The agreed plan without and with why each planting is there, which is worked out for the file alone; none where the plan is
    /// not changed, or not yet worked out.
    fn plan_with_reasons(&self) -> Option<(PlanFile, PlanFile)> {
        let inner = self.lock();
        let planned = inner.answers.plan.value.clone()?;
        let agreed = inner.draft.now.plan.as_ref() == Some(&planned.file);
        let asked = agreed && inner.draft.plan_is_changed();
        drop(inner);
        asked.then(|| (planned.file.clone(), planned.study.file()))
    }

    fn write(&self, project: &str, plan: Option<&PlanFile>) -> Result<(), String> {
        self.disk.write_project(project)?;
        if let Some(plan) = plan {
            let text = plan.to_toml().map_err(|error| error.to_string())?;
            self.disk.write_beside(Beside::Plan, Some(&text))?;
        }
        self.disk.write_beside(Beside::Unsaved, None)
    }

    /// Takes the file on disk, and throws the changes of the page away.
    pub(super) fn take_disk(&self) {
        self.change(|inner| {
            if let Some(text) = inner.on_disk.clone() {
                self.take_from_disk(inner, text);
            }
        });
    }

    /// Takes the file on disk, and lays the changes of the page over it, key by key.
    pub(super) fn lay_over_disk(&self) {
        let mut inner = self.lock();
        let Some(there) = inner.on_disk.clone() else {
            return;
        };
        let changes = inner.draft.changes();
        drop(inner);
        let laid = Edit::new(&there).and_then(|mut edit| {
            for change in &changes {
                edit.write(&change.path, change.is.as_deref().unwrap_or(""))?;
            }
            Ok(edit.text())
        });
        match laid {
            Ok(text) => {
                inner = self.lock();
                inner.draft.saved.text = there;
                inner.is_new = false;
                inner.on_disk = None;
                let now = inner.draft.now.clone();
                drop(inner);
                let what = "changes laid over the file on disk";
                self.step(what, NO_KEY, State { text, ..now });
            }
            Err(error) => self.say(Message::bad(format!(
                "the changes cannot be laid over the file on disk: {error}"
            ))),
        }
    }

    /// Throws all changes of the file away; the step can be taken back.
    pub(super) fn drop_changes(&self) {
        let draft = self.lock().draft.clone();
        let text = draft.saved.text;
        let next = State { text, ..draft.now };
        self.step("all changes thrown away", NO_KEY, next);
    }

    /// What was not saved the last time: taken up, or thrown away.
    pub(super) fn unsaved(&self, take: bool) {
        let (kept, now) = {
            let mut inner = self.lock();
            (inner.unsaved.take(), inner.draft.now.clone())
        };
        if let Some(text) = kept.filter(|_| take) {
            let count = key_changes(&now.text, &text).len();
            let what = format!("{count} changes that were not saved");
            return self.step(&what, NO_KEY, State { text, ..now });
        }
        self.change(|inner| {
            if inner.draft.now.text == inner.draft.saved.text
                && let Err(why) = self.disk.write_beside(Beside::Unsaved, None)
            {
                inner.message = Some(Message::bad(why));
            }
        });
    }
}

/// What is wrong with what was written at a key.
fn wrong_at(path: &str, written: &str, why: String) -> Message {
    Message {
        path: path.to_owned(),
        written: written.to_owned(),
        ..Message::bad(why)
    }
}

/// A place as the file writes it: by its name on the shelf, or a town with its region and country.
///
/// # Errors
/// What is wrong with a name that is not known or that several towns have, in a sentence.
fn place_named(written: &str) -> Result<String, String> {
    match places::choose(&plain::blanked(written)) {
        Chosen::Shelf(name) => Ok(name.to_owned()),
        Chosen::Town(town, _) => Ok(town.in_words()),
        Chosen::Unclear { wrong, .. } => Err(wrong),
    }
}
