//! The plan made anew from the journal, and what is otherwise than agreed.

use chrono::NaiveDate;
use serde::Serialize;

use super::PlanView;
use crate::output::row::row;

row! {
    /// One change from the plan that was agreed to.
    pub struct ReplanRow {
        /// `dropped`, `added`, `moved` or `other bed`.
        change: String, "", "Change";
        /// Name of the bed.
        bed: String, "";
        /// Identifier of the crop.
        crop: String, "";
        /// Name of the crop for people.
        crop_name: String, "", "Crop";
        /// Day of sowing, the new one where there is one.
        sow: NaiveDate, "";
        /// Days later than agreed, where it is moved; earlier where negative.
        later_days: Option<f64>, "days", "Later";
        /// Bed area, where known.
        area_m2: Option<f64>, "m2";
        /// Why.
        why: String, "";
    }
}

/// The plan made anew.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct ReplanView {
    /// The plan.
    #[serde(flatten)]
    pub plan: PlanView,
    /// Sowings agreed to that stay as they were.
    pub kept: u32,
    /// What changes, by bed and day.
    pub changes: Vec<ReplanRow>,
}
