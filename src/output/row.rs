//! One description of a table for every format: column names with units, their meaning, and the cells.
//!
//! The macro `row!` turns a struct into a table row: the doc comment of a field is its entry in the data
//! dictionary, the field's name is its CSV column, JSON key and data frame column.

use std::borrow::Cow;

use chrono::NaiveDate;
use serde::Serialize;
use serde::ser::{SerializeMap, Serializer};

use super::text::capital;
use super::view::{Figure, Spread};
use crate::phrase::Phrase;
use crate::words::worded;

/// One column of a table: an entry of the data dictionary.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Column {
    /// Name in CSV, JSON and Parquet; carries the unit.
    pub name: String,
    /// Head for people; its unit is said besides.
    pub head: String,
    /// Unit as people write it; empty where there is none.
    pub unit: &'static str,
    /// What the figure means.
    pub meaning: &'static str,
    /// What its cells hold.
    pub kind: Kind,
}

/// Endings of a spread over the weather years, and what they add to the meaning.
const OF_YEARS: [(&str, &str); 3] = [
    ("_p10", "one weather year in ten lies below"),
    ("_p50", "the middle weather year"),
    ("_p90", "one weather year in ten lies above"),
];

impl Column {
    /// A column that only people need: its meaning is in its head.
    pub fn plain(name: &str, head: &str, unit: &'static str, kind: Kind) -> Self {
        Column {
            name: name.to_owned(),
            head: head.to_owned(),
            unit,
            meaning: "",
            kind,
        }
    }

    /// The unit with the currency by its code; `currency` where that is not known.
    pub fn unit_in(&self, currency: Option<&str>) -> String {
        self.unit
            .replace("currency", currency.unwrap_or("currency"))
    }

    /// What the figure means; of a spread, which of the weather years.
    pub fn meant(&self) -> String {
        let ends = |(ending, _): &&(&str, &str)| self.name.ends_with(ending);
        match OF_YEARS.iter().find(ends) {
            Some((_, which)) if self.kind == Kind::Number => {
                format!("{}: {which}.", self.meaning.trim_end_matches('.'))
            }
            _ => self.meaning.to_owned(),
        }
    }
}

worded! {
    /// What the cells of a column hold; any of them may be empty. The words are those of the data dictionary.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
    #[serde(rename_all = "lowercase")]
    pub enum Kind {
        /// Quantities.
        "number" => Number,
        /// Whole numbers.
        "count" => Count,
        /// Words.
        "text" => Text,
        /// Days.
        "date" => Date,
        /// Yes or no.
        "yes or no" => Flag,
    }
}

/// One value of a table.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Nothing known, or it does not apply.
    Empty,
    /// A quantity in the unit of its column (SI, or the file's currency).
    Number(f64),
    /// A count.
    Count(i64),
    /// A word or a sentence.
    Text(String),
    /// A sentence with amounts, SI for machines, in the units asked for for people.
    Said(Phrase),
    /// A day.
    Date(NaiveDate),
    /// Yes or no.
    Flag(bool),
}

impl Cell {
    /// The quantity, where it is one and known.
    pub(crate) fn number(&self) -> Option<f64> {
        match self {
            Cell::Number(value) if value.is_finite() => Some(*value),
            _ => None,
        }
    }

    /// The quantity or count, where it is one.
    pub(crate) fn figure(&self) -> Option<f64> {
        match self {
            Cell::Number(value) => Some(*value),
            Cell::Count(count) => Some(*count as f64),
            _ => None,
        }
    }

    /// The words, where they are some.
    pub(crate) fn text(&self) -> Option<Cow<'_, str>> {
        match self {
            Cell::Text(value) => Some(Cow::Borrowed(value)),
            Cell::Said(value) => Some(Cow::Owned(value.to_string())),
            _ => None,
        }
    }

    /// The day, where it is one.
    pub(crate) fn date(&self) -> Option<NaiveDate> {
        match self {
            Cell::Date(value) => Some(*value),
            _ => None,
        }
    }
}

