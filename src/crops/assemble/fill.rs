//! The field of a crop that a figure of its file fills: its type says whether the figure must be there.

use std::any::Any;

use super::{maybe, maybe_range, number, range};
use crate::crops::file::CropFile;
use crate::crops::schema::KEYS;
use crate::crops::{CropError, Range};

/// Fills one field of a struct from a figure of a file; of a struct of another type none.
pub(crate) type Fill = fn(&mut dyn Any, &CropFile, &'static str) -> Result<(), CropError>;

/// The field that a figure fills, such as `field!(Water.kc_mid)`.
macro_rules! field {
    ($type:ident . $field:ident) => {
        |to, file, path| match to.downcast_mut::<$type>() {
            Some(to) => $crate::crops::assemble::fill::Filled::fill(&mut to.$field, file, path),
            None => Ok(()),
        }
    };
}
pub(crate) use field;

/// A type of field that a figure fills.
pub(crate) trait Filled: Sized {
    /// Fills it.
    ///
    /// # Errors
    /// A figure that must be there and is not.
    fn fill(&mut self, file: &CropFile, path: &'static str) -> Result<(), CropError>;
}

/// One figure, by what reads it.
macro_rules! by {
    ($($type:ty = $file:ident, $path:ident: $read:expr;)*) => {$(
        impl Filled for $type {
            fn fill(&mut self, $file: &CropFile, $path: &'static str) -> Result<(), CropError> {
                *self = $read;
                Ok(())
            }
        }
    )*};
}
by! {
    f64 = file, path: number(file, path)?;
    Option<f64> = file, path: maybe(file, path);
    Range = file, path: range(file, path)?;
    Option<Range> = file, path: maybe_range(file, path);
}

/// A struct with the fields that figures of the file fill; the others are as given.
///
/// # Errors
/// The first figure that must be there and is not.
pub(super) fn filled<T: Any>(file: &CropFile, mut to: T) -> Result<T, CropError> {
    for key in KEYS {
        if let Some(fill) = key.field {
            fill(&mut to, file, key.path)?;
        }
    }
    Ok(to)
}
