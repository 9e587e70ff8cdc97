//! The field of a stage's input that a key fills: its type says how the key is read.

use std::any::Any;

use chrono::NaiveDate;

use super::Fallback;
use crate::file::quantity::Dimension;
use crate::file::read::{Cladding, Parsed};
use crate::file::season;
use crate::file::section::Section;
use crate::file::translate::times::{schedule, twelve};
use crate::house::Schedule;
use crate::sun::Horizon;
use crate::words::Word;

/// Fills one field of a struct from a key of a table; of a struct of another type none. False where a value is missing.
pub type Fill = fn(&mut dyn Any, &Section<'_, '_>, &str) -> bool;

/// The field of a struct that a key fills, such as `field!(Floor.mulch_m2k_w)`.
macro_rules! field {
    ($type:ident . $field:ident) => {
        |to, table, key| match to.downcast_mut::<$type>() {
            Some(to) => $crate::file::keys::Filled::fill(&mut to.$field, table, key),
            None => true,
        }
    };
}
pub(crate) use field;

/// What a key can be read as.
pub trait Said: Sized {
    /// A value of the file, or of the key table, as this type; nothing where it is of another.
    fn of(parsed: Parsed) -> Option<Self>;
}

/// Types that a value holds as it was read.
macro_rules! said {
    ($($type:ty: $kind:ident),* $(,)?) => {$(
        impl Said for $type {
            fn of(parsed: Parsed) -> Option<Self> {
                match parsed {
                    Parsed::$kind(value) => Some(value),
                    _ => None,
                }
            }
        }
    )*};
}
said!(
    f64: Number,
    String: Text,
    Vec<String>: Texts,
    bool: Flag,
    NaiveDate: Date,
    (f64, Dimension): FuelPrice,
    Cladding: Cladding,
);

/// Whole numbers; reading let no other through.
macro_rules! whole {
    ($($type:ty),*) => {$(
        impl Said for $type {
            fn of(parsed: Parsed) -> Option<Self> {
                f64::of(parsed).map(|number| number as $type)
            }
        }
    )*};
}
whole!(i32, u64, usize);

impl Said for Vec<f64> {
    fn of(parsed: Parsed) -> Option<Self> {
        match parsed {
            Parsed::Numbers(numbers) => Some(numbers),
            Parsed::Number(number) => Some(vec![number]),
            _ => None,
        }
    }
}

impl Said for Schedule {
    fn of(parsed: Parsed) -> Option<Self> {
        Vec::of(parsed).map(|values: Vec<f64>| schedule(&values))
    }
}

impl Said for [f64; 12] {
    fn of(parsed: Parsed) -> Option<Self> {
        Vec::of(parsed).map(|values: Vec<f64>| twelve(&values))
    }
}

/// Months marked.
impl Said for [bool; 12] {
    fn of(parsed: Parsed) -> Option<Self> {
        match parsed {
            Parsed::Season(months) => Some(months),
            Parsed::Text(months) => season::months(&months),
            _ => None,
        }
    }
}

impl Said for Horizon {
    fn of(parsed: Parsed) -> Option<Self> {
        match parsed {
            Parsed::Points(points) => Horizon::new(&points),
            _ => None,
        }
    }
}

impl<T: Word> Said for T {
    fn of(parsed: Parsed) -> Option<Self> {
        T::meaning(&String::of(parsed)?)
    }
}

/// A type of field that a key fills: with the file's value, with the default of the key table where the file is silent, and
/// not at all where there is none.
pub trait Filled {
    /// Fills it; false where the value must be there and is missing or broken.
    fn fill(&mut self, table: &Section<'_, '_>, key: &str) -> bool;
}

impl<T: Said> Filled for T {
    fn fill(&mut self, table: &Section<'_, '_>, key: &str) -> bool {
        if let Some(said) = table.get(key).or_else(|| table.usual(key)) {
            *self = said;
            return true;
        }
        let must = matches!(table.fallback(key), Fallback::Required(_));
        if must && !table.has(key) {
            table.missing(key);
        }
        !must
    }
}

/// A field that stays empty where the file is silent.
impl<T: Said> Filled for Option<T> {
    fn fill(&mut self, table: &Section<'_, '_>, key: &str) -> bool {
        *self = table.get(key);
        true
    }
}
