//! The keys of the project file: one table for reading, defaults, range checks and the printed schema.

mod building;
mod field;
mod plant;
mod site;
pub mod words;

pub(super) use field::field;
pub use field::{Filled, Said};

use super::quantity::{self, Dimension};
use super::read::{tidy, with_unit};

/// A key of the project file.
#[derive(Clone, Copy, Debug)]
pub struct Key {
    /// Its path: tables joined by points, `[]` after a list of tables, `*` for a name of the person's choice.
    pub path: &'static str,
    /// What may stand there.
    pub kind: Kind,
    /// What is taken where the file is silent.
    pub fallback: Fallback,
    /// Least and greatest value, in the SI unit of its dimension.
    pub range: Option<(f64, f64)>,
    pub meaning: &'static str,
    /// The field that takes its value as it is read; a key without one is read by the translation, which makes more of it.
    pub field: Option<field::Fill>,
}

impl Key {
    /// Names the field that takes the value: [`field!`].
    const fn fills(mut self, field: field::Fill) -> Self {
        self.field = Some(field);
        self
    }
}

/// What may stand at a key.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// A table of keys.
    Table,
    Tables,
    Text,
    /// A list of texts, or one text.
    Texts,
    /// One of some words.
    Word(&'static [&'static str]),
    Glazing,
    Flag,
    Whole,
    /// A list of whole numbers, or one of them.
    Wholes,
    Number,
    /// A date, `2027-03-01`.
    Date,
    /// A number with a unit.
    Quantity(Dimension),
    /// A list of numbers with units, or one of them.
    Quantities(Dimension),
    /// Twelve numbers with units, January first.
    TwelveMonths(Dimension),
    /// One value all year, 12 by month, 24 by hour of the day, or 288: the 24 hours of January first.
    Schedule(Dimension),
    /// `"glazed"`, or the R or U of a solid face.
    Cladding,
    /// Months: `"November to March"`, `"all year"`, `"never"`.
    Season,
    Money,
    /// Money per something.
    Price(Dimension),
    /// One price all year, or 12 by month.
    Prices(Dimension),
    /// A price of fuel per energy, volume or mass.
    FuelPrice,
    /// The name of a place on the shelf or of a town, or a table of latitude and longitude.
    Place,
    /// The name of a crop or a group of foods.
    Food,
    /// A list of names of crops or groups of foods.
    Foods,
    /// Points of the horizon, `[[azimuth, elevation], ...]` in degrees.
    Horizon,
}

/// What is taken where the file is silent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fallback {
    /// The key must be there; the text says when.
    Required(&'static str),
    /// Nothing; the text says what that means.
    Nothing(&'static str),
    /// A number, and why this one.
    Number(f64, &'static str),
    /// A word, and why this one.
    Word(&'static str, &'static str),
    /// Yes or no, and why.
    Flag(bool, &'static str),
    /// Worked out from other keys; the text says how.
    Derived(&'static str),
}

/// No range, for keys that hold no number.
const NO_BOUND: Option<(f64, f64)> = None;
const SHARE: Option<(f64, f64)> = Some((0.0, 1.0));

const fn key(
    path: &'static str,
    kind: Kind,
    fallback: Fallback,
    range: Option<(f64, f64)>,
    meaning: &'static str,
) -> Key {
    Key {
        path,
        kind,
        fallback,
        range,
        meaning,
        field: None,
    }
}

impl Kind {
    /// The dimension of its numbers, where they have one.
    pub fn dimension(self) -> Option<Dimension> {
        match self {
            Self::Quantity(dimension)
            | Self::Quantities(dimension)
            | Self::TwelveMonths(dimension)
            | Self::Schedule(dimension)
            | Self::Price(dimension)
            | Self::Prices(dimension) => Some(dimension),
            _ => None,
        }
    }

    /// What may stand there, in words.
    pub fn in_words(self) -> String {
        match self {
            Self::Table => "a table".to_owned(),
            Self::Tables => "a list of tables".to_owned(),
            Self::Text => "a text".to_owned(),
            Self::Texts => "a text, or a list of texts".to_owned(),
            Self::Word(words) => format!("one of {}", words.join(", ")),
            Self::Glazing => format!("one of {}", glazing_names().join(", ")),
            Self::Flag => "true or false".to_owned(),
            Self::Whole => "a whole number".to_owned(),
            Self::Wholes => "a whole number, or a list of them".to_owned(),
            Self::Number => "a number".to_owned(),
            Self::Date => "a date such as 2027-03-01".to_owned(),
            Self::Quantity(dimension) | Self::Price(dimension) => dimension.article(),
            Self::Quantities(dimension) => format!("{}, or a list of them", dimension.article()),
            Self::TwelveMonths(dimension) => {
                format!("12 values ({}), January first", dimension.name())
            }
            Self::Schedule(dimension) => {
                format!(
                    "{} for the whole year, 12 by month, 24 by hour of the day, or 288 by month and hour",
                    dimension.article()
                )
            }
            Self::Cladding => {
                "\"glazed\", or a thermal resistance such as R-28 or RSI 4.9".to_owned()
            }
            Self::Season => "months such as November to March, all year, or never".to_owned(),
            Self::Money => "an amount of money".to_owned(),
            Self::Prices(dimension) => {
                format!("{} for the whole year, or 12 by month", dimension.article())
            }
            Self::FuelPrice => "a price of fuel per energy, volume or mass".to_owned(),
            Self::Place => {
                "the name of a town or of a place on the shelf, or a table of latitude and longitude".to_owned()
            }
            Self::Food => "the name of a crop or a group of foods".to_owned(),
            Self::Foods => "names of crops or groups of foods".to_owned(),
            Self::Horizon => "a list of [azimuth, elevation] in degrees".to_owned(),
        }
    }

    /// The unit in which a bare number is taken; empty where there is none.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Cladding => "m2K/W",
            Self::Money => "money",
            Self::FuelPrice => "money/kWh",
            Self::Horizon => "degrees",
            Self::Price(dimension) | Self::Prices(dimension) => match dimension {
                Dimension::PerEnergy => "money/kWh",
                Dimension::PerVolume => "money/m3",
                Dimension::PerMass => "money/kg",
                Dimension::PerTime => "money/year",
                _ => "money/m2",
            },
            _ => self.dimension().map_or("", Dimension::si_name),
        }
    }
}

/// Every key, in the order in which the schema shows them.
pub fn all() -> impl Iterator<Item = &'static Key> {
    [
        site::KEYS,
        building::KEYS,
        building::SURFACE_KEYS,
        plant::KEYS,
        site::HOUSEHOLD_KEYS,
    ]
    .into_iter()
    .flatten()
}

/// The path as the key table has it: `bed[0].area` is `bed[].area`.
pub fn general(path: &str) -> String {
    let mut parts = path.split('[');
    let mut general = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        general.push_str("[]");
        general.push_str(part.split_once(']').map_or("", |(_, rest)| rest));
    }
    general
}

