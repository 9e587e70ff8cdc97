//! The plan against what was done.

use chrono::NaiveDate;
use serde::Serialize;

use super::Note;
use crate::output::row::row;
use crate::study::{KgRow, MoneyMonth};

row! {
    /// Plan against fact of one month, bed and crop.
    pub struct KgReviewRow of (row: &KgRow) {
        /// First day of the month.
        month: NaiveDate, "" => row.month;
        /// Name of the bed; empty where the journal names none.
        bed: String, "" => row.bed.clone();
        /// Identifier of the crop.
        crop: String, "" => row.crop.clone();
        /// Planned for the days that have passed.
        planned_kg: f64, "kg", "Planned" => row.planned_kg;
        /// Picked.
        picked_kg: f64, "kg", "Picked" => row.picked_kg;
    }
}

row! {
    /// One month in money.
    pub struct MoneyReviewRow of (month: &MoneyMonth) {
        /// First day of the month.
        month: NaiveDate, "" => month.month;
        /// What the plan's food would have cost.
        planned: f64, "currency" => month.planned;
        /// What the picked food would have cost, as far as the household eats it.
        saved: f64, "currency" => month.saved;
        /// Paid for the garden.
        paid: f64, "currency" => month.paid;
        /// Paid in shops for food, as far as the journal names it.
        shop: f64, "currency", "In shops" => month.shop;
        /// Produce budget of the days that have passed.
        budget: f64, "currency" => month.budget;
    }
}

row! {
    /// One planting as it stands.
    pub struct FollowedRow {
        /// Name of the bed.
        bed: String, "";
        /// Identifier of the crop.
        crop: String, "";
        /// Name of the crop for people.
        crop_name: String, "", "Crop";
        /// Planned day of sowing; empty where the plan has it not.
        planned_sow: Option<NaiveDate>, "", "Planned";
        /// Day of sowing as the journal has it.
        sown: Option<NaiveDate>, "";
        /// Days by which it is later than planned.
        behind_days: f64, "days", "Late";
        /// `to come`, `not sown`, `in trays` (the day is that of setting out), `growing`, `ready`, `picking`, `done`, `lost` or `before the journal`.
        state: String, "";
        /// Since when, or until when, where the state has a day.
        day: Option<NaiveDate>, "", "Since or from";
        /// Cause of a loss.
        cause: String, "";
        /// Planned in all.
        planned_kg: f64, "kg", "Planned";
        /// Picked so far.
        picked_kg: f64, "kg", "Picked";
    }
}

row! {
    /// One thing to do.
    pub struct WorkRow {
        /// The day it is due.
        due: NaiveDate, "";
        /// Days by which it is late.
        late_days: u32, "days";
        /// What to do.
        task: String, "", "Work";
        /// Name of the bed.
        bed: String, "";
        /// Name of the crop for people.
        crop_name: String, "", "Crop";
        /// Bed area.
        area_m2: f64, "m2", "Area";
        /// Expected picking.
        harvest_kg: Option<f64>, "kg", "Expected";
    }
}

/// Money from the first day of the review to its last.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct MoneyToDate {
    /// What the plan's food would have cost.
    pub planned: f64,
    /// What the picked food would have cost.
    pub saved: f64,
    /// Paid for the garden.
    pub paid: f64,
    /// Paid in shops for food, as far as the journal names it.
    pub shop: f64,
    /// Produce budget.
    pub budget: f64,
    /// Saved, as a share of the budget; empty without a budget.
    pub share: Option<f64>,
}

/// The plan against what was done.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct ReviewView {
    /// Where the building stands.
    pub place: String,
    /// First day that counts.
    pub from: NaiveDate,
    /// Last day that counts.
    pub at: NaiveDate,
    /// Currency of all money.
    pub currency: String,
    /// Rows of the journal in use.
    pub rows_used: u32,
    /// Rows left out.
    pub rows_bad: u32,
    /// Planned for the days that have passed, kg.
    pub planned_kg: f64,
    /// Picked, kg.
    pub picked_kg: f64,
    /// Money so far.
    pub to_date: MoneyToDate,
    /// Plan against fact by month, bed and crop.
    pub kg: Vec<KgReviewRow>,
    /// Money by month.
    pub money: Vec<MoneyReviewRow>,
    /// Plantings by bed.
    pub plantings: Vec<FollowedRow>,
    /// What is late, and the work of the two weeks ahead.
    pub work: Vec<WorkRow>,
    /// What to mind.
    pub notes: Vec<Note>,
}
