//! Which crops a grower's word means: `tomato` is every tomato on file.

use super::StudyError;
use crate::crops::{Crop, Table};

/// The crop of an id or a name; where there is none, the one kind that a plain name means.
///
/// # Errors
/// [`StudyError::SeveralKinds`] for a plain name of several kinds, [`StudyError::Unknown`] for one of none.
pub fn one_crop<'t>(table: &'t Table, name: &str) -> Result<&'t Crop, StudyError> {
    if let Some(crop) = table.called(name) {
        return Ok(crop);
    }
    match table.kinds_of(name).as_slice() {
        [] => Err(unknown(table, name)),
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
pub fn crops_named(table: &Table, names: &[String]) -> Result<Vec<String>, StudyError> {
    let mut found = Vec::new();
    for name in names {
        let kinds = table.kinds_of(name);
        if kinds.is_empty() {
            return Err(unknown(table, name));
        }
        found.extend(kinds.into_iter().map(|crop| crop.id.clone()));
    }
    found.sort();
    found.dedup();
    Ok(found)
}

fn unknown(table: &Table, name: &str) -> StudyError {
    StudyError::Unknown {
        what: "crop",
        name: name.to_owned(),
        near: table.nearest(name).map(str::to_owned),
    }
}
