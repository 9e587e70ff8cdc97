//! What the program understood.

use serde::Serialize;

use super::Note;
use crate::output::row::row;
use crate::phrase::Phrase;

row! {
    /// Something computed from the file alone, such as an area or a loss coefficient.
    pub struct FactRow {
        /// What it is.
        fact: Phrase, "";
        /// How much; empty where it is a word.
        amount: Option<f64>, "";
        /// Unit of the amount, or the word.
        unit: Phrase, "";
    }
}

row! {
    /// A value that was assumed in the person's name.
    pub struct DefaultRow {
        /// Key in the project file that overrides it.
        key: String, "";
        /// The value assumed, in its unit.
        assumed: Phrase, "";
        /// Where it comes from.
        source: String, "";
    }
}

/// What the program understood of a project file.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct CheckView {
    /// Name of the project.
    pub project: String,
    /// Where the building stands.
    pub place: String,
    /// Areas, volume, loss coefficient and the like.
    pub facts: Vec<FactRow>,
    /// Everything that was assumed.
    pub defaults: Vec<DefaultRow>,
    /// What is unusual.
    pub notes: Vec<Note>,
}
