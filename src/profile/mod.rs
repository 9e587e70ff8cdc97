//! From hours to days, months and quantiles: what a grower asks of a climate.

mod bed;
mod month;
mod quantile;

pub use bed::{
    BARE, BedClimate, BedHours, BedYear, bed_climates, bed_hours, bed_names, daily_sums,
};
pub use month::{MonthRow, MonthSpread, month_rows, month_spread};
pub use quantile::{
    Quantiles, highest, lowest, mean, minimum_once_in, minimum_once_in_range, quantile,
};
