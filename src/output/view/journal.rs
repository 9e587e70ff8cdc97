//! One row of the journal, and what became of it.

use chrono::NaiveDate;
use serde::Serialize;

use crate::output::row::row;

row! {
    /// One row of the journal.
    pub struct JournalRow {
        /// Line of the journal on which it stands, from 1.
        line: u32, "";
        /// Day.
        date: NaiveDate, "";
        /// What happened.
        event: String, "";
        /// Name of the bed; empty where none is named.
        bed: String, "";
        /// Identifier of the crop; empty where none is named.
        crop: String, "";
        /// How much, in its unit.
        amount: Option<f64>, "see unit";
        /// `kg`, `m2`, or the project's currency.
        unit: String, "";
        /// Cause, what was bought, anything else.
        note: String, "";
    }
}

/// One row added to the journal.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct LogView {
    /// File name of the journal.
    pub journal: String,
    /// Whether it was added; if not, the very row was there already.
    pub added: bool,
    /// Whether it stood there and was taken back.
    pub taken_back: bool,
    /// The row.
    #[serde(flatten)]
    pub row: JournalRow,
}
