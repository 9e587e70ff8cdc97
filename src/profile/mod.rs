//! From hours to days, months and quantiles: what a grower asks of a climate.

mod bed;

pub use bed::{BedClimate, BedYear};
