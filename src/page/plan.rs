//! The plan by hand: a change is tried first, its effect shown, and kept only when the person says so.

use std::collections::HashMap;
use std::sync::Arc;
use std::sync::atomic::Ordering;

use chrono::NaiveDate;

use super::answers::{Message, Need, Offer, Replanned};
use super::ask::Ask;
use super::desk::{Desk, NO_KEY};
use super::draft::State;
use crate::file::{Edit, EditError};
use crate::output::view::PlantingRow;
use crate::plan::PlanFile;
use crate::plan::planfile::FilePlanting;
use crate::study::{self, Opening};

/// Names a planting of the plan: bed, crop, day of sowing and way.
pub fn key(bed: &str, crop: &str, sow: NaiveDate, tray: bool) -> String {
    let way = if tray { "tray" } else { "direct" };
    format!("{bed}|{crop}|{sow}|{way}")
}

pub fn key_of_row(row: &PlantingRow) -> String {
    key(&row.bed, &row.crop, row.sow, row.transplant.is_some())
}

pub fn key_of(planting: &FilePlanting) -> String {
    key(&planting.bed, &planting.crop, planting.sow, planting.tray)
}

/// Place of a planting in the file.
pub fn find(file: &PlanFile, wanted: &str) -> Option<usize> {
    file.plantings.iter().position(|one| key_of(one) == wanted)
}

/// The day nearest to one wished for.
fn nearest(openings: &[Opening], wish: NaiveDate, count: usize) -> Option<&Opening> {
    let enough = openings.iter().filter(|one| one.patches.len() == count);
    enough.min_by_key(|one| (one.sow - wish).num_days().abs())
}

/// A change by hand as a form of the page asks for it, by these fields: `kind` (`move`, `swap`, `end`, `remove` or `add`); `at` and
/// `with`, plantings by [`key`]; `bed`; `crop` with its way (`spinach|tray`); `sow`, the day of sowing, or of clearing where it ends
/// early; `patches` of a new sowing.
pub struct Wish<'f>(pub &'f HashMap<String, String>);

impl Wish<'_> {
    fn field(&self, name: &str) -> &str {
        self.0.get(name).map_or("", String::as_str)
    }

    fn day(&self) -> Option<NaiveDate> {
        self.field("sow").parse().ok()
    }
}

impl Desk {
    /// Tries a change of the plan and puts its effect up for a yes or a no.
    pub(super) fn try_plan(&self, wish: &Wish<'_>) {
        let inner = self.lock().clone();
        let tried = (|| {
            let (Some(climate), Some(planned)) =
                (&inner.answers.climate.value, &inner.answers.plan.value)
            else {
                return Err("the plan is still being worked out; try again in a moment".to_owned());
            };
            let file = &planned.file;
            let locked = |at: &str| inner.draft.now.locked.contains(at);
            if locked(wish.field("at")) || locked(wish.field("with")) {
                return Err("that sowing is locked; unlock it first".to_owned());
            }
            let (new, what) = hand_edit(&planned.study, file, wish)?;
            // An earlier end is none of the sowings that the plan's own search tried.
            let grown = wish.field("kind") == "end";
            let (planned, effect) = Ask::try_plan(&inner.ready, climate, planned, (&new, grown))?;
            Ok(Offer {
                what,
                file: planned.file.clone(),
                effect: Some(Arc::new(effect)),
                planned: Some(Arc::new(planned)),
                replan: None,
                revision: inner.draft.revision,
            })
        })();
        self.change(|inner| match tried {
            Ok(offer) => {
                inner.offer = Some(offer);
                inner.message = None;
            }
            Err(why) => inner.message = Some(Message::bad(why)),
        });
    }

    /// Keeps the plan that was offered, or leaves it.
    pub(super) fn decide(&self, keep: bool) {
        let mut inner = self.lock();
        let Some(offer) = inner.offer.take() else {
            return;
        };
        if keep && offer.revision != inner.draft.revision {
            inner.message = Some(Message::bad(
                "the project has changed since that plan was shown; try it again",
            ));
        } else if let Some(replan) = offer.replan.filter(|_| keep) {
            let now = inner.draft.now.clone();
            drop(inner);
            let (what, plan) = (format!("plan: {}", offer.what), Some(offer.file));
            return match with_standing(&now.text, &replan) {
                Ok(text) => self.step(&what, NO_KEY, State { text, plan, ..now }),
                Err(error) => self.say(Message::bad(error.to_string())),
            };
        } else if keep {
            let there: Vec<String> = offer.file.plantings.iter().map(key_of).collect();
            let mut next = State {
                plan: Some(offer.file),
                ..inner.draft.now.clone()
            };
            next.locked.retain(|key| there.contains(key));
            inner.draft.step(format!("plan: {}", offer.what), next);
            self.changed(&mut inner);
            let revision = inner.draft.revision;
            if let Some(planned) = offer.planned {
                inner.answers.plan.put(Ok(planned), revision, false);
            }
        }
        drop(inner);
        self.told();
    }

