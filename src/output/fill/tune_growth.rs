//! Growth tuned to first harvests, from the study to the view.

use crate::output::text::fixed;
use crate::output::view::{GrowthRow, GrowthView, Note, NoteKind, PatchFile};
use crate::study::{CropGrowth, Job};

/// Digits of a factor in the patch.
const DIGITS: usize = 3;

/// First harvests against the model, and what to put beside the project.
pub fn growth(job: &Job, crops: &[CropGrowth]) -> GrowthView {
    GrowthView {
        place: job.site.place.name.clone(),
        plantings: crops.iter().flat_map(rows).collect(),
        patches: crops.iter().filter_map(patch).collect(),
        notes: notes(crops),
    }
}

fn rows(crop: &CropGrowth) -> Vec<GrowthRow> {
    crop.plantings
        .iter()
        .map(|planting| GrowthRow {
            crop: crop.crop.clone(),
            bed: planting.bed.clone(),
            sown: planting.sown,
            picked: planting.picked,
            expected: planting.expected,
            factor: planting.factor.map(|factor| factor * crop.before),
        })
        .collect()
}

/// A crop file that changes nothing but the growth sum.
fn patch(crop: &CropGrowth) -> Option<PatchFile> {
    let after = crop.after?;
    let told = crop
        .plantings
        .iter()
        .filter(|planting| planting.factor.is_some())
        .count();
    let spread = crop.interval.map_or_else(
        || "too few for a spread".to_owned(),
        |(low, high)| format!("95 %: {} to {}", fixed(low, DIGITS), fixed(high, DIGITS)),
    );
    let text = format!(
        "# Growth sum of {id} by own first harvests. Look it over, then put this\n\
         # file into the folder that `folders.crops` names.\n\
         # It was {before}; {spread}.\n\
         like = \"{id}\"\n\n[time]\nsum_factor = {{ value = {after}, from = \"own-harvests\" }}\n\n\
         [sources]\nown-harvests = \"own journal: {count} first harvests against the model in the usual year\"\n",
        id = crop.crop,
        before = fixed(crop.before, DIGITS),
        after = fixed(after, DIGITS),
        count = told,
    );
    Some(PatchFile {
        file: format!("{}.toml", crop.crop),
        text,
    })
}

fn notes(crops: &[CropGrowth]) -> Vec<Note> {
    let mut notes: Vec<Note> = crops
        .iter()
        .filter(|crop| {
            crop.interval
                .is_some_and(|(low, high)| low <= crop.before && crop.before <= high)
        })
        .map(|crop| {
            let text = format!(
                "{}: the spread of its plantings holds the factor in use; leave it",
                crop.crop
            );
            Note::new(NoteKind::Note, text)
        })
        .collect();
    for crop in crops {
        let beyond = crop
            .plantings
            .iter()
            .filter(|planting| planting.factor.is_none())
            .count();
        if beyond > 0 {
            let text = format!(
                "{}: {beyond} first harvests ask for a sum that no crop has; is a date, a bed or a crop mistaken?",
                crop.crop
            );
            notes.push(Note::new(NoteKind::Warning, text));
        }
    }
    notes.push(Note::new(
        NoteKind::Note,
        "the model's day is that of the usual year: one warm or dark year shifts first harvests too. A picking may come later than it could",
    ));
    notes
}
