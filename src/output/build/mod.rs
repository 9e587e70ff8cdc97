//! Views filled from the results of the stages: units, names and dates as people read them, nothing worked out.

mod check;
mod climate;
mod compare;
mod cover;
mod explain;
mod journal;
mod outage;
mod plan;
mod plan_check;
mod plan_words;
mod prices;
mod replan;
mod report;
mod review;
mod season;
mod shelf;
mod sweep;
mod tune;
mod tune_growth;
mod value;
mod why;

pub use check::{cautions, check, defaults};
pub use climate::{climate, hours};
pub use compare::{ComparedVariant, built_in_notes, compare};
pub use cover::cover;
pub use explain::explain;
pub use journal::{journal_row, log, taken_back};
pub use outage::outage;
pub use plan::plan;
pub use plan_check::{plan_check, swaps};
pub use plan_words::add_measures;
pub use prices::prices;
pub use replan::replan;
pub use report::report;
pub use review::review;
pub use season::season;
pub use shelf::{crop, crops, design, place, places, schema};
pub use sweep::{design as swept, sweep};
pub use tune::tune;
pub use tune_growth::growth;
pub use value::{shares, value};
pub use why::why;

use super::view::{Figure, Spread};
use crate::profile::Quantiles;

impl From<Quantiles> for Spread {
    fn from(quantiles: Quantiles) -> Self {
        Spread {
            p10: quantiles.p10,
            p50: quantiles.p50,
            p90: quantiles.p90,
        }
    }
}

/// A figure with its spread over the weather years: their median where they ran, else that of the year shown.
fn figure(value: f64, spread: Option<Quantiles>) -> Figure {
    Figure {
        value: spread.map_or(value, |spread| spread.p50),
        spread: spread.map(Spread::from),
    }
}

/// A way of sowing in one word.
fn way_word(way: crate::crops::Way) -> &'static str {
    match way {
        crate::crops::Way::Direct => "direct",
        crate::crops::Way::Tray => "tray",
    }
}
