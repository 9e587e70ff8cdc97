//! The journal: one row of it, the plan made anew from it, the plan against it.

use chrono::NaiveDate;
use serde::Serialize;

use super::{Note, PlanView};
use crate::journal::{Amount, Entry, Journal, Undone};
use crate::output::row::{row, view};
use crate::output::tasks::TaskKind;
use crate::phrase::{amount, phrase};
use crate::study::{
    Change, ChangeKind, ClimateStudy, Followed, Job, KgRow, MoneyMonth, PlanStudy, ReplanStudy,
    ReviewStudy, State, Work, WorkKind,
};
use crate::words::Word;

row! {
    /// One row of the journal.
    pub struct JournalRow of (entry: &Entry, currency: &str) {
        let (amount, unit) = match entry.amount {
            None => (None, ""),
            Some(Amount::Kg(kg)) => (Some(kg), "kg"),
            Some(Amount::M2(m2)) => (Some(m2), "m2"),
            Some(Amount::Money(paid)) => (Some(paid), currency),
        };
        /// Line of the journal on which it stands, from 1.
        line: u32, "" => entry.line as u32;
        /// Day.
        date: NaiveDate, "" => entry.date;
        /// What happened.
        event: String, "" => entry.event.word().to_owned();
        /// Name of the bed; empty where none is named.
        bed: String, "" => entry.bed.clone().unwrap_or_default();
        /// Identifier of the crop; empty where none is named.
        crop: String, "" => entry.crop.clone().unwrap_or_default();
        /// How much, in its unit.
        amount: Option<f64>, "see unit" => amount;
        /// `kg`, `m2`, or the project's currency.
        unit: String, "" => unit.to_owned();
        /// Cause, what was bought, anything else.
        note: String, "" => entry.note.clone();
    }
}

view! {
    /// One row added to the journal.
    pub struct LogView of log_view(journal: &str, row: JournalRow, added: bool, taken_back: bool) {
        /// File name of the journal.
        journal: String => journal.to_owned();
        /// Whether it was added; if not, the very row was there already.
        added: bool => added;
        /// Whether it stood there and was taken back.
        taken_back: bool => taken_back;
        /// The row.
        #[serde(flatten)]
        row: JournalRow => row;
    }
}

/// What became of a row that was to be added on a line.
pub fn log(journal: &str, entry: &Entry, line: usize, added: bool, currency: &str) -> LogView {
    let mut row = JournalRow::of(entry, currency);
    row.line = line as u32;
    log_view(journal, row, added, false)
}

/// A row that was taken back.
pub fn taken_back(journal: &str, undone: &Undone, currency: &str) -> LogView {
    let row = JournalRow::of(&undone.entry, currency);
    log_view(journal, row, false, true)
}

row! {
    /// One change from the plan that was agreed to.
    pub struct ReplanRow of (job: &Job, change: &Change) {
        /// `dropped`, `added`, `moved` or `other bed`.
        change: String, "", "Change" => match change.kind {
            ChangeKind::Dropped => "dropped",
            ChangeKind::Added => "added",
            ChangeKind::Moved(_) => "moved",
            ChangeKind::OtherBed => "other bed",
        }
        .to_owned();
        /// Name of the bed.
        bed: String, "" => change.bed.clone();
        /// Identifier of the crop.
        crop: String, "" => change.crop.clone();
        /// Name of the crop for people.
        crop_name: String, "", "Crop" => job.table.name_of(&change.crop);
        /// Day of sowing, the new one where there is one.
        sow: NaiveDate, "" => change.sow;
        /// Days later than agreed, where it is moved; earlier where negative.
        later_days: Option<f64>, "days", "Later" => match change.kind {
            ChangeKind::Moved(days) => Some(days as f64),
            _ => None,
        };
        /// Bed area, where known.
        area_m2: Option<f64>, "m2" => change.area_m2;
        /// Why.
        why: String, "" => change.why.clone();
    }
}

view! {
    /// The plan made anew.
    pub struct ReplanView of replan(job: &Job, climate: &ClimateStudy, study: &ReplanStudy) {
        let made = super::plan::plan(job, climate, &study.plan);
        // What was taken for granted stands first.
        let taken = study.notes.iter().map(Note::plain);
        let notes = taken.chain(made.notes.iter().cloned()).collect();
        /// The plan.
        #[serde(flatten)]
        plan: PlanView => PlanView { notes, ..made };
        /// Sowings agreed to that stay as they were.
        kept: u32 => study.kept as u32;
        /// What changes, by bed and day.
        changes: Vec<ReplanRow> => study.changes.iter().map(|change| ReplanRow::of(job, change)).collect();
    }
}

