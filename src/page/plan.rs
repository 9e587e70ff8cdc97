//! The plan by hand: a change is tried first, its effect shown, and kept only when the person says so.

use std::sync::Arc;
use std::sync::atomic::Ordering;

use chrono::NaiveDate;

use super::answers::{Message, Need, Offer, Replanned};
use super::ask::Ask;
use super::desk::Desk;
use super::draft::State;
use crate::file::{Edit, EditError};
use crate::output::view::PlantingRow;
use crate::plan::PlanFile;
use crate::plan::planfile::FilePlanting;
use crate::study::{self, HandEdit, Opening};

/// Names a planting of the plan: bed, crop, day of sowing and way.
pub fn key(bed: &str, crop: &str, sow: NaiveDate, tray: bool) -> String {
    let way = if tray { "tray" } else { "direct" };
    format!("{bed}|{crop}|{sow}|{way}")
}

/// The same of a planting as shown.
pub fn key_of_row(row: &PlantingRow) -> String {
    key(&row.bed, &row.crop, row.sow, row.transplant.is_some())
}

/// The same of a planting of the file.
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

/// A change by hand as the page asks for it.
#[derive(Clone, Debug, Default)]
pub struct Wish {
    /// `move`, `swap`, `end`, `remove` or `add`.
    pub kind: String,
    /// Planting, by [`key`].
    pub at: String,
    /// Other planting of a swap.
    pub with: String,
    /// Bed.
    pub bed: String,
    /// Crop with its way: `spinach|tray`.
    pub crop: String,
    /// Day of sowing, or of clearing where it ends early.
    pub sow: Option<NaiveDate>,
    /// Patches of a new sowing.
    pub patches: usize,
}

impl Desk {
    /// Tries a change of the plan and puts its effect up for a yes or a no.
    pub(super) fn try_plan(&self, wish: &Wish) {
        let (ready, answers, state, revision) = {
            let inner = self.lock();
            let now = inner.draft.now.clone();
            (
                inner.ready.clone(),
                inner.answers.clone(),
                now,
                inner.draft.revision,
            )
        };
        let tried = (|| {
            let (Some(climate), Some(planned)) = (&answers.climate.value, &answers.plan.value)
            else {
                return Err("the plan is still being worked out; try again in a moment".to_owned());
            };
            let file = &planned.file;
            let locked = |at: &str| state.locked.contains(at);
            if locked(&wish.at) || locked(&wish.with) {
                return Err("that sowing is locked; unlock it first".to_owned());
            }
            let (edit, what) = hand_edit(&planned.study, file, wish)?;
            let new = edit.apply(file);
            let grown = matches!(edit, HandEdit::End { .. });
            let (planned, effect) = Ask::try_plan(&ready, climate, planned, (&new, grown))?;
            Ok(Offer {
                what,
                file: planned.file.clone(),
                effect: Some(Arc::new(effect)),
                planned: Some(Arc::new(planned)),
                replan: None,
                revision,
            })
        })();
        let mut inner = self.lock();
        match tried {
            Ok(offer) => {
                inner.offer = Some(offer);
                inner.message = None;
            }
            Err(why) => inner.message = Some(Message::bad(why)),
        }
        drop(inner);
        self.told();
    }

    /// Keeps the plan that was offered, or leaves it.
    pub(super) fn decide(&self, keep: bool) {
        let mut inner = self.lock();
        let Some(offer) = inner.offer.take() else {
            return;
        };
        if !keep {
            drop(inner);
            return self.told();
        }
        if offer.revision != inner.draft.revision {
            inner.message = Some(Message::bad(
                "the project has changed since that plan was shown; try it again",
            ));
            drop(inner);
            return self.told();
        }
        if let Some(replan) = &offer.replan {
            let now = inner.draft.now.clone();
            let what = format!("plan: {}", offer.what);
            drop(inner);
            match with_standing(&now.text, replan) {
                Ok(text) => {
                    let plan = Some(offer.file);
                    self.step(&what, "", "", State { text, plan, ..now });
                }
                Err(error) => {
                    self.lock().message = Some(Message::bad(error.to_string()));
                    self.told();
                }
            }
            return;
        }
        let there: Vec<String> = offer.file.plantings.iter().map(key_of).collect();
        let mut next = State {
            plan: Some(offer.file),
            ..inner.draft.now.clone()
        };
        next.locked.retain(|key| there.contains(key));
        let what = format!("plan: {}", offer.what);
        inner.draft.step(what, next);
        self.changed(&mut inner);
        let revision = inner.draft.revision;
        if let Some(planned) = offer.planned {
            inner.answers.plan.put(Ok(planned), revision, false);
        }
        drop(inner);
        self.told();
    }

