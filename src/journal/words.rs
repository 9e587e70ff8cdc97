//! The words of a row: event, bed and crop, found or refused with the nearest known.

use super::Known;
use super::entry::{Event, Wrong, wrong};
use crate::sheet;
use crate::suggest::{meant, nearest};
use crate::value;

pub(super) fn event(text: &str) -> Result<Event, Wrong> {
    let text = text.trim();
    let words = || Event::ALL.iter().map(|event| event.word());
    Event::said(text).ok_or_else(|| {
        let listed = words().collect::<Vec<_>>().join(", ");
        let near = nearest(text, words())
            .map_or_else(String::new, |near| format!("did you mean `{near}`? "));
        wrong(
            "event",
            format!("`{text}` is no event; {near}one of {listed}"),
        )
    })
}

pub(super) fn bed(text: &str, known: &Known<'_>) -> Result<Option<String>, Wrong> {
    let text = sheet::plain(text.trim());
    if text.is_empty() {
        return Ok(None);
    }
    let same = |bed: &&&str| bed.eq_ignore_ascii_case(text);
    if let Some(bed) = known.beds.iter().find(same) {
        return Ok(Some((*bed).to_owned()));
    }
    let near = nearest(text, known.beds.iter().copied())
        .map_or_else(String::new, |near| format!("did you mean `{near}`? "));
    let listed = known.beds.join(", ");
    let what = format!("there is no bed `{text}`; {near}the project has {listed}");
    Err(wrong("bed", what))
}

/// A food that was bought in a shop, by the id that prices have it under.
pub(super) fn food(text: &str) -> Result<Option<String>, Wrong> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    let found = value::food::require(text);
    found
        .map(|food| Some(food.id.clone()))
        .map_err(|error| wrong("crop", error.to_string()))
}

pub(super) fn crop(text: &str, known: &Known<'_>) -> Result<Option<String>, Wrong> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    let found = known.table.called(text);
    // A plain name, such as lettuce, is the one kind of it, or several to choose from.
    let kinds = known.table.kinds_of(text).into_iter();
    let kinds: Vec<&str> = kinds.map(|crop| crop.id.as_str()).collect();
    if let (None, [_, _, ..]) = (found, kinds.as_slice()) {
        let kinds = kinds.join(", ");
        return Err(wrong(
            "crop",
            format!("`{text}` is several kinds: {kinds}; name one of them"),
        ));
    }
    let only = || kinds.first().copied().map(str::to_owned);
    found
        .map(|crop| crop.id.clone())
        .or_else(only)
        .map(Some)
        .ok_or_else(|| {
            let near = meant(known.table.nearest(text));
            wrong(
                "crop",
                format!("there is no crop `{text}` on file{near} (`bedyear crops` lists them)"),
            )
        })
}
