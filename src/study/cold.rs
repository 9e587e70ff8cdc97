//! The coldest hours of the weather years, and what a heater does to them.

use super::climate::{building_inside, climate_beside};
use super::measures::without_heater;
use super::year_inside::{Asked, YearInside};
use super::{ClimateStudy, Job, StudyError};
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_YEAR};
use crate::house::{HeatedWeeks, House, cold_days_without};
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

/// The climate of a job without its beds' days, with what the building's heater does, none where it has none: the house without it lives its winters while
/// the year that is drawn settles.
pub fn climate_and_heater(
    job: &Job,
) -> Result<(Weathers, ClimateStudy, Option<HeaterStudy>), StudyError> {
    climate_beside(job, &Asked::of_building(job), |years, weathers| {
        heater(job, years, weathers)
    })
}

/// What the heater of a job's building does in its weather years, by the same building without it; none where it has none, or no
/// weather years ran.
pub fn heater(
    job: &Job,
    years: &[YearInside],
    weathers: &Weathers,
) -> Result<Option<HeaterStudy>, StudyError> {
    let own = &job.project.house;
    let hours: Vec<f64> = years.iter().map(|year| year.not_held_h).collect();
    let found = (&own.heater, without_heater(own), Quantiles::of(&hours));
    let (Some(heater), Some(without), Some(cannot_hold_h)) = found else {
        return Ok(None);
    };
    if weathers.is_empty() {
        return Ok(None);
    }
    let set_points: Vec<f64> = (0..HOURS_PER_YEAR)
        .map(|hour| heater.set_point_c.at(hour))
        .collect();
    let minima_c = minima_without(job, &without, years, weathers)?;
    Ok(Some(HeaterStudy {
        set_point_c: (lowest(&set_points), highest(&set_points)),
        capacity_w: heater.capacity_w,
        cannot_hold_h,
        without: ColdPlace::Air.once_in(&minima_c, &job.site),
    }))
}

/// Coldest hour of the air in each year of the building without its heater, °C: it is simulated where it differs from the one with
/// it, whose years are known.
fn minima_without(
    job: &Job,
    without: &House,
    years: &[YearInside],
    weathers: &Weathers,
) -> Result<Vec<f64>, StudyError> {
    let sky = (&job.sun, &job.site.ground);
    let heated: Vec<&HeatedWeeks> = years.iter().map(|year| &year.heated).collect();
    let goes_on = || job.goes_on();
    let cold = cold_days_without(without, weathers, sky, &heated, &goes_on)?;
    let Some(cold) = cold else {
        let years = building_inside(job, without, weathers)?;
        return Ok(years.iter().map(YearInside::coldest_air_c).collect());
    };
    let days = years.iter().flat_map(|year| &year.air_min_max_c);
    let mut coldest_c: Vec<f64> = days.map(|day| day.0).collect();
    for (days, without_c) in cold {
        coldest_c[days].copy_from_slice(&without_c);
    }
    let years = coldest_c.chunks(DAYS_PER_YEAR);
    Ok(years.map(lowest).collect())
}

/// Years between two winters as cold, that are asked after.
const ONCE_IN_YEARS: [u32; 3] = [2, 5, 10];

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
    fn once_in(self, minima_c: &[f64], site: &Site) -> Vec<ColdHour> {
        let basis = site.estimated.as_ref();
        let off_k = basis.map_or(0.0, |basis| basis.coldest_hour_error_k);
        let of = |years: u32| {
            let (low, high) = minimum_once_in_range(f64::from(years), minima_c);
            ColdHour {
                place: self,
                years,
                coldest_c: minimum_once_in(f64::from(years), minima_c),
                range_c: (low.map(|low| low - off_k), high.map(|high| high + off_k)),
            }
        };
        ONCE_IN_YEARS.map(of).to_vec()
    }

    fn cold_hours(self, years: &[YearInside], site: &Site) -> Vec<ColdHour> {
        let minima_c: Vec<f64> = years.iter().map(|year| self.lowest_c(year)).collect();
        self.once_in(&minima_c, site)
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
