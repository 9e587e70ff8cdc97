//! The model tuned: to a logger, and to the first harvests of the journal.

use chrono::{NaiveDate, NaiveDateTime};
use serde::Serialize;

use super::{Note, TotalLoss};
use crate::output::row::row;
use crate::study::{CropGrowth, DayResidual, FirstHarvest, Quality};

row! {
    /// One factor on the building.
    pub struct FactorRow {
        /// Key under `tuned` in the project file.
        factor: String, "";
        /// `fitted`, `together` (leaks and faces, not told apart), `faint`, `held`, `absent` or `untold`.
        state: String, "";
        /// Factor in the file before.
        before: f64, "factor";
        /// Factor as the record has it.
        after: f64, "factor";
        /// Lower end of the range of 90 %; empty where nothing was fitted.
        low: Option<f64>, "factor";
        /// Upper end of the range of 90 %.
        high: Option<f64>, "factor";
        /// What it acts on.
        acts_on: String, "";
        /// That figure as the building has it now.
        figure_before: f64, "see unit";
        /// That figure with the factor.
        figure_after: f64, "see unit";
        /// Unit of that figure.
        unit: String, "";
    }
}

impl FactorRow {
    /// Does the record tell it?
    pub fn is_fitted(&self) -> bool {
        ["fitted", "together"].contains(&self.state.as_str())
    }
}

row! {
    /// Simulated less read over some hours.
    pub struct QualityRow of (part: &str, quality: &Quality) {
        /// `air, fitted to`, `air, kept out` or `root zone`.
        part: String, "" => part.to_owned();
        /// Hours with a reading.
        hours: u32, "h" => quality.hours as u32;
        /// Root mean square before.
        rms_before_k: f64, "K" => quality.rms_before_k;
        /// Root mean square after.
        rms_after_k: f64, "K" => quality.rms_after_k;
        /// Mean before.
        bias_before_k: f64, "K" => quality.bias_before_k;
        /// Mean after.
        bias_after_k: f64, "K" => quality.bias_after_k;
    }
}

row! {
    /// Simulated less read, mean of a day.
    pub struct ResidualDay of (day: &DayResidual) {
        /// Day.
        date: NaiveDate, "" => day.date;
        /// Before tuning.
        before_k: f64, "K" => day.before_k;
        /// After tuning.
        after_k: f64, "K" => day.after_k;
        /// Whether the day was kept out of the fit.
        kept_out: bool, "" => day.kept_out;
    }
}

/// Hours without a reading.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct GapHours {
    /// First hour.
    pub from: NaiveDateTime,
    /// Number of hours.
    pub hours: u32,
}

/// A piece of a file that the person may put where it belongs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct PatchFile {
    /// Name of the file it makes or goes into.
    pub file: String,
    /// Its text.
    pub text: String,
}

/// A building tuned to a logger.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct TuneView {
    /// Where the building stands.
    pub place: String,
    /// Where the weather outside comes from.
    pub outside: String,
    /// First reading, on the logger's clock.
    pub from: NaiveDateTime,
    /// Last reading.
    pub to: NaiveDateTime,
    /// Rows of the logger that were read.
    pub rows_read: u32,
    /// Rows that were left out.
    pub rows_bad: u32,
    /// Usual time between rows, minutes.
    pub interval_min: f64,
    /// Columns that were used, by what they are.
    pub columns: Vec<(String, String)>,
    /// Hours without a reading, over all gaps.
    pub gap_h: u32,
    /// The gaps, longest first.
    pub gaps: Vec<GapHours>,
    /// Hours by which the logger's clock is behind local standard time (ahead where negative).
    pub clock_behind_h: f64,
    /// What the stamp of a row stands for: `begin`, `middle` or `end` of its span; empty where rows are too short to tell.
    pub stamps: Option<&'static str>,
    /// Heat that leaks and faces lose together.
    pub total: Option<TotalLoss>,
    /// Factors.
    pub factors: Vec<FactorRow>,
    /// How well record and simulation agree.
    pub quality: Vec<QualityRow>,
    /// Correlations of the fitted factors, in the order in which they are fitted.
    pub correlation: Vec<Vec<f64>>,
    /// So many hours of readings say as much as one free hour.
    pub hours_per_free_hour: Option<f64>,
    /// Condition of the fit: how far the best and the worst known combination of factors lie apart.
    pub condition: Option<f64>,
    /// Day by day.
    pub days: Vec<ResidualDay>,
    /// What to put into the project file.
    pub patch: PatchFile,
    /// What to mind.
    pub notes: Vec<Note>,
}

row! {
    /// One first harvest against the model.
    pub struct GrowthRow of (crop: &CropGrowth, name: &str, planting: &FirstHarvest) {
        /// Identifier of the crop.
        crop: String, "" => crop.crop.clone();
        /// Name of the crop.
        crop_name: String, "", "Crop" => name.to_owned();
        /// Name of the bed.
        bed: String, "" => planting.bed.clone();
        /// Day of sowing.
        sown: NaiveDate, "" => planting.sown;
        /// Day of the first picking.
        picked: NaiveDate, "", "First picked" => planting.picked;
        /// Day on which the model has it ready; empty where it never is.
        expected: Option<NaiveDate>, "", "Model" => planting.expected;
        /// Days by which the first picking was later than the model's; negative where it was earlier.
        late_days: Option<f64>, "d", "Days late"
            => planting.expected.map(|expected| (planting.picked - expected).num_days() as f64);
        /// Factor on the growth sum that this planting asks for; empty beyond what is believed.
        factor: Option<f64>, "factor", "Sum factor" => planting.factor.map(|factor| factor * crop.before);
    }
}

/// Growth tuned to first harvests.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct GrowthView {
    /// Where the building stands.
    pub place: String,
    /// Plantings, by crop and day.
    pub plantings: Vec<GrowthRow>,
    /// One file for each crop whose sum changes.
    pub patches: Vec<PatchFile>,
    /// What to mind.
    pub notes: Vec<Note>,
}
