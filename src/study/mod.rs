//! The stages called in order, for the command line and for anyone who wants the whole job at once.
//!
//! A [`Job`] is a project file made ready: site, sun, crop table. From it [`climate()`] simulates the year
//! inside.

mod accept;
mod by_hand;
mod climate;
mod cold;
mod compare;
mod error;
mod explain;
mod frontier;
mod job;
pub mod measures;
mod money;
mod next_year;
mod outage;
mod place;
mod plan_file;
mod planning;
mod problem;
mod replan;
mod review;
mod season;
mod second_pass;
mod shortfalls;
mod swaps;
pub mod sweep;
mod tune;
mod turns;
pub mod variants;
mod why;
mod year_inside;

pub use by_hand::{
    BestAlike, Opening, PlanCheck, check_plan, checked, crops_for, noon_elevations_deg, openings,
};
pub use climate::{ClimateStudy, climate, climate_of_years, run_options, weather_years};
pub use cold::{ColdHour, ColdPlace, HeaterStudy, climate_and_heater, heater};
pub use compare::{Compared, CropStay, Variant, built_in, compare};
pub use error::StudyError;
use explain::climate_of as climate_of_bed;
pub use explain::{ExplainQuestion, ExplainStudy, crops_named, explain, one_crop};
pub use frontier::FrontierRow as SimplerPlan;
pub use job::{Job, SideFiles};
pub use money::{ValueStudy, demand, value, what_it_takes};
pub use next_year::{NextYear, next_year};
pub use outage::{
    Course, Fails, HORIZON_H, Limit, ONSET_CLOCK_H, Onset, OutageStudy, SPELL_H, hours_until,
    outage,
};
pub use place::{
    DesignFigure, DesignReason, DesignStudy, EXPLAINED_FROM_K, PlaceStudy, design, place, spot,
};
pub use plan_file::{changed, plan_from_file, rule_broken};
pub use planning::{Found, PlanStudy, Planting, plan};
pub use problem::{NotOffered, Origin, Problem, StandingCrop, Surest, WhyNot};
pub use replan::{Change, ChangeKind, ReplanStudy, replan};
pub use review::{
    AHEAD_DAYS, Followed, KgRow, MoneyMonth, ReviewStudy, State, Work, WorkKind, review,
};
pub use season::{
    CropLatest, CropMonthsIn, HeatAsked, RoofHeat, SeasonStudy, beds, climate_and_season, lived_in,
    season,
};
pub use second_pass::{SecondPass, house_with_leaves, own_leaf_area};
pub use shortfalls::{Closes, Tried, brings, shortfalls, try_measures};
pub use swaps::{Swap, WhyPlanted, gains, why_planted};
pub use tune::{
    CropGrowth, DayResidual, FirstHarvest, HARVESTS_MIN, Quality, Stamps, Total, TuneQuestion,
    TuneStudy, Verdict, figure, growth, tune,
};
pub use turns::{Turned, Turns, turns};
pub use variants::variant_text;
pub use why::{MeasureOutcome, Outcome, StoreOutcome, WhyStudy, why};
pub use year_inside::YearInside;
