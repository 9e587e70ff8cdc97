//! The printed schema: every key with type, unit, default, range and meaning.

use super::keys::{self, Fallback, Key, Kind};
use super::quantity;
use super::read::tidy;

/// A key as the schema shows it.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct KeyRow {
    /// Path: tables joined by points, `[]` after a list of tables, `*` for a name of the person's choice.
    pub path: String,
    /// What may stand there.
    pub takes: String,
    /// Unit of a bare number; empty where there is none.
    pub unit: String,
    /// What is taken where the file is silent; `required` where nothing can be.
    pub default: String,
    /// Least and greatest value, in `unit`; empty where there is no range.
    pub range: String,
    /// What it means.
    pub meaning: String,
    /// True where its value fills a field as it is read; else the translation makes more of it.
    pub filled: bool,
}

/// Every key of the project file, from the table that reads it.
pub fn schema() -> Vec<KeyRow> {
    keys::all().map(row).collect()
}

/// A value of a key as a number: in the SI unit of the key where it has a unit, `6 m` or `20 ft`; nothing for words.
pub fn number_in(path: &str, text: &str) -> Option<f64> {
    if let Ok(number) = text.trim().parse::<f64>() {
        return Some(number);
    }
    // Lists are counted in a path, `bed[0].area`, and not in the schema.
    let mut plain = String::new();
    let mut inside = false;
    for c in path.chars() {
        inside = (inside || c == '[') && c != ']';
        if !inside || c == '[' {
            plain.push(c);
        }
    }
    let dimension = keys::find(&plain)?.kind.dimension()?;
    quantity::parse(text, dimension).ok()
}

/// Least and greatest value of a key, in the SI unit of its dimension; none where it has no range.
pub fn range_of(path: &str) -> Option<(f64, f64)> {
    keys::find(path)?.range
}

fn row(key: &Key) -> KeyRow {
    KeyRow {
        path: key.path.to_owned(),
        takes: key.kind.in_words(),
        unit: key.kind.unit().to_owned(),
        default: default(key),
        range: key.range.map_or_else(String::new, |(least, most)| {
            format!("{} to {}", tidy(least), tidy(most))
        }),
        meaning: key.meaning.to_owned(),
        filled: key.field.is_some(),
    }
}

fn default(key: &Key) -> String {
    match key.fallback {
        Fallback::Required("always") => "required".to_owned(),
        Fallback::Required(when) => format!("required {when}"),
        Fallback::Nothing(means) => format!("none: {means}"),
        Fallback::Number(number, why) => format!("{} ({why})", with_unit(number, key.kind)),
        Fallback::Word(word, why) => format!("{word} ({why})"),
        Fallback::Flag(flag, why) => format!("{flag} ({why})"),
        Fallback::Derived(how) => how.to_owned(),
    }
}

fn with_unit(number: f64, kind: Kind) -> String {
    let unit = kind.unit().split(" (").next().unwrap_or("");
    if unit.is_empty() || unit == "1" {
        tidy(number)
    } else {
        format!("{} {unit}", tidy(number))
    }
}
