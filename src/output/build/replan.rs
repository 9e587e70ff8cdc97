//! The plan made anew from the journal, from the study to the view.

use crate::output::view::{Note, ReplanRow, ReplanView};
use crate::study::{ChangeKind, ClimateStudy, Job, ReplanStudy};

/// The plan with its changes; what was taken for granted stands first among its notes.
pub fn replan(job: &Job, climate: &ClimateStudy, study: &ReplanStudy) -> ReplanView {
    let mut plan = super::plan(job, climate, &study.plan);
    let said = study.notes.iter().map(|text| Note::plain(text.clone()));
    plan.notes.splice(0..0, said);
    ReplanView {
        plan,
        kept: study.kept as u32,
        changes: study
            .changes
            .iter()
            .map(|change| ReplanRow {
                change: match change.kind {
                    ChangeKind::Dropped => "dropped",
                    ChangeKind::Added => "added",
                    ChangeKind::Moved(_) => "moved",
                    ChangeKind::OtherBed => "other bed",
                }
                .to_owned(),
                bed: change.bed.clone(),
                crop: change.crop.clone(),
                crop_name: job.table.name_of(&change.crop),
                sow: change.sow,
                later_days: match change.kind {
                    ChangeKind::Moved(days) => Some(days as f64),
                    _ => None,
                },
                area_m2: change.area_m2,
                why: change.why.clone(),
            })
            .collect(),
    }
}
