//! The shelf of places: monthly climates that come with the program, and a person's own.

use super::normals::{Normals, NormalsError};
use crate::document;
use crate::plain::blanked;

macro_rules! shelf {
    ($($name:literal),* $(,)?) => {
        /// One climate file a place, by name and in order; the packed tables beside them are not taken up here.
        static SHELF: &[(&str, &str)] =
            &[$(($name, include_str!(concat!("../../climates/", $name, ".toml")))),*];
    };
}

shelf!(
    "boston",
    "chicago",
    "churchill",
    "fairbanks",
    "golden",
    "helena",
    "miami",
    "prince-george",
    "santiago",
    "seattle",
    "uccle",
    "whitehorse",
);

/// Names of the places on the shelf, in order.
pub fn names() -> Vec<&'static str> {
    SHELF.iter().map(|(name, _)| *name).collect()
}

/// Text of a climate file on the shelf, by the place's name.
pub fn text(name: &str) -> Option<&'static str> {
    let found = SHELF.iter().find(|(known, _)| *known == name)?;
    Some(found.1)
}

/// The climate of a place on the shelf.
///
/// # Errors
/// As [`parse`]; nothing where the shelf has no such place.
pub fn get(name: &str) -> Option<Result<Normals, NormalsError>> {
    text(name).map(|text| parse(&format!("climates/{name}.toml"), text))
}

/// All climates of the shelf by name, in order.
pub fn all() -> impl Iterator<Item = (&'static str, Normals)> {
    let names = SHELF.iter().map(|(name, _)| *name);
    names.filter_map(|name| Some((name, get(name)?.ok()?)))
}

/// All climates of the shelf, in order of their names.
pub fn shelf() -> Vec<Normals> {
    all().map(|(_, normals)| normals).collect()
}

/// Reads the text of a climate file; `file` is its name in messages.
///
/// # Errors
/// [`NormalsError`] with line and column for text that is not a climate file, with the month for figures that
/// cannot be.
pub fn parse(file: &str, text: &str) -> Result<Normals, NormalsError> {
    let mut normals: Normals = document::read(text).map_err(|problem| NormalsError::Text {
        file: file.to_owned(),
        problem,
    })?;
    for words in [
        &mut normals.source,
        &mut normals.years,
        &mut normals.place.name,
    ] {
        *words = blanked(words);
    }
    normals
        .check()
        .map_err(|error| in_file(file, text, error))?;
    Ok(normals)
}

/// The error with the line of its figure; a climate file has each name once.
fn in_file(file: &str, text: &str, error: NormalsError) -> NormalsError {
    let is_of = |line: &str, name: &str| {
        let rest = line.trim_start().strip_prefix(name);
        rest.is_some_and(|rest| rest.trim_start().starts_with('='))
    };
    let found = error
        .figure()
        .and_then(|name| text.lines().position(|line| is_of(line, name)));
    NormalsError::InFile {
        file: file.to_owned(),
        line: found.map_or(1, |at| at + 1),
        error: Box::new(error),
    }
}
