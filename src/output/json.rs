//! JSON for machines: one object per run, SI, units in the keys.

use serde::Serialize;

/// A view as one JSON object, indented, with a line end.
///
/// Numbers are written with the fewest digits that give the same value back; a figure that is not known is `null`.
///
/// # Errors
/// A view is always serialisable; the error is passed on rather than hidden.
pub fn to_string<T: Serialize>(view: &T) -> Result<String, serde_json::Error> {
    let mut text = serde_json::to_string_pretty(view)?;
    text.push('\n');
    Ok(text)
}
