//! What every format shows: plain structs, SI units, filled from the results of the stages. A row that is made of one thing says
//! beside each of its columns where the figure comes from; what takes more than a line is worked out in `build`.
//!
//! The JSON of a verb is its view, serialised as it stands. Table rows are at the same time rows of CSV and Parquet
//! (see [`crate::output::Row`]); their units are part of the column names.

mod check;
mod climate;
mod compare;
mod explain;
mod journal;
mod outage;
mod plan;
mod plan_check;
mod prices;
mod replan;
mod report;
mod review;
mod season;
mod shelf;
mod sweep;
mod tune;
mod value;
mod why;

pub use check::{CheckView, DefaultRow, FactRow};
pub use climate::{
    ClimateDay, ClimateHour, ClimateMonth, ClimateView, ColdHourRow, FirstMonth, HeatFlow, HeatRow,
    HeaterView, RoomMonth, RoomView, YearKind,
};
pub use compare::{CompareMonthsInRow, CompareRow, CompareView};
pub use explain::{ExplainEvent, ExplainMonth, ExplainView};
pub use journal::{JournalRow, LogView};
pub use outage::{OutageRow, OutageView};
pub(crate) use plan::place;
pub use plan::{
    FoodWeek, FoodWeekRow, FormerView, FrontierRow, GapRow, PickRow, PlanMonthRow, PlanView,
    PlantingRow, PlantingView, RiskRow, SeedRow, TARGET, TargetMonths, WeekPick, WeekRow, WeekView,
};
pub use plan_check::{BestAlikeView, ChangeRow, PlanCheckView, SwapRow, SwapsView};
pub use prices::{FoodMonthRow, FoodPriceView, PricesView};
pub use replan::{ReplanRow, ReplanView};
pub use report::{ReportView, SourceRow};
pub use review::{FollowedRow, KgReviewRow, MoneyReviewRow, MoneyToDate, ReviewView, WorkRow};
pub use season::{
    DateRange, LatestRow, MonthsIn, MonthsInRow, RoofHeatRow, Roofs, SeasonCrop, SeasonMonth,
    SeasonRow, SeasonState, SeasonView, StayDates,
};
pub use shelf::{
    CropFigureRow, CropRow, DesignRow, DictionaryRow, KeyView, PlaceMonthRow, PlaceRow, PlaceView,
    ShelfView,
};
pub use sweep::{DesignFigures, DesignPlan};
pub use tune::{
    FactorRow, GapHours, GrowthRow, GrowthView, PatchFile, QualityRow, ResidualDay, TuneView,
};
pub use value::{
    CostRow, CoverRow, CoverView, LifeRow, MonthCostRow, PriceRow, ValueMonth, ValueView, ValueYear,
};
pub use why::{MeasureRow, StoreRow, WhyView};

use serde::Serialize;

use crate::phrase::Phrase;
pub use crate::profile::Quantiles as Spread;
pub use crate::study::{SecondPass as SecondPassView, Total as TotalLoss};

/// A figure, with its spread where weather years ran.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Figure {
    /// Median of the weather years, or of the year shown where none ran.
    pub value: f64,
    /// Over the weather years; none if only one year was run.
    pub spread: Option<Spread>,
}

impl From<f64> for Figure {
    fn from(value: f64) -> Self {
        Figure {
            value,
            spread: None,
        }
    }
}

/// A figure with its spread over the weather years: their median where they ran, else that of the year shown.
pub(super) fn figure(value: f64, spread: Option<Spread>) -> Figure {
    Figure {
        value: spread.map_or(value, |spread| spread.p50),
        spread,
    }
}

/// A way of sowing in one word.
pub(super) fn way_word(way: crate::crops::Way) -> &'static str {
    match way {
        crate::crops::Way::Direct => "direct",
        crate::crops::Way::Tray => "tray",
    }
}

/// How much a note matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum NoteKind {
    /// Good to know.
    Note,
    /// A figure is unusual, or a wish cannot be met.
    Warning,
    /// Someone could be hurt, or something could break.
    Caution,
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
