//! From hours to days, months and quantiles: what a grower asks of a climate.

mod bed;
mod month;
mod quantile;

pub use bed::{BedClimate, BedYear};
pub use month::{HourColumns, MonthRow};
pub use quantile::{Quantiles, quantile};
