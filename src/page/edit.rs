//! Changes of the project file: one key, one entry of a list, and what becomes of them all: saved, thrown away, or laid
//! over a file that changed meanwhile.

use super::answers::Message;
use super::desk::{Desk, begin};
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
            Ok(text) => self.step(what, path, written, State { text, ..now }),
            Err(error) => {
                self.lock().message = Some(Message {
                    path: path.to_owned(),
                    written: written.to_owned(),
                    ..Message::bad(error.to_string())
                });
                self.told();
            }
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

    /// Adds beds.
    pub(super) fn add_beds(&self, keys: &[(&str, &str)]) {
        self.edit("more beds", ("bed", ""), |edit| {
            edit.push_table("bed", keys)
        });
    }

    /// Takes an entry out of a list.
    pub(super) fn take_out(&self, path: &str) {
        let what = format!("{}: taken out", label_in_file(path));
        self.edit(&what, (path, ""), |edit| {
            edit.take(path);
            Ok(())
        });
    }

    /// Begins anew with a starter file at a place.
    pub(super) fn begin(&self, place: &str, shape: StarterShape, units: Units) {
        let place = match place_named(place) {
            Ok(place) => place,
            Err(why) => {
                self.lock().message = Some(Message {
                    path: "begin".to_owned(),
                    written: place.to_owned(),
                    ..Message::bad(why)
                });
                return self.told();
            }
        };
        self.lock().units = units;
        let now = self.lock().draft.now.clone();
        let text = begin(&place, shape, units);
        self.step("a new project", "begin", &place, State { text, ..now });
    }

    /// Shows people's units.
    pub(super) fn set_units(&self, units: Units) {
        self.lock().units = units;
        self.told();
    }

    /// Writes file and plan. A file that changed on disk meanwhile is never written over, unless the person says so.
    pub(super) fn save(&self, over: bool) {
        let told = self.plan_with_reasons();
        let on_disk = self.disk.project();
        let mut inner = self.lock();
        let said = match on_disk {
            Err(why) => Message::bad(why),
            Ok(there) => {
                let expected = (!inner.is_new).then(|| inner.draft.saved.text.clone());
                if there != expected && there.as_ref() != Some(&inner.draft.now.text) && !over {
                    inner.on_disk = there;
                    Message::bad("nothing was written: the file was changed on disk meanwhile")
                } else {
                    let plan = inner.draft.now.plan.as_ref();
                    let plan = told
                        .as_ref()
                        .filter(|(bare, _)| Some(bare) == plan)
                        .map(|told| &told.1)
                        .or(plan);
                    let plan = plan.filter(|_| inner.draft.plan_is_changed());
                    match self.write(&inner.draft.now.text, plan) {
                        Ok(()) => {
                            inner.draft.saved = inner.draft.now.clone();
                            inner.is_new = false;
                            inner.on_disk = None;
                            inner.unsaved = None;
                            Message::good(format!("saved: {}", self.disk.name()))
                        }
                        Err(why) => Message::bad(why),
                    }
                }
            }
        };
        inner.message = Some(said);
        drop(inner);
        self.told();
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
        let mut inner = self.lock();
        if let Some(text) = inner.on_disk.clone() {
            self.take_from_disk(&mut inner, text);
        }
        drop(inner);
        self.told();
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
                self.step(
                    "changes laid over the file on disk",
                    "",
                    "",
                    State { text, ..now },
                );
            }
            Err(error) => {
                self.lock().message = Some(Message::bad(format!(
                    "the changes cannot be laid over the file on disk: {error}"
                )));
                self.told();
            }
        }
    }

    /// Throws all changes of the file away; the step can be taken back.
    pub(super) fn drop_changes(&self) {
        let (now, saved) = {
            let inner = self.lock();
            (inner.draft.now.clone(), inner.draft.saved.text.clone())
        };
        self.step(
            "all changes thrown away",
            "",
            "",
            State { text: saved, ..now },
        );
    }

    /// What was not saved the last time: taken up, or thrown away.
    pub(super) fn unsaved(&self, take: bool) {
        let (kept, now) = {
            let mut inner = self.lock();
            (inner.unsaved.take(), inner.draft.now.clone())
        };
        match kept {
            Some(text) if take => {
                let count = key_changes(&now.text, &text).len();
                let what = format!("{count} changes that were not saved");
                self.step(&what, "", "", State { text, ..now });
            }
            _ => {
                let mut inner = self.lock();
                if inner.draft.now.text == inner.draft.saved.text
                    && let Err(why) = self.disk.write_beside(Beside::Unsaved, None)
                {
                    inner.message = Some(Message::bad(why));
                }
                drop(inner);
                self.told();
            }
        }
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