impl Serialize for Cell {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Cell::Empty => serializer.serialize_none(),
            // JSON has no NaN or infinity; a figure that is not a number is not known.
            Cell::Number(value) if !value.is_finite() => serializer.serialize_none(),
            Cell::Number(value) => serializer.serialize_f64(*value),
            Cell::Count(value) => serializer.serialize_i64(*value),
            Cell::Text(value) => serializer.serialize_str(value),
            Cell::Said(value) => serializer.collect_str(value),
            Cell::Date(value) => serializer.serialize_str(&value.to_string()),
            Cell::Flag(value) => serializer.serialize_bool(*value),
        }
    }
}

/// A struct that is a row of a table.
pub trait Row {
    /// The columns, in order.
    fn columns() -> Vec<Column>;
    /// The cells, one for each column.
    fn cells(&self) -> Vec<Cell>;
}

/// A type that fills one or more cells.
pub trait Field {
    /// Endings of the column names that this type fills.
    const ENDINGS: &'static [&'static str] = &[""];
    /// What the cells hold.
    const KIND: Kind;
    /// Appends one cell for each ending.
    fn push(&self, cells: &mut Vec<Cell>);
}

/// Types that fill one cell.
macro_rules! one_cell {
    ($($of:ty => $kind:ident, |$value:ident| $cell:expr;)*) => {$(
        impl Field for $of {
            const KIND: Kind = Kind::$kind;
            fn push(&self, cells: &mut Vec<Cell>) {
                let $value = self;
                cells.push($cell);
            }
        }
    )*};
}

one_cell! {
    f64 => Number, |value| Cell::Number(*value);
    u32 => Count, |value| Cell::Count(i64::from(*value));
    String => Text, |value| Cell::Text(value.clone());
    Phrase => Text, |value| Cell::Said(value.clone());
    NaiveDate => Date, |value| Cell::Date(*value);
    bool => Flag, |value| Cell::Flag(*value);
}

impl<T: Field> Field for Option<T> {
    const ENDINGS: &'static [&'static str] = T::ENDINGS;
    const KIND: Kind = T::KIND;
    fn push(&self, cells: &mut Vec<Cell>) {
        match self {
            Some(value) => value.push(cells),
            None => cells.extend(T::ENDINGS.iter().map(|_| Cell::Empty)),
        }
    }
}

impl Field for Spread {
    const ENDINGS: &'static [&'static str] = &["_p10", "_p50", "_p90"];
    const KIND: Kind = Kind::Number;
    fn push(&self, cells: &mut Vec<Cell>) {
        cells.extend([self.p10, self.p50, self.p90].map(Cell::Number));
    }
}

impl Field for Figure {
    const ENDINGS: &'static [&'static str] = &["", "_p10", "_p50", "_p90"];
    const KIND: Kind = Kind::Number;
    fn push(&self, cells: &mut Vec<Cell>) {
        cells.push(Cell::Number(self.value));
        self.spread.push(cells);
    }
}

/// Writes a row as a JSON object; a spread that was not computed is left out, anything else unknown is `null`.
pub(crate) fn serialize_row<R: Row, S: Serializer>(
    row: &R,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    let columns = R::columns();
    let mut map = serializer.serialize_map(None)?;
    for (column, cell) in columns.iter().zip(row.cells()) {
        let is_spread = Spread::ENDINGS
            .iter()
            .any(|ending| column.name.ends_with(ending));
        if !(is_spread && cell == Cell::Empty) {
            map.serialize_entry(&column.name, &cell)?;
        }
    }
    map.end()
}

/// Columns of one field.
pub(crate) fn field_columns<T: Field>(
    name: &str,
    unit: &'static str,
    head: Option<&str>,
    meaning: &'static str,
) -> Vec<Column> {
    let head = head.map_or_else(|| head_of(name), str::to_owned);
    T::ENDINGS
        .iter()
        .map(|ending| Column {
            name: format!("{name}{ending}"),
            head: head.clone(),
            unit,
            meaning: meaning.trim(),
            kind: T::KIND,
        })
        .collect()
}

