//! Fills the views from the results of the stages: units, names and dates as people read them, nothing worked out. Each stands
//! beside the view that it fills.

pub use super::view::check::{cautions, check, defaults, report};
pub use super::view::climate::{climate, hours};
pub use super::view::cold::{outage, why};
pub use super::view::explain::explain;
pub use super::view::growth::growth;
pub use super::view::journal::{log, replan, review, taken_back};
pub use super::view::money::{ComparedVariant, built_in_notes, compare, cover, prices};
pub use super::view::plan::plan;
pub use super::view::plan_check::{plan_check, swaps};
pub use super::view::plan_words::add_measures;
pub use super::view::season::season;
pub use super::view::shelf::{crop, crop_needs, crops, design, place, places, schema};
pub use super::view::sweep::sweep;
pub use super::view::tune::tune;
pub use super::view::value::{shares, value};
