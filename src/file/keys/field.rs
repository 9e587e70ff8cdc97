//! The field of a stage's input that a key fills: its type says how the key is read.

use std::any::Any;

use chrono::NaiveDate;

use super::Fallback;
use crate::file::section::Section;
use crate::file::translate::times::schedule;
use crate::house::Schedule;
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

/// A type of field that a key fills: with the file's value, with the default of the key table where the file is silent, and
/// not at all where there is none.
pub trait Filled {
    /// Fills it; false where the value must be there and is missing or broken.
    fn fill(&mut self, table: &Section<'_, '_>, key: &str) -> bool;
}

/// What a table says of a key, or its default by `default`; false where it must be there and is not.
fn take<T>(
    to: &mut T,
    table: &Section<'_, '_>,
    key: &str,
    said: Option<T>,
    default: impl FnOnce() -> T,
) -> bool {
    match (said, table.fallback(key)) {
        (Some(said), _) => *to = said,
        (None, Fallback::Number(..) | Fallback::Word(..) | Fallback::Flag(..)) => *to = default(),
        (None, Fallback::Nothing(_) | Fallback::Derived(_)) => {}
        (None, Fallback::Required(_)) => {
            if !table.has(key) {
                table.missing(key);
            }
            return false;
        }
    }
    true
}

impl Filled for f64 {
    fn fill(&mut self, table: &Section<'_, '_>, key: &str) -> bool {
        take(self, table, key, table.number(key), || {
            table.number_or_default(key)
        })
    }
}

/// Whole numbers; reading let no other through.
macro_rules! whole {
    ($($type:ty),*) => {$(
        impl Filled for $type {
            fn fill(&mut self, table: &Section<'_, '_>, key: &str) -> bool {
                let mut number = *self as f64;
                let filled = number.fill(table, key);
                *self = number as $type;
                filled
            }
        }
    )*};
}
whole!(i32, u64, usize);

impl Filled for bool {
    fn fill(&mut self, table: &Section<'_, '_>, key: &str) -> bool {
        *self = table.flag_or_default(key);
        true
    }
}

impl Filled for Vec<f64> {
    fn fill(&mut self, table: &Section<'_, '_>, key: &str) -> bool {
        take(self, table, key, table.numbers(key), || {
            vec![table.number_or_default(key)]
        })
    }
}

impl Filled for Schedule {
    fn fill(&mut self, table: &Section<'_, '_>, key: &str) -> bool {
        let mut values = Vec::new();
        let filled = values.fill(table, key);
        if !values.is_empty() {
            *self = schedule(&values);
        }
        filled
    }
}

impl Filled for [bool; 12] {
    fn fill(&mut self, table: &Section<'_, '_>, key: &str) -> bool {
        *self = table.season_or_default(key);
        true
    }
}

impl<T: Word> Filled for T {
    fn fill(&mut self, table: &Section<'_, '_>, key: &str) -> bool {
        *self = table.choice_or_default(key, T::WORDS);
        true
    }
}

/// Fields that stay empty where the file is silent.
macro_rules! maybe {
    ($($type:ty = $read:ident),*) => {$(
        impl Filled for Option<$type> {
            fn fill(&mut self, table: &Section<'_, '_>, key: &str) -> bool {
                *self = table.$read(key);
                true
            }
        }
    )*};
}
maybe!(f64 = number, String = text, NaiveDate = date);

impl Filled for Option<usize> {
    fn fill(&mut self, table: &Section<'_, '_>, key: &str) -> bool {
        *self = table.number(key).map(|number| number as usize);
        true
    }
}

impl<T: Word> Filled for Option<T> {
    fn fill(&mut self, table: &Section<'_, '_>, key: &str) -> bool {
        *self = table.choice(key, T::WORDS);
        true
    }
}
