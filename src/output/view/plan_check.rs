//! A plan changed by hand against what it was.

use serde::Serialize;

use super::{GapRow, Note, Spread};
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
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
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
    /// Different kinds of crop.
    pub kinds: u32,
    /// Plantings: one crop sown on one day for one kind of bed.
    pub plantings_to_do: u32,
    /// The best plan found with no more kinds of crop; empty where none was looked for.
    pub best_alike: Option<BestAlikeView>,
    /// The single changes that gain most, each tried.
    pub gains: Vec<SwapRow>,
    /// What the plan is warned of besides, as `plan` says it.
    pub warnings: Vec<Note>,
    /// Wishes that are not met.
    pub gaps: Vec<GapRow>,
}

/// The best plan found that is as simple as one by hand.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct BestAlikeView {
    /// Different kinds of crop.
    pub kinds: u32,
    /// Plantings.
    pub plantings: u32,
    /// Value of its middle weather year.
    pub replayed_value_p50: f64,
}

row! {
    /// One change of a plan, tried.
    pub struct SwapRow {
        /// What is asked about; empty for a change that gains.
        of: String, "";
        /// What goes out of the beds.
        out: String, "";
        /// What comes in its place.
        put: String, "";
        /// What the plan is then worth more (negative: less) by the search's own measure, your time counted.
        value_change: f64, "currency";
        /// The same of the middle weather year, your time not counted.
        replayed_p50_change: f64, "currency";
    }
}

/// What else could be in a plan, tried.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct SwapsView {
    /// The question: a bed or a crop.
    pub question: String,
    /// Currency of all amounts.
    pub currency: String,
    /// Each change tried.
    pub swaps: Vec<SwapRow>,
    /// Crops of which there is nothing to try, and why.
    pub not_offered: Vec<String>,
}
