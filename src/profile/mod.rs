//! From hours to days, months and quantiles: what a grower asks of a climate.

mod bed;
mod climates;
mod month;
mod quantile;

pub use bed::{BedClimate, BedHours, BedYear};
pub use climates::{BARE, bed_climates, bed_hours, bed_names, daily_sums};
pub use month::{
    HourColumns, MonthRow, MonthSpread, month_rows, month_spread, sunlit_hours_in_band,
};
pub use quantile::{
    Quantiles, highest, lowest, mean, minimum_once_in, minimum_once_in_range, quantile,
};
