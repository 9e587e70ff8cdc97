//! The field of a crop that a key of its file fills: the field's type says how the key is read.

use std::any::Any;

use super::missing;
use crate::crops::curve::Curve;
use crate::crops::file::{CropFile, Figure, Numbers, Placed, Said};
use crate::crops::schema::{KEYS, Key};
use crate::crops::{EmergenceCurve, Range, response};
use crate::document::FileError;
use crate::suggest::{meant, nearest};
use crate::words::Word;

/// Fills one field of a struct from a key of a file; of a struct of another type none.
pub(crate) type Fill = fn(&mut dyn Any, &CropFile, &Key) -> Result<(), FileError>;

/// The field that a key fills, such as `field!(Water.kc_mid)`.
macro_rules! field {
    ($type:ident . $field:ident) => {
        |to, file, key| match to.downcast_mut::<$type>() {
            Some(to) => $crate::crops::assemble::fill::fill(&mut to.$field, file, key),
            None => Ok(()),
        }
    };
}
pub(crate) use field;

/// Puts what a file says of a key into a field; where it says nothing the field stays as given, unless it must be said.
pub(crate) fn fill<T: Filled>(to: &mut T, file: &CropFile, key: &Key) -> Result<(), FileError> {
    match file.get(key.path)? {
        Some(said) => *to = said,
        None if key.must => return Err(missing(file, key.path)),
        None => {}
    }
    Ok(())
}

impl CropFile {
    /// What the file says of a key; nothing where it is silent.
    ///
    /// # Errors
    /// A word that is none of those that there are.
    pub(super) fn get<T: Filled>(&self, path: &str) -> Result<Option<T>, FileError> {
        let said = self.entries.get(path);
        said.map_or_else(|| Ok(T::silent()), |said| T::of(said, path))
    }

    /// The same of what must be said.
    pub(super) fn need<T: Filled>(&self, path: &str) -> Result<T, FileError> {
        self.get(path)?.ok_or_else(|| missing(self, path))
    }

    /// A struct with the fields that keys of the file fill; the others are as given.
    ///
    /// # Errors
    /// The first key that must be there and is not.
    pub(super) fn filled<T: Any>(&self, mut to: T) -> Result<T, FileError> {
        for key in KEYS {
            if let Some(fill) = key.field {
                fill(&mut to, self, key)?;
            }
        }
        Ok(to)
    }

    /// A group of figures, where the file has the one without which there is none.
    pub(super) fn group<T: Any + Default>(&self, first: &str) -> Result<Option<T>, FileError> {
        let there = self.entries.contains_key(first);
        there.then(|| self.filled(T::default())).transpose()
    }
}

/// A type that a key is read as.
pub(crate) trait Filled: Sized {
    /// What an entry says; nothing where it is of another shape.
    fn of(said: &Said, path: &str) -> Result<Option<Self>, FileError>;

    /// What it is where the file is silent.
    fn silent() -> Option<Self> {
        None
    }
}

/// Types that an entry of one shape is.
macro_rules! by {
    ($($type:ty: $shape:pat => $value:expr;)*) => {$(
        impl Filled for $type {
            fn of(said: &Said, _: &str) -> Result<Option<Self>, FileError> {
                Ok(match said {
                    $shape => Some($value),
                    _ => None,
                })
            }
        }
    )*};
}

/// A figure of given numbers.
macro_rules! figure {
    ($numbers:pat) => {
        Said::Figure(Placed {
            value: Figure {
                numbers: $numbers,
                ..
            },
            ..
        })
    };
}

by! {
    f64: figure!(Numbers::One(value)) => *value;
    Range: figure!(Numbers::Range(range)) => *range;
    EmergenceCurve: figure!(Numbers::ByTemperature { at_c, figures: days, none_c: Some(none_c) }) =>
        EmergenceCurve::new(at_c, days, none_c.low, none_c.high);
    Curve: figure!(Numbers::ByTemperature { at_c, figures, .. }) => response::seedlings(at_c, figures);
    String: Said::Word(word) => word.value.clone();
    bool: Said::Switch(on) => *on;
    Vec<String>: Said::List(list) => list.iter().map(|item| item.value.clone()).collect();
}

impl<T: Filled> Filled for Option<T> {
    fn of(said: &Said, path: &str) -> Result<Option<Self>, FileError> {
        T::of(said, path).map(Some)
    }

    fn silent() -> Option<Self> {
        Some(None)
    }
}

impl<T: Word> Filled for T {
    fn of(said: &Said, path: &str) -> Result<Option<Self>, FileError> {
        match said {
            Said::Word(word) => meaning(word, path).map(Some),
            _ => Ok(None),
        }
    }
}

/// An empty list says nothing.
impl<T: Word> Filled for Vec<T> {
    fn of(said: &Said, path: &str) -> Result<Option<Self>, FileError> {
        match said {
            Said::List(list) if !list.is_empty() => {
                let each = list.iter().map(|word| meaning(word, path));
                each.collect::<Result<_, _>>().map(Some)
            }
            _ => Ok(None),
        }
    }
}

/// What a word of a key means.
fn meaning<T: Word>(word: &Placed<String>, path: &str) -> Result<T, FileError> {
    T::meaning(&word.value).ok_or_else(|| {
        let listed: Vec<String> = T::NAMES.iter().map(|name| format!("`{name}`")).collect();
        let hint = meant(nearest(&word.value, T::NAMES.iter().copied()));
        word.error(format!(
            "`{path}` is `{}`, not one of {}{hint}",
            word.value,
            listed.join(", ")
        ))
    })
}
