//! What every format shows: plain structs, SI units, filled from the results of the stages. View and row say beside each field where
//! it comes from; what takes more than a line stands below.
//!
//! The JSON of a verb is its view, serialised as it stands. Table rows are at the same time rows of CSV and Parquet
//! (see [`crate::output::Row`]); their units are part of the column names.

pub(super) mod check;
pub(super) mod climate;
pub(super) mod cold;
pub(super) mod explain;
pub(super) mod growth;
pub(super) mod journal;
pub(super) mod money;
pub(super) mod plan;
pub(super) mod plan_check;
pub(super) mod plan_rows;
pub(super) mod plan_words;
pub(super) mod season;
pub(super) mod shelf;
pub(super) mod sweep;
pub(super) mod tune;
pub(super) mod value;

pub use check::{CheckView, DefaultRow, FactRow, ReportView, SourceRow};
pub use climate::{
    ClimateDay, ClimateHour, ClimateMonth, ClimateView, ColdHourRow, FirstMonth, HeatFlow, HeatRow,
    HeaterView, RoomMonth, RoomView, YearKind,
};
pub use cold::{MeasureRow, OutageRow, OutageView, StoreRow, WhyView};
pub use explain::{ExplainEvent, ExplainMonth, ExplainView};
pub use growth::{GrowthRow, GrowthView};
pub use journal::{
    FollowedRow, JournalRow, KgReviewRow, LogView, MoneyReviewRow, MoneyToDate, ReplanRow,
    ReplanView, ReviewView, WorkRow,
};
pub use money::{
    CompareMonthsInRow, CompareRow, CompareView, CoverRow, CoverView, FoodMonthRow, FoodPriceView,
    PricesView,
};
pub use plan::{FormerView, PlanView, TargetMonths};
pub use plan_check::{BestAlikeView, ChangeRow, PlanCheckView, SwapRow, SwapsView};
pub(crate) use plan_rows::place;
pub use plan_rows::{
    FoodWeek, FoodWeekRow, FrontierRow, GapRow, PickRow, PlanMonthRow, PlantingRow, PlantingView,
    RiskRow, SeedRow, TARGET, WeekPick, WeekRow, WeekView,
};
pub use season::{
    DateRange, LatestRow, MonthsIn, MonthsInRow, RoofHeatRow, Roofs, SeasonCrop, SeasonMonth,
    SeasonRow, SeasonState, SeasonView, StayDates,
};
pub use shelf::{
    CropFigureRow, CropRow, DesignRow, DictionaryRow, KeyView, PlaceMonthRow, PlaceRow, PlaceView,
    ShelfView,
};
pub use sweep::{DesignFigures, DesignPlan};
pub use tune::{FactorRow, GapHours, PatchFile, QualityRow, ResidualDay, TuneView};
pub use value::{CostRow, LifeRow, MonthCostRow, PriceRow, ValueMonth, ValueView, ValueYear};

use serde::Serialize;

use crate::phrase::Phrase;
pub use crate::profile::Quantiles as Spread;
pub use crate::study::{SecondPass as SecondPassView, Total as TotalLoss};
use crate::words::worded;

/// A figure, with its spread where weather years ran.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Figure {
    /// Median of the weather years, or of the year shown where none ran.
    pub value: f64,
    /// Over the weather years; none if only one year was run.
    pub spread: Option<Spread>,
}

/// A figure with its spread over the weather years: their median where they ran, else that of the year shown.
pub(super) fn figure(value: f64, spread: Option<Spread>) -> Figure {
    Figure {
        value: spread.map_or(value, |spread| spread.p50),
        spread,
    }
}

worded! {
    /// How much a note matters.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
    #[serde(rename_all = "lowercase")]
    pub enum NoteKind {
        /// Good to know.
        "note" => Note,
        /// A figure is unusual, or a wish cannot be met.
        "warning" => Warning,
        /// Someone could be hurt, or something could break.
        "caution" => Caution,
    }
}

/// A sentence that belongs beside the figures.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct Note {
    /// How much it matters.
    pub kind: NoteKind,
    /// The sentence; amounts in it are SI in machine formats.
    pub text: Phrase,
    /// Where it comes from, or who decides; empty where neither applies.
    pub source: String,
}

impl Note {
    /// Something good to know.
    pub fn plain(text: impl Into<Phrase>) -> Self {
        Self::new(NoteKind::Note, text)
    }

    /// A figure that is unusual, or a wish that cannot be met.
    pub fn warning(text: impl Into<Phrase>) -> Self {
        Self::new(NoteKind::Warning, text)
    }

    /// A plain note without a source.
    pub fn new(kind: NoteKind, text: impl Into<Phrase>) -> Self {
        Note {
            kind,
            text: text.into(),
            source: String::new(),
        }
    }
}
