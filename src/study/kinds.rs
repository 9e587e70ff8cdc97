//! Which crops a grower's word means: `tomato` is every tomato on file.

use super::{Job, StudyError};
use crate::crops::Crop;

/// The crop of an id; where there is none, the one kind that a plain name means.
///
/// # Errors
/// [`StudyError::SeveralKinds`] for a plain name of several kinds, [`StudyError::Unknown`] for one of none.
pub(super) fn one_crop<'j>(job: &'j Job, name: &str) -> Result<&'j Crop, StudyError> {
    if let Some(crop) = job.table.get(name) {
        return Ok(crop);
    }
    match kinds_of(job, name).as_slice() {
        [] => Err(unknown(job, name)),
        [crop] => Ok(crop),
        kinds => Err(StudyError::SeveralKinds {
            name: name.to_owned(),
            kinds: kinds.iter().map(|crop| crop.id.clone()).collect(),
        }),
    }
}

/// The ids of all crops that some plain names mean, in the order of the shelf.
///
/// # Errors
/// [`StudyError::Unknown`] for a name that no crop has.
pub fn crops_named(job: &Job, names: &[String]) -> Result<Vec<String>, StudyError> {
    let mut found = Vec::new();
    for name in names {
        let kinds = kinds_of(job, name);
        if kinds.is_empty() {
            return Err(unknown(job, name));
        }
        found.extend(kinds.into_iter().map(|crop| crop.id.clone()));
    }
    found.sort();
    found.dedup();
    Ok(found)
}

/// The crop of that id with its varieties, or all crops of that name or food.
pub(super) fn kinds_of<'j>(job: &'j Job, name: &str) -> Vec<&'j Crop> {
    let wanted = plain(name);
    let is_one = |word: &str| {
        wanted == word
            || word
                .strip_prefix(wanted.as_str())
                .is_some_and(|rest| rest.starts_with('_'))
    };
    let meant = |crop: &&Crop| is_one(&crop.id) || is_one(&crop.food) || is_one(&plain(&crop.name));
    let mut kinds: Vec<&Crop> = job.table.iter().filter(meant).collect();
    if kinds.is_empty() {
        // English plurals: peppers, tomatoes.
        let singular = ["es", "s"].into_iter().find_map(|ending| {
            let kinds = kinds_of_singular(job, wanted.strip_suffix(ending)?);
            (!kinds.is_empty()).then_some(kinds)
        });
        kinds = singular.unwrap_or_else(|| job.table.called(name).into_iter().collect());
    }
    kinds
}

fn kinds_of_singular<'j>(job: &'j Job, name: &str) -> Vec<&'j Crop> {
    if name.ends_with('s') || name.is_empty() {
        return Vec::new();
    }
    kinds_of(job, name)
}

/// A name as ids are written.
fn plain(name: &str) -> String {
    name.trim()
        .to_lowercase()
        .replace([' ', '-'], "_")
        .replace([',', '(', ')'], "")
}

fn unknown(job: &Job, name: &str) -> StudyError {
    StudyError::Unknown {
        what: "crop",
        name: name.to_owned(),
        near: job.table.nearest(name).map(str::to_owned),
    }
}
