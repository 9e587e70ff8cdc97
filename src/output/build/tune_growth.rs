//! Growth tuned to first harvests, from the study to the view.

use crate::output::text::fixed;
use crate::output::view::{GrowthRow, GrowthView, Note, PatchFile};
use crate::study::{CropGrowth, HARVESTS_MIN, Job};

/// Digits of a factor in the patch.
const DIGITS: usize = 3;

/// First harvests against the model, and what to put beside the project.
pub fn growth(job: &Job, crops: &[CropGrowth]) -> GrowthView {
    GrowthView {
        place: job.site.place.name.clone(),
        plantings: crops.iter().flat_map(|crop| rows(job, crop)).collect(),
        patches: crops.iter().filter_map(patch).collect(),
        notes: notes(crops),
    }
}

fn rows(job: &Job, crop: &CropGrowth) -> Vec<GrowthRow> {
    let name = job.table.name_of(&crop.crop);
    crop.plantings
        .iter()
        .map(|planting| GrowthRow::of(crop, &name, planting))
        .collect()
}

/// A crop file that changes nothing but the growth sum.
fn patch(crop: &CropGrowth) -> Option<PatchFile> {
    let (after, (low, high)) = (crop.after?, crop.range?);
    let spread = format!("90 %: {} to {}", fixed(low, DIGITS), fixed(high, DIGITS));
    let text = format!(
        "# Growth sum of {id} by own first harvests. Look it over, then put this\n\
         # file into the folder that `folders.crops` names.\n\
         # It was {before}; {spread}.\n\
         like = \"{id}\"\n\n[time]\nsum_factor = {{ value = {after}, from = \"own-harvests\" }}\n\n\
         [sources]\nown-harvests = \"own journal: {count} first harvests of the kind against the model in the usual year\"\n",
        id = crop.crop,
        before = fixed(crop.before, DIGITS),
        after = fixed(after, DIGITS),
        count = crop.told,
    );
    Some(PatchFile {
        file: format!("{}.toml", crop.crop),
        text,
    })
}

fn notes(crops: &[CropGrowth]) -> Vec<Note> {
    let mut notes = Vec::new();
    for crop in crops.iter().filter(|crop| crop.after.is_none()) {
        let text = match crop.range {
            Some((low, high)) => format!(
                "{}: by {} first harvests of its kind the factor lies between {} and {}, nine times of ten; that holds the one in use, so leave it",
                crop.crop,
                crop.told,
                fixed(low, 2),
                fixed(high, 2)
            ),
            None => format!(
                "{}: {} of the {HARVESTS_MIN} first harvests of its kind that it takes before a change is offered",
                crop.crop, crop.told
            ),
        };
        notes.push(Note::plain(text));
    }
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
            notes.push(Note::warning(text));
        }
    }
    notes.push(Note::plain("the model's day is that of the usual year: one warm or dark year shifts first harvests too. A picking may come later than it could",
    ));
    notes
}
