//! A plan changed by hand against what it was.

use serde::Serialize;

use super::{GapRow, Spread};
use crate::output::row::row;

row! {
    /// What a change does to one food, or to the money.
    pub struct ChangeRow {
        /// Food, or what the money is for.
        what: String, "";
        /// When the plan was saved; empty where the file does not say.
        before: Option<f64>, "see unit";
        /// As it now stands.
        after: f64, "see unit";
        /// After less before.
        change: Option<f64>, "see unit";
        /// Unit of the three.
        unit: String, "";
    }
}

/// A plan changed by hand against what it was.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlanCheckView {
    /// Name of the project.
    pub project: String,
    /// Currency of all amounts.
    pub currency: String,
    /// Value, food at shop prices, seed and trays: then food by food, those that changed first.
    pub changes: Vec<ChangeRow>,
    /// Value when it lives through each weather year.
    pub replayed_value: Spread,
    /// Rules that it breaks.
    pub broken: Vec<String>,
    /// Sowings that come through too seldom.
    pub doubtful: Vec<String>,
    /// Wishes that are not met.
    pub gaps: Vec<GapRow>,
}
