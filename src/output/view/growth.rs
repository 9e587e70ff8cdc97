//! Growth tuned to the first harvests of the journal.

use chrono::NaiveDate;

use super::{Note, PatchFile};
use crate::output::row::{row, view};
use crate::output::text::fixed;
use crate::study::{CropGrowth, FirstHarvest, HARVESTS_MIN, Job};

row! {
    /// One first harvest against the model.
    pub struct GrowthRow of (job: &Job, crop: &CropGrowth, planting: &FirstHarvest) {
        /// Identifier of the crop.
        crop: String, "" => crop.crop.clone();
        /// Name of the crop.
        crop_name: String, "", "Crop" => job.table.name_of(&crop.crop);
        /// Name of the bed.
        bed: String, "" => planting.bed.clone();
        /// Day of sowing.
        sown: NaiveDate, "" => planting.sown;
        /// Day of the first picking.
        picked: NaiveDate, "", "First picked" => planting.picked;
        /// Day on which the model has it ready; empty where it never is.
        expected: Option<NaiveDate>, "", "Model" => planting.expected;
        /// Days by which the first picking was later than the model's; negative where it was earlier.
        late_days: Option<f64>, "d", "Days late"
            => planting.expected.map(|expected| (planting.picked - expected).num_days() as f64);
        /// Factor on the growth sum that this planting asks for; empty beyond what is believed.
        factor: Option<f64>, "factor", "Sum factor" => planting.factor.map(|factor| factor * crop.before);
    }
}

view! {
    /// Growth tuned to first harvests.
    pub struct GrowthView of growth(job: &Job, crops: &[CropGrowth]) {
        /// Where the building stands.
        place: String => job.site.place.name.clone();
        /// Plantings, by crop and day.
        plantings: Vec<GrowthRow> => crops.iter()
            .flat_map(|crop| crop.plantings.iter().map(|planting| GrowthRow::of(job, crop, planting))).collect();
        /// One file for each crop whose sum changes.
        patches: Vec<PatchFile> => crops.iter().filter_map(patch).collect();
        /// What to mind.
        notes: Vec<Note> => notes(crops);
    }
}

/// Digits of a factor in the patch.
const DIGITS: usize = 3;

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