    /// Locks a planting, or unlocks it.
    pub(super) fn lock_planting(&self, key: &str) {
        self.change(|inner| {
            let mut next = inner.draft.now.clone();
            let what = if next.locked.remove(key) {
                "unlocked a sowing"
            } else {
                next.locked.insert(key.to_owned());
                "locked a sowing"
            };
            let revision = inner.draft.revision;
            inner.draft.step(what.to_owned(), next);
            // A lock changes no figure: what is known stays known.
            for (_, answer) in inner.answers.all() {
                answer.goes_on(revision, inner.draft.revision);
            }
        });
    }

    /// Searches for a new plan, or ends the search with the best so far.
    pub(super) fn search(&self, need: Need, on: bool) {
        if on {
            self.lock().offer = None;
            self.want(&[need]);
        } else {
            self.stop.store(true, Ordering::Relaxed);
        }
        self.told();
    }
}

/// The project's text with a plan that begins on a day, and what then stands in the beds.
fn with_standing(text: &str, replan: &Replanned) -> Result<String, EditError> {
    let mut edit = Edit::new(text)?;
    edit.write("year.from", &replan.from.to_string())?;
    edit.take("standing");
    for at in 0..edit.count("bed") {
        for key in ["stands", "sown", "share"] {
            edit.take(&format!("bed[{at}].{key}"));
        }
    }
    for table in &replan.standing {
        let keys: Vec<(&str, &str)> = table
            .iter()
            .map(|(key, value)| (*key, value.as_str()))
            .collect();
        edit.push_table("standing", &keys)?;
    }
    Ok(edit.text())
}

/// The plan after a change, and the change in words. What it was worth when it was saved stays in it, so that the change can be held
/// against it.
fn hand_edit(
    plan: &study::PlanStudy,
    file: &PlanFile,
    wish: &Wish<'_>,
) -> Result<(PlanFile, String), String> {
    let at = |name: &str| {
        let found = find(file, wish.field(name));
        found.ok_or("that sowing is no longer in the plan")
    };
    let name = |crop: &str| {
        let crops = &plan.problem.crops;
        let found = crops.iter().find(|one| one.id == crop);
        found.map_or_else(|| crop.to_owned(), |one| one.name.clone())
    };
    let sown = |one: &FilePlanting| format!("{} sown {} in {}", name(&one.crop), one.sow, one.bed);
    let mut new = file.clone();
    let what = match wish.field("kind") {
        "remove" => {
            let one = new.plantings.remove(at("at")?);
            format!("{}, taken out.", sown(&one))
        }
        "end" => {
            let one = &mut new.plantings[at("at")?];
            let clear = wish.day().ok_or("choose a day")?;
            one.clear = Some(clear);
            format!("{}, ended early: its bed is free on {clear}.", sown(one))
        }
        "swap" => {
            let (at, with) = (at("at")?, at("with")?);
            let (one, other) = (&file.plantings[at], &file.plantings[with]);
            for (changed, by) in [(at, other), (with, one)] {
                new.plantings[changed].bed.clone_from(&by.bed);
                new.plantings[changed].patches.clone_from(&by.patches);
            }
            let of = |one: &FilePlanting| format!("{} of {}", name(&one.crop), one.bed);
            format!("{} and {} change beds.", of(one), of(other))
        }
        "move" => {
            let at = at("at")?;
            let one = &mut new.plantings[at];
            let (crop, was, old) = (name(&one.crop), one.sow, one.bed.clone());
            let bed = Some(wish.field("bed")).filter(|bed| !bed.is_empty());
            let bed = bed.unwrap_or(&old);
            let count = one.patches.len();
            let found = study::openings(plan, file, (bed, &one.crop, one.tray), count, Some(at));
            let opening = nearest(&found, wish.day().unwrap_or(was), count).ok_or_else(|| {
                format!("{crop} finds no room for that area in {bed} on any day on which it comes through")
            })?;
            bed.clone_into(&mut one.bed);
            one.patches.clone_from(&opening.patches);
            one.sow = opening.sow;
            // On another day it stands as long as is usual then.
            one.clear = None;
            format!("{}, was sown {was} in {old}.", sown(one))
        }
        "add" => {
            let bed = wish.field("bed");
            let (crop, way) = wish.field("crop").split_once('|').ok_or("choose a crop")?;
            let tray = way == "tray";
            let count = wish.field("patches").parse().unwrap_or(1).max(1);
            let found = study::openings(plan, file, (bed, crop, tray), count, None);
            let day = wish.day().ok_or("choose a day")?;
            let on_day = found.iter().find(|one| one.sow == day);
            let opening = on_day.ok_or("nothing is free in that bed on that day")?;
            let one = FilePlanting::asked(bed, &opening.patches, crop, (day, tray));
            new.plantings.push(one);
            format!("{} sown {day} in {bed}, new.", name(crop))
        }
        other => return Err(format!("there is no change `{other}`")),
    };
    Ok((new, what))
}