row! {
    /// Plan against fact of one month, bed and crop.
    pub struct KgReviewRow of (row: &KgRow) {
        /// First day of the month.
        month: NaiveDate, "" => row.month;
        /// Name of the bed; empty where the journal names none.
        bed: String, "" => row.bed.clone();
        /// Identifier of the crop.
        crop: String, "" => row.crop.clone();
        /// Planned for the days that have passed.
        planned_kg: f64, "kg", "Planned" => row.planned_kg;
        /// Picked.
        picked_kg: f64, "kg", "Picked" => row.picked_kg;
    }
}

row! {
    /// One month in money.
    pub struct MoneyReviewRow of (month: &MoneyMonth) {
        /// First day of the month.
        month: NaiveDate, "" => month.month;
        /// What the plan's food would have cost.
        planned: f64, "currency" => month.planned;
        /// What the picked food would have cost, as far as the household eats it.
        saved: f64, "currency" => month.saved;
        /// Paid for the garden.
        paid: f64, "currency" => month.paid;
        /// Paid in shops for food, as far as the journal names it.
        shop: f64, "currency", "In shops" => month.shop;
        /// Produce budget of the days that have passed.
        budget: f64, "currency" => month.budget;
    }
}

row! {
    /// One planting as it stands.
    pub struct FollowedRow of (job: &Job, one: &Followed) {
        let (state, day, cause) = match &one.state {
            State::ToCome => ("to come", None, ""),
            State::NotSown { .. } if is_planted(job, &one.crop) => ("not planted", None, ""),
            State::NotSown { .. } => ("not sown", None, ""),
            State::Growing { .. } if one.set_out_due.is_some() => ("in trays", one.set_out_due, ""),
            State::Growing { ready } => ("growing", *ready, ""),
            State::Ready { since } => ("ready", Some(*since), ""),
            State::Picking => ("picking", None, ""),
            State::Done => ("done", None, ""),
            State::Lost { on, cause } => ("lost", Some(*on), cause.as_str()),
            State::BeforeTheJournal => ("before the journal", None, ""),
        };
        let late = match one.state {
            State::NotSown { late_days } => late_days,
            _ => one.behind_days,
        };
        /// Name of the bed.
        bed: String, "" => one.bed.clone();
        /// Identifier of the crop.
        crop: String, "" => one.crop.clone();
        /// Name of the crop for people.
        crop_name: String, "", "Crop" => job.table.name_of(&one.crop);
        /// Planned day of sowing; empty where the plan has it not.
        planned_sow: Option<NaiveDate>, "", "Planned" => one.planned.as_ref().map(|planned| planned.sow);
        /// Day of sowing as the journal has it.
        sown: Option<NaiveDate>, "" => one.stands.iter().find_map(|stand| stand.sown);
        /// Days by which it is later than planned.
        behind_days: f64, "days", "Days late" => late as f64;
        /// `to come`, `not sown` (`not planted` where it is no seed), `in trays` (the day is that of setting out), `growing`, `ready`, `picking`, `done`, `lost` or `before the journal`.
        state: String, "" => state.to_owned();
        /// Since when, or until when, where the state has a day.
        day: Option<NaiveDate>, "", "Since or from" => day;
        /// Cause of a loss.
        cause: String, "" => cause.to_owned();
        /// Planned in all.
        planned_kg: f64, "kg", "Planned" => one
            .planned
            .as_ref()
            .map_or(0.0, |planned| planned.picks.iter().map(|(_, kg)| kg).sum());
        /// Picked so far.
        picked_kg: f64, "kg", "Picked" => one.picked_kg;
    }
}

row! {
    /// One thing to do.
    pub struct WorkRow of (job: &Job, work: &Work) {
        /// The day it is due.
        due: NaiveDate, "" => work.due;
        /// Days by which it is late.
        late_days: u32, "days" => work.late_days as u32;
        /// What to do.
        task: String, "", "Work" => task(job, work).word().to_owned();
        /// Name of the bed.
        bed: String, "" => work.bed.clone();
        /// Name of the crop for people.
        crop_name: String, "", "Crop" => job.table.name_of(&work.crop);
        /// Bed area.
        area_m2: f64, "m2", "Area" => work.area_m2;
        /// Expected picking.
        harvest_kg: Option<f64>, "kg", "Expected" => work.kg;
    }
}