/// The head of a column whose declaration names none: its name without the unit, in words.
fn head_of(name: &str) -> String {
    const UNITS: &str = "_mol_m2_day _kg_m2 _kwh _pct _kg _m2 _c _h _months";
    let bare = UNITS.split(' ').find_map(|unit| name.strip_suffix(unit));
    capital(&bare.unwrap_or(name).replace('_', " "))
}

/// Defines a struct that is a table row: `/// meaning` `name: Type, "unit";` for each field, or
/// `name: Type, "unit", "Head";` where people read another head than the name.
///
/// `pub struct Name of (from: &Type, ...)` with `=> value` before each semicolon says of what a row is made: `Name::of` makes it.
/// `let` lines before the fields hold what several of them need.
macro_rules! row {
    (
        $(#[$meta:meta])*
        pub struct $name:ident of ( $($from:ident : $of:ty),* ) {
            $( let $known:pat = $is:expr; )*
            $(
                $(#[doc = $doc:literal])+ $field:ident : $ty:ty, $unit:literal $(, $head:literal)?
                => $value:expr;
            )*
        }
    ) => {
        $crate::output::row::row! {
            $(#[$meta])*
            pub struct $name {
                $( $(#[doc = $doc])+ $field : $ty, $unit $(, $head)?; )*
            }
        }

        impl $name {
            /// The row of what it is made of.
            pub(crate) fn of($($from: $of),*) -> Self {
                $( let $known = $is; )*
                Self { $( $field: $value, )* }
            }
        }
    };
    (
        $(#[$meta:meta])*
        pub struct $name:ident {
            $( $(#[doc = $doc:literal])+ $field:ident : $ty:ty, $unit:literal $(, $head:literal)?; )*
        }
    ) => {
        $(#[$meta])*
        #[derive(Clone, Debug, Default, PartialEq)]
        #[cfg_attr(not(feature = "inner"), non_exhaustive)]
        pub struct $name {
            $( $(#[doc = $doc])+ pub $field: $ty, )*
        }

        impl $crate::output::Row for $name {
            fn columns() -> Vec<$crate::output::Column> {
                let mut columns = Vec::new();
                $( columns.extend($crate::output::row::field_columns::<$ty>(
                    stringify!($field), $unit, $crate::output::row::said!($($head)?), concat!($($doc),+),
                )); )*
                columns
            }

            fn cells(&self) -> Vec<$crate::output::Cell> {
                let mut cells = Vec::new();
                $( $crate::output::row::Field::push(&self.$field, &mut cells); )*
                cells
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                $crate::output::row::serialize_row(self, serializer)
            }
        }
    };
}
pub(crate) use row;

/// Defines what a verb shows, its JSON, and the function that fills it: beside each field stands where it comes from.
///
/// `let` lines before the fields hold what several of them need.
macro_rules! view {
    (
        $(#[$meta:meta])*
        pub struct $name:ident of $fill:ident ( $($from:ident : $of:ty),* ) {
            $( let $known:pat = $is:expr; )*
            $( $(#[$on:meta])+ $field:ident : $ty:ty => $value:expr; )*
        }
    ) => {
        $(#[$meta])*
        #[derive(Clone, Debug, PartialEq, serde::Serialize)]
        #[cfg_attr(not(feature = "inner"), non_exhaustive)]
        pub struct $name {
            $( $(#[$on])+ pub $field: $ty, )*
        }

        /// Fills the view of that name.
        pub fn $fill($($from: $of),*) -> $name {
            $( let $known = $is; )*
            $name { $( $field: $value, )* }
        }
    };
}
pub(crate) use view;

/// A head, where the declaration names one.
macro_rules! said {
    () => {
        None
    };
    ($head:literal) => {
        Some($head)
    };
}
pub(crate) use said;