    /// Locks a planting, or unlocks it.
    pub(super) fn lock_planting(&self, key: &str) {
        let mut inner = self.lock();
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
        let moved = inner.draft.revision;
        let answers = &mut inner.answers;
        for held in [
            &mut answers.climate.revision,
            &mut answers.season.revision,
            &mut answers.plan.revision,
            &mut answers.value.revision,
            &mut answers.review.revision,
            &mut answers.outage.revision,
            &mut answers.why.revision,
        ] {
            if *held == revision {
                *held = moved;
            }
        }
        drop(inner);
        self.told();
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

fn hand_edit(
    plan: &study::PlanStudy,
    file: &PlanFile,
    wish: &Wish,
) -> Result<(HandEdit, String), String> {
    let gone = || "that sowing is no longer in the plan".to_owned();
    let planting = |key: &str| {
        let at = find(file, key).ok_or_else(gone)?;
        let planting = file.plantings.get(at).ok_or_else(gone)?;
        Ok::<_, String>((at, planting))
    };
    let name = |crop: &str| {
        let crops = &plan.problem.crops;
        let found = crops.iter().find(|one| one.id == crop);
        found.map_or_else(|| crop.to_owned(), |one| one.name.clone())
    };
    match wish.kind.as_str() {
        "remove" => {
            let (at, one) = planting(&wish.at)?;
            let what = format!(
                "{} sown {} in {}, taken out.",
                name(&one.crop),
                one.sow,
                one.bed
            );
            Ok((HandEdit::Remove { at }, what))
        }
        "end" => {
            let (at, one) = planting(&wish.at)?;
            let clear = wish.sow.ok_or("choose a day")?;
            let what = format!(
                "{} sown {} in {}, ended early: its bed is free on {clear}.",
                name(&one.crop),
                one.sow,
                one.bed
            );
            Ok((HandEdit::End { at, clear }, what))
        }
        "swap" => {
            let ((at, one), (with, other)) = (planting(&wish.at)?, planting(&wish.with)?);
            let what = format!(
                "{} of {} and {} of {} change beds.",
                name(&one.crop),
                one.bed,
                name(&other.crop),
                other.bed
            );
            Ok((HandEdit::Swap { at, with }, what))
        }
        "move" => {
            let (at, one) = planting(&wish.at)?;
            let bed = if wish.bed.is_empty() {
                &one.bed
            } else {
                &wish.bed
            };
            let count = one.patches.len();
            let found = study::openings(plan, file, (bed, &one.crop, one.tray), count, Some(at));
            let day = wish.sow.unwrap_or(one.sow);
            let opening = nearest(&found, day, count).ok_or_else(|| {
                format!(
                    "{} finds no room for that area in {bed} on any day on which it comes through",
                    name(&one.crop)
                )
            })?;
            let what = format!(
                "{} sown {} in {bed}, was sown {} in {}.",
                name(&one.crop),
                opening.sow,
                one.sow,
                one.bed
            );
            let edit = HandEdit::Move {
                at,
                bed: bed.clone(),
                patches: opening.patches.clone(),
                sow: opening.sow,
            };
            Ok((edit, what))
        }
        "add" => {
            let (crop, way) = wish.crop.split_once('|').ok_or("choose a crop")?;
            let tray = way == "tray";
            let count = wish.patches.max(1);
            let found = study::openings(plan, file, (&wish.bed, crop, tray), count, None);
            let day = wish.sow.ok_or("choose a day")?;
            let on_day = found.iter().find(|one| one.sow == day);
            let opening = on_day.ok_or("nothing is free in that bed on that day")?;
            let what = format!("{} sown {day} in {}, new.", name(crop), wish.bed);
            let new = FilePlanting::asked(&wish.bed, &opening.patches, crop, (day, tray));
            Ok((HandEdit::Add(new), what))
        }
        other => Err(format!("there is no change `{other}`")),
    }
}