/// Money from the first day of the review to its last.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct MoneyToDate {
    /// What the plan's food would have cost.
    pub planned: f64,
    /// What the picked food would have cost.
    pub saved: f64,
    /// Paid for the garden.
    pub paid: f64,
    /// Paid in shops for food, as far as the journal names it.
    pub shop: f64,
    /// Produce budget.
    pub budget: f64,
    /// Saved, as a share of the budget; empty without a budget.
    pub share: Option<f64>,
}

view! {
    /// The plan against what was done.
    pub struct ReviewView of review(job: &Job, plan: &PlanStudy, journal: &Journal, study: &ReviewStudy) {
        let total = |of: fn(&crate::study::MoneyMonth) -> f64| study.money.iter().map(of).sum::<f64>();
        let (saved, budget) = (total(|month| month.saved), total(|month| month.budget));
        /// Where the building stands.
        place: String => job.site.place.name.clone();
        /// First day that counts.
        from: NaiveDate => study.from;
        /// Last day that counts.
        at: NaiveDate => study.at;
        /// Currency of all money.
        currency: String => plan.problem.market.currency.code().to_owned();
        /// File of the plan reviewed; empty where none was named and one was searched for.
        plan: String => String::new();
        /// Rows of the journal in use.
        rows_used: u32 => journal.entries.len() as u32;
        /// Rows left out.
        rows_bad: u32 => journal.bad.len() as u32;
        /// Planned for the days that have passed, kg.
        planned_kg: f64 => study.kg.iter().map(|row| row.planned_kg).sum();
        /// Picked, kg.
        picked_kg: f64 => study.kg.iter().map(|row| row.picked_kg).sum();
        /// Money so far.
        to_date: MoneyToDate => MoneyToDate {
            planned: total(|month| month.planned),
            saved,
            paid: total(|month| month.paid),
            shop: total(|month| month.shop),
            budget,
            share: (budget > 0.0).then(|| saved / budget),
        };
        /// Plan against fact by month, bed and crop.
        kg: Vec<KgReviewRow> => study.kg.iter().map(KgReviewRow::of).collect();
        /// Money by month.
        money: Vec<MoneyReviewRow> => study.money.iter().map(MoneyReviewRow::of).collect();
        /// Plantings by bed.
        plantings: Vec<FollowedRow> => study.plantings.iter().map(|one| FollowedRow::of(job, one)).collect();
        /// What is late, and the work of the two weeks ahead.
        work: Vec<WorkRow> => study.work.iter().map(|work| WorkRow::of(job, work)).collect();
        /// What to mind.
        notes: Vec<Note> => notes(study);
    }
}

fn task(job: &Job, work: &Work) -> TaskKind {
    match work.kind {
        WorkKind::SowTray if is_planted(job, &work.crop) => TaskKind::Buy,
        WorkKind::SowBed if is_planted(job, &work.crop) => TaskKind::Plant,
        WorkKind::SowTray => TaskKind::SowTray,
        WorkKind::SowBed => TaskKind::SowBed,
        WorkKind::SetOut => TaskKind::SetOut,
        WorkKind::Pick => TaskKind::Pick,
        WorkKind::Clear => TaskKind::Clear,
    }
}

/// Is it no seed that goes into the ground?
fn is_planted(job: &Job, crop: &str) -> bool {
    let crop = job.table.get(crop);
    crop.is_some_and(|crop| crop.planted_as.is_some())
}

fn notes(study: &ReviewStudy) -> Vec<Note> {
    let mut notes = Vec::new();
    let before = study
        .plantings
        .iter()
        .filter(|one| one.state == State::BeforeTheJournal)
        .count();
    if before > 0 {
        notes.push(Note::plain(
            format!("left out of plan and fact, as they begin before the journal does: {before} of the plan's plantings"),
        ));
    }
    if study.no_bed_kg > 0.0 {
        notes.push(Note::plain(phrase![
            amount(study.no_bed_kg, "kg", 1),
            " were picked without a bed in the journal"
        ]));
    }
    notes.push(Note::plain(
        "saved is what the picked food would have cost this household as far as it eats it; ready is the model's day in the usual year",
    ));
    notes
}
