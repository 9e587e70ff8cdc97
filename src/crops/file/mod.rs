//! One crop file as text: words and figures with their place, before a variety takes over its parent's.

mod entries;

use super::Range;
use crate::document::{self, FileError, Problem};
use crate::suggest::{meant, nearest};
use std::collections::BTreeMap;
use std::sync::Arc;

/// The text that a place refers to.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Origin {
    pub(super) file: Arc<str>,
    text: Arc<str>,
}

impl Origin {
    pub(super) fn new(file: &str, text: &str) -> Self {
        Self {
            file: file.into(),
            text: text.into(),
        }
    }

    /// An error at a span of this text.
    pub(super) fn error(&self, span: std::ops::Range<usize>, message: String) -> FileError {
        self.refused(vec![Problem::at(&self.text, span, message, None)])
    }

    fn refused(&self, problems: Vec<Problem>) -> FileError {
        FileError::new(&self.file, &self.text, problems)
    }
}

/// A value with the place it was written.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Placed<T> {
    pub(super) value: T,
    pub(super) span: std::ops::Range<usize>,
    pub(super) origin: Origin,
}

impl<T> Placed<T> {
    pub(super) fn error(&self, message: String) -> FileError {
        self.origin.error(self.span.clone(), message)
    }
}

/// The numbers of a figure.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Numbers {
    One(f64),
    Range(Range),
    /// A figure for each temperature, rising, and the temperatures at which there is none.
    ByTemperature {
        at_c: Vec<f64>,
        figures: Vec<f64>,
        none_c: Option<Range>,
    },
}

/// A figure with the key of its source.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Figure {
    pub(super) numbers: Numbers,
    pub(super) source: String,
}

/// What a key of the file says.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Said {
    Word(Placed<String>),
    Switch(bool),
    List(Vec<Placed<String>>),
    Figure(Placed<Figure>),
}

/// A crop file, possibly only the differences from a parent.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct CropFile {
    pub(super) id: String,
    pub(super) origin: Origin,
    pub(super) like: Option<Placed<String>>,
    /// By the path of the key.
    pub(super) entries: BTreeMap<&'static str, Said>,
    pub(super) sources: BTreeMap<String, String>,
    /// Keys of its own that are no longer used.
    pub(super) old: Vec<&'static str>,
}

/// Adds the entries of another map whose keys are not there.
pub(super) fn take_over<K: Ord + Clone, V: Clone>(own: &mut BTreeMap<K, V>, from: &BTreeMap<K, V>) {
    for (key, value) in from {
        own.entry(key.clone()).or_insert_with(|| value.clone());
    }
}

impl CropFile {
    /// Takes over from a parent all that this file does not say. Sources stay with the file that names them, so
    /// figures must have been given their full source first (see [`Self::name_sources`]).
    pub(super) fn over(mut self, parent: &Self) -> Self {
        take_over(&mut self.entries, &parent.entries);
        self
    }

    /// Puts the full source in the place of its key; a key that neither this file nor the parent lists is refused.
    pub(super) fn name_sources(&mut self, parent: Option<&Self>) -> Result<(), FileError> {
        if let Some(parent) = parent {
            take_over(&mut self.sources, &parent.sources);
        }
        for (path, said) in &mut self.entries {
            let Said::Figure(figure) = said else {
                continue;
            };
            let key = &figure.value.source;
            let Some(source) = self.sources.get(key) else {
                let hint = meant(nearest(key, self.sources.keys().map(String::as_str)));
                let message =
                    format!("`{path}`: source `{key}` is not listed in `[sources]`{hint}");
                return Err(figure.error(message));
            };
            figure.value.source = source.clone();
        }
        Ok(())
    }

    /// Reads a crop file; its id is the stem of `file`.
    pub(super) fn parse(file: &str, text: &str) -> Result<Self, FileError> {
        let origin = Origin::new(file, text);
        // What is no TOML is told by its first fault.
        let root = document::parse(text)
            .map_err(|problems| origin.refused(problems.into_iter().take(1).collect()))?;
        let stem = file.rsplit(['/', '\\']).next().unwrap_or(file);
        let mut crop = Self {
            id: stem.strip_suffix(".toml").unwrap_or(stem).to_string(),
            origin,
            like: None,
            entries: BTreeMap::new(),
            sources: BTreeMap::new(),
            old: Vec::new(),
        };
        for entry in root.entries() {
            crop.take_top(entry)?;
        }
        Ok(crop)
    }
}
