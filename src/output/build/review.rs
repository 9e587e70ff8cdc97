//! The plan against the journal, from the study to the view.

use crate::journal::Journal;
use crate::output::tasks::TaskKind;
use crate::output::view::{
    FollowedRow, KgReviewRow, MoneyReviewRow, MoneyToDate, Note, ReviewView, WorkRow,
};
use crate::phrase::{amount, phrase};
use crate::study::{Followed, Job, PlanStudy, ReviewStudy, State, WorkKind};

/// A year so far.
pub fn review(job: &Job, plan: &PlanStudy, journal: &Journal, study: &ReviewStudy) -> ReviewView {
    let name = |crop: &str| job.table.name_of(crop);
    let total = |of: fn(&crate::study::MoneyMonth) -> f64| study.money.iter().map(of).sum::<f64>();
    let (saved, budget) = (total(|month| month.saved), total(|month| month.budget));
    ReviewView {
        place: job.site.place.name.clone(),
        from: study.from,
        at: study.at,
        currency: plan.problem.market.currency.code().to_owned(),
        rows_used: journal.entries.len() as u32,
        rows_bad: journal.bad.len() as u32,
        planned_kg: study.kg.iter().map(|row| row.planned_kg).sum(),
        picked_kg: study.kg.iter().map(|row| row.picked_kg).sum(),
        to_date: MoneyToDate {
            planned: total(|month| month.planned),
            saved,
            paid: total(|month| month.paid),
            shop: total(|month| month.shop),
            budget,
            share: (budget > 0.0).then(|| saved / budget),
        },
        kg: study.kg.iter().map(KgReviewRow::of).collect(),
        money: study.money.iter().map(MoneyReviewRow::of).collect(),
        plantings: study
            .plantings
            .iter()
            .map(|one| followed(one, &name))
            .collect(),
        work: study
            .work
            .iter()
            .map(|work| WorkRow {
                due: work.due,
                late_days: work.late_days as u32,
                task: task(work.kind).words().to_owned(),
                bed: work.bed.clone(),
                crop_name: name(&work.crop),
                area_m2: work.area_m2,
                harvest_kg: work.kg,
            })
            .collect(),
        notes: notes(study),
    }
}

fn task(kind: WorkKind) -> TaskKind {
    match kind {
        WorkKind::SowTray => TaskKind::SowTray,
        WorkKind::SowBed => TaskKind::SowBed,
        WorkKind::SetOut => TaskKind::SetOut,
        WorkKind::Pick => TaskKind::Pick,
        WorkKind::Clear => TaskKind::Clear,
    }
}

fn followed(one: &Followed, name: &impl Fn(&str) -> String) -> FollowedRow {
    let (state, day, cause) = match &one.state {
        State::ToCome => ("to come", None, ""),
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
    FollowedRow {
        bed: one.bed.clone(),
        crop: one.crop.clone(),
        crop_name: name(&one.crop),
        planned_sow: one.planned.as_ref().map(|planned| planned.sow),
        sown: one.stands.iter().find_map(|stand| stand.sown),
        behind_days: late as f64,
        state: state.to_owned(),
        day,
        cause: cause.to_owned(),
        planned_kg: one
            .planned
            .as_ref()
            .map_or(0.0, |planned| planned.picks.iter().map(|(_, kg)| kg).sum()),
        picked_kg: one.picked_kg,
    }
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
            format!("{before} plantings of the plan begin before the journal does; they are left out of plan and fact"),
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
