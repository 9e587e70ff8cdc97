//! The nearest known name to a mistyped one.

use crate::plain::{is_name, likeness};

/// Likeness (Jaro-Winkler, 0 to 1) from which a name is worth suggesting.
///
/// Own choice, no source: `lenght` to `length` is 0.98, `bredth` to `length` 0.55.
const LIKE_ENOUGH: f64 = 0.75;

/// The known name most like `written`, where one is like enough; the first of equals.
pub fn nearest<'n>(written: &str, known: impl Iterator<Item = &'n str>) -> Option<&'n str> {
    if !is_name(written) {
        return None;
    }
    let lower = written.to_lowercase();
    let mut best: Option<(&str, f64)> = None;
    for name in known {
        let other = name.to_lowercase();
        let alike = if same_letters(&lower, &other) {
            1.0
        } else {
            likeness(&lower, &other)
        };
        if alike >= LIKE_ENOUGH && best.is_none_or(|(_, most)| alike > most) {
            best = Some((name, alike));
        }
    }
    best.map(|(name, _)| name)
}

/// A suggestion at the end of a message, nothing where there is none.
pub fn meant(near: Option<&str>) -> String {
    near.map_or_else(String::new, |near| format!("; did you mean `{near}`?"))
}

/// Equal but for blanks, hyphens and underscores?
fn same_letters(a: &str, b: &str) -> bool {
    let letters = |text: &str| {
        text.chars()
            .filter(|c| !" -_".contains(*c))
            .collect::<String>()
    };
    letters(a) == letters(b)
}
