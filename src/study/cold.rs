//! The coldest hours of the weather years, and what a heater does to them.

use super::climate::{building_inside, climate_on, settled, weather_years, years_from};
use super::year_inside::{Asked, YearInside};
use super::{ClimateStudy, Job, StudyError};
use crate::calendar::HOURS_PER_YEAR;
use crate::profile::{Quantiles, highest, lowest, minimum_once_in, minimum_once_in_range};
use crate::site::{Site, Weathers};

/// What a building's heater does to its cold.
#[derive(Clone, Debug, PartialEq)]
pub struct HeaterStudy {
    /// Lowest and highest set point of the year, °C.
    pub set_point_c: (f64, f64),
    /// Greatest output, W; infinite where the file sets none.
    pub capacity_w: f64,
    /// Hours a year in which it cannot hold its set point, over the weather years.
    pub cannot_hold_h: Quantiles,
    /// Coldest hours of the air once in 2, 5 and 10 years in the same building without it.
    pub without: Vec<ColdHour>,
}

/// The climate of a job with what the building's heater does, none where it has none: the house without it lives beside its own self.
///
/// # Errors
/// As [`super::climate`].
pub fn climate_and_heater(
    job: &Job,
) -> Result<(Weathers, ClimateStudy, Option<HeaterStudy>), StudyError> {
    let own = &job.project.house;
    let without = super::measures::without_heater(own);
    let settle = || {
        let without = || without.as_ref().map(|house| settled(job, house));
        rayon::join(|| settled(job, own), without)
    };
    let (weathers, (run, bare)) = rayon::join(|| weather_years(job), settle);
    let (run, bare) = (run?, bare.transpose()?);
    let unheated = || {
        let (house, run) = without.as_ref().zip(bare)?;
        Some(years_from(
            job,
            house,
            run,
            &weathers,
            &Asked::of_building(job),
        ))
    };
    let (study, unheated) = rayon::join(|| climate_on(job, own, run, &weathers), unheated);
    let (study, unheated) = (study?, unheated.transpose()?);
    let heater = unheated.and_then(|unheated| heater_of(job, &study, &unheated));
    Ok((weathers, study, heater))
}

/// What the heater of a job's building does, by the same building without it; none where it has none, or no weather years
/// ran.
///
/// # Errors
/// [`StudyError::House`] as [`super::climate`].
pub fn heater(
    job: &Job,
    study: &ClimateStudy,
    weathers: &Weathers,
) -> Result<Option<HeaterStudy>, StudyError> {
    let house = super::measures::without_heater(&job.project.house);
    let Some(house) = house.filter(|_| !study.years.is_empty()) else {
        return Ok(None);
    };
    let unheated = building_inside(job, &house, weathers)?;
    Ok(heater_of(job, study, &unheated))
}

/// The same from the years of the building without it.
fn heater_of(job: &Job, study: &ClimateStudy, unheated: &[YearInside]) -> Option<HeaterStudy> {
    let heater = job.project.house.heater.as_ref()?;
    let hours: Vec<f64> = study.years.iter().map(|year| year.not_held_h).collect();
    let cannot_hold_h = Quantiles::of(&hours)?;
    let set_points: Vec<f64> = (0..HOURS_PER_YEAR)
        .map(|hour| heater.set_point_c.at(hour))
        .collect();
    Some(HeaterStudy {
        set_point_c: (lowest(&set_points), highest(&set_points)),
        capacity_w: heater.capacity_w,
        cannot_hold_h,
        without: ColdPlace::Air.cold_hours(unheated, &job.site),
    })
}

/// Years between two winters as cold, that are asked after.
const ONCE_IN_YEARS: [u32; 3] = [2, 5, 10];

/// Where it is cold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ColdPlace {
    /// Air of the house.
    Air,
    /// Leaves of the bed climate so counted, the bare middle first.
    Leaf(usize),
    /// Its root zone.
    RootZone(usize),
}

/// A coldest hour with the years between two like it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ColdHour {
    /// Where.
    pub place: ColdPlace,
    /// A year's coldest hour is colder once in so many years.
    pub years: u32,
    /// The level, °C; none where the weather years are too few.
    pub coldest_c: Option<f64>,
    /// Its range, °C: see [`minimum_once_in_range`].
    pub range_c: (Option<f64>, Option<f64>),
}

impl ColdPlace {
    /// Its coldest hour in a year, °C.
    fn lowest_c(self, year: &YearInside) -> f64 {
        match self {
            Self::Air => year.coldest_air_c(),
            Self::Leaf(climate) => year.coldest_leaf_c(climate),
            Self::RootZone(climate) => year.coldest_root_zone_c(climate),
        }
    }

    /// Its coldest hours once in 2, 5 and 10 years. Where the site's climate is estimated the ranges are wider by what the coldest
    /// hours outdoors may be off: a house without a heater follows them less than one to one.
    fn cold_hours(self, years: &[YearInside], site: &Site) -> Vec<ColdHour> {
        let basis = site.estimated.as_ref();
        let off_k = basis.map_or(0.0, |basis| basis.coldest_hour_error_k);
        let minima: Vec<f64> = years.iter().map(|year| self.lowest_c(year)).collect();
        let of = |years: u32| {
            let (low, high) = minimum_once_in_range(f64::from(years), &minima);
            ColdHour {
                place: self,
                years,
                coldest_c: minimum_once_in(f64::from(years), &minima),
                range_c: (low.map(|low| low - off_k), high.map(|high| high + off_k)),
            }
        };
        ONCE_IN_YEARS.map(of).to_vec()
    }
}

impl ClimateStudy {
    /// Coldest hours once in 2, 5 and 10 years, by place; empty where no weather years ran.
    pub fn cold_hours(&self, site: &Site) -> Vec<ColdHour> {
        let Some(first) = self.years.first() else {
            return Vec::new();
        };
        let climates = 0..first.climates();
        let leaves = climates.clone().map(ColdPlace::Leaf);
        std::iter::once(ColdPlace::Air)
            .chain(leaves)
            .chain(climates.map(ColdPlace::RootZone))
            .flat_map(|place| place.cold_hours(&self.years, site))
            .collect()
    }
}