/// What the key of a path is, in a phrase: its meaning up to the first stop.
pub fn about(path: &str) -> String {
    let meaning = find(&general(path)).map_or(path, |key| key.meaning);
    let phrase = meaning.split([';', ',', '(']).next();
    phrase.unwrap_or(meaning).trim().to_owned()
}

/// The key of a path, `*` standing for any name.
pub fn find(path: &str) -> Option<&'static Key> {
    all().find(|key| key.path == path).or_else(|| {
        let (table, _) = path.rsplit_once('.')?;
        all().find(|key| key.path.strip_suffix(".*") == Some(table))
    })
}

/// The keys directly inside a table, each with its name there.
pub fn inside(table: &str) -> impl Iterator<Item = (&'static str, &'static Key)> {
    all().filter_map(move |key| {
        let name = match table {
            "" => key.path,
            table => key.path.strip_prefix(table)?.strip_prefix('.')?,
        };
        (!name.contains('.') && name != "*").then(|| (name.trim_end_matches("[]"), key))
    })
}

/// The names of the keys directly inside a table.
pub fn names_in(table: &str) -> impl Iterator<Item = &'static str> {
    inside(table).map(|(name, _)| name)
}

/// A unit without what is said of it in brackets; nothing for a share.
pub fn bare_unit(unit: &'static str) -> &'static str {
    match unit.split(" (").next() {
        Some("1") | None => "",
        Some(unit) => unit,
    }
}

/// Names of the kinds of glazing.
pub fn glazing_names() -> Vec<&'static str> {
    let kinds = crate::sun::glazing::kinds().iter();
    kinds.map(|kind| kind.name).collect()
}

/// A key as the schema shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
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
    pub meaning: String,
    /// True where its value fills a field as it is read; else the translation makes more of it.
    pub filled: bool,
}

/// Every key of the project file, from the table that reads it.
pub fn schema() -> Vec<KeyRow> {
    all().map(row).collect()
}

/// A value of a key as a number: in the SI unit of the key where it has a unit, `6 m` or `20 ft`; nothing for words.
pub fn number_in(path: &str, text: &str) -> Option<f64> {
    if let Ok(number) = text.trim().parse::<f64>() {
        return Some(number);
    }
    let dimension = find(&general(path))?.kind.dimension()?;
    quantity::parse(text, dimension).ok()
}

/// Least and greatest value of a key, in the SI unit of its dimension; none where it has no range.
pub fn range_of(path: &str) -> Option<(f64, f64)> {
    find(path)?.range
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
        Fallback::Number(number, why) => {
            format!("{} ({why})", with_unit(&tidy(number), key.kind.unit()))
        }
        Fallback::Word(word, why) => format!("{word} ({why})"),
        Fallback::Flag(flag, why) => format!("{flag} ({why})"),
        Fallback::Derived(how) => how.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::{Fallback, Kind, all};

    #[test]
    fn a_default_is_one_of_the_words_of_its_key() {
        for key in all() {
            if let (Kind::Word(words), Fallback::Word(default, _)) = (key.kind, key.fallback) {
                assert!(words.contains(&default), "{}", key.path);
            }
        }
    }
}
