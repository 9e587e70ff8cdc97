//! The crop table and growth: what each crop needs, does and suffers in a bed's climate.
//!
//! [`Table`] holds the crops, built in or the person's own, every figure with its source. [`prepare`] turns one
//! crop and one bed climate into daily figures, and [`grow`] follows one sowing through them: emergence, leaves and
//! mass, picking, and whatever ends it (see [`growth`]). [`season`] asks that of every week of the year.

mod assemble;
mod bed_days;
mod crop;
pub mod curve;
mod explain;
mod file;
pub mod growth;
pub mod hardening;
mod latest;
mod loss;
mod months_in;
mod needs;
pub mod response;
mod schema;
mod season;
mod table;
mod through;
mod warning;

pub use bed_days::{BedDay, BedDays, YearOfDays, chills_c, prepare_all};
pub use crop::{Crop, FigureRow, Habit, Hardiness, Range, Way};
pub use explain::{Explanation, MonthSums, explain};
pub use growth::{
    Class, CropDay, Event, EventKind, Flower, Growth, Harvest, Pollinator, Prepared, RateFrom,
    Sowing, TRAY_C, grow, grow_years, in_bed_on_time, prepare,
};
pub use latest::{LatestSowing, latest_sowing};
pub use loss::{Cause, Loss};
pub use months_in::{MonthsIn, Stretch, months_in};
pub use needs::{
    Bolting, Bulbing, Cold, EmergenceCurve, FruitSet, GrowthFigures, Light, Spacing, Storage,
    Temperature, Timing, Water, Yield,
};
pub use season::{CropMonths, MonthState, Season, State, crop_months};
pub use table::Table;
pub use table::builtin_ids;
pub use through::{COMES_THROUGH, Through, least_kg_m2};
pub use warning::{Warning, WarningKind, warnings};
