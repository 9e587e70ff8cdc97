//! Everything that stands on the one page.

use super::{ClimateView, DefaultRow, Note, PlanView, SeasonView, ValueView};
use crate::output::row::row;
use crate::phrase::Phrase;

row! {
    /// A source of figures.
    pub struct SourceRow {
        /// What was taken from it.
        figures: String, "";
        /// Where it is published, with its year.
        source: String, "";
    }
}

/// Everything that stands on the one page.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct ReportView {
    /// Title of the page.
    pub title: String,
    /// One or two sentences: building, household, planning year.
    pub summary: Phrase,
    /// The year inside, with its days and heat flows.
    pub climate: ClimateView,
    /// Crops against months.
    pub season: SeasonView,
    /// The plan.
    pub plan: PlanView,
    /// Food and money.
    pub value: ValueView,
    /// What was assumed in the person's name.
    pub assumptions: Vec<DefaultRow>,
    /// Where the figures come from.
    pub sources: Vec<SourceRow>,
    /// What to mind, and who decides.
    pub cautions: Vec<Note>,
    /// Version of the program.
    pub version: String,
}
