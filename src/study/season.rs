//! Crops against months, and how long warm crops can stay under four roofs.

use rayon::prelude::*;

use super::{ClimateStudy, Job, StudyError, variants};
use crate::calendar::{DAYS_PER_YEAR, week_of_day};
use crate::crops::{
    self, BedDays, Crop, CropMonths, Hardiness, LatestSowing, MonthsIn, Prepared, Season, Way,
    latest_sowing, months_in, prepare_all,
};
use crate::file::Bed;
use crate::house::House;
use crate::plan::fate::{DRAWS, Fate, Planted};
use crate::profile::{BedClimate, bed_climates};
use crate::site::Weather;

/// How long one warm crop can stay in, under four roofs; none where it cannot be said.
#[derive(Clone, Debug, PartialEq)]
pub struct CropMonthsIn {
    /// Crop id.
    pub crop: String,
    /// In the building as it is, in the kindest of its beds.
    pub as_is: Option<MonthsIn>,
    /// With a small heater.
    pub heated: Option<MonthsIn>,
    /// In a plain tunnel of one film on the same floor.
    pub tunnel: Option<MonthsIn>,
    /// Outdoors.
    pub outdoors: Option<MonthsIn>,
}

/// The latest sowing with which a winter crop is big enough for the dark weeks.
#[derive(Clone, Debug, PartialEq)]
pub struct CropLatest {
    /// Crop id.
    pub crop: String,
    /// Climate of the beds that it holds for: bare, or the name of their cover.
    pub beds: String,
    /// In the bed or in a tray.
    pub way: Way,
    /// Dates and what it then holds.
    pub latest: LatestSowing,
    /// Share of the weather years in which a sowing of the day safe in nine of ten comes through, by the weather.
    pub survival: f64,
    /// The same with what is lost beside the weather.
    pub in_all: f64,
}

/// Crops against months.
#[derive(Clone, Debug)]
pub struct SeasonStudy {
    /// State of every crop in every month, in the building as it is.
    pub season: Season,
    /// Warm crops under four roofs.
    pub months_in: Vec<CropMonthsIn>,
    /// Winter crops and their latest sowing.
    pub latest: Vec<CropLatest>,
    /// Heat that the small heater of the comparison gives, kWh a year, mean of the weather years.
    pub small_heater_kwh: f64,
}

impl SeasonStudy {
    /// Leaves out all crops but some.
    pub fn keep(&mut self, ids: &[String]) {
        self.season.crops.retain(|crop| ids.contains(&crop.crop));
        self.months_in.retain(|crop| ids.contains(&crop.crop));
        self.latest.retain(|crop| ids.contains(&crop.crop));
    }
}

/// The climates of the beds: weather years where they ran, else the settled year.
pub fn beds(job: &Job, study: &ClimateStudy) -> Vec<BedClimate> {
    let years = if study.years.is_empty() {
        std::slice::from_ref(&study.run.settled)
    } else {
        &study.years
    };
    bed_climates(&job.project.house, years, &job.sun.day_length_h)
}

/// Sets every crop against every month, and the warm ones under four roofs.
///
/// # Errors
/// [`StudyError`] if a variant of the building cannot be simulated.
pub fn season(
    job: &Job,
    study: &ClimateStudy,
    weathers: &[Weather],
) -> Result<SeasonStudy, StudyError> {
    let as_is = beds(job, study);
    let lived_in = lived_in(job, &as_is);
    let under = |house: &House| -> Result<(Vec<BedClimate>, f64), StudyError> {
        let study = super::climate(job, house, weathers)?;
        let heater_kwh = study.mean_of_tried(|year| year.year.heater_kwh);
        Ok((beds(job, &study), heater_kwh))
    };
    let small_heater = variants::with_small_heater(job, variants::SMALL_HEATER_SET_POINT_C);
    let plain_tunnel = variants::plain_tunnel(job)?;
    let no_house = variants::outdoors(job);
    let (heated, (tunnel, outdoors)) = rayon::join(
        || under(&small_heater),
        || rayon::join(|| under(&plain_tunnel), || under(&no_house)),
    );
    let ((heated, small_heater_kwh), (tunnel, _), (outdoors, _)) = (heated?, tunnel?, outdoors?);
    let [as_is, heated, tunnel, outdoors] =
        [&as_is, &heated, &tunnel, &outdoors].map(|beds| BedDays::of_all(beds));
    let crops: Vec<&Crop> = job.table.iter().collect();
    let found: Vec<CropSeason> = crops
        .par_iter()
        .map(|crop| {
            // Daily sums are made once and read by all three questions.
            let own = prepare_all(crop, &as_is);
            let under = |beds: &[BedDays]| kindest(crop, &prepare_all(crop, beds));
            CropSeason {
                months: crops::crop_months(crop, &own),
                months_in: (crop.hardiness == Hardiness::Tender).then(|| CropMonthsIn {
                    crop: crop.id.clone(),
                    as_is: kindest(crop, &own),
                    heated: under(&heated),
                    tunnel: under(&tunnel),
                    outdoors: under(&outdoors),
                }),
                latest: latest(job, crop, &own, &lived_in),
            }
        })
        .collect();
    let mut study = SeasonStudy {
        season: Season { crops: Vec::new() },
        months_in: Vec::new(),
        latest: Vec::new(),
        small_heater_kwh,
    };
    for of_crop in found {
        study.season.crops.extend(of_crop.months);
        study.months_in.extend(of_crop.months_in);
        study.latest.extend(of_crop.latest);
    }
    Ok(study)
}

/// What is found of one crop.
struct CropSeason {
    months: Option<CropMonths>,
    months_in: Option<CropMonthsIn>,
    latest: Vec<CropLatest>,
}

/// Months in of the bed climate in which the median year stays longest, the first of equals.
pub(super) fn kindest(crop: &Crop, beds: &[Prepared]) -> Option<MonthsIn> {
    let mut best: Option<MonthsIn> = None;
    for prepared in beds {
        let found = months_in(crop, prepared);
        let stays = |months: &Option<MonthsIn>| months.as_ref().map(|months| months.stays.p50);
        if stays(&found) > stays(&best) {
            best = found;
        }
    }
    best
}

/// The climates that beds of the file live in: place in the list and name.
fn lived_in(job: &Job, climates: &[BedClimate]) -> Vec<(usize, String)> {
    let own = |at: &usize| {
        let is = |bed: &Bed| bed.climate.min(climates.len() - 1) == *at;
        job.project.beds.iter().any(is)
    };
    let places = (0..climates.len()).filter(own);
    places.map(|at| (at, climates[at].name.clone())).collect()
}

/// Latest sowings of a crop that stands frost, by either way, in each climate that beds live in.
fn latest(
    job: &Job,
    crop: &Crop,
    climates: &[Prepared],
    lived_in: &[(usize, String)],
) -> Vec<CropLatest> {
    if crop.hardiness == Hardiness::Tender {
        return Vec::new();
    }
    let sowing = |way: Way, at: usize, beds: &str| {
        let latest = latest_sowing(crop, climates.get(at)?, way)?;
        let day = latest.day.p10.floor() as i64;
        let left = |year, draw| {
            let planted = Planted {
                crop: &crop.id,
                way: Some(way),
                bed: 0,
                sow_week: week_of_day(day.rem_euclid(DAYS_PER_YEAR as i64) as usize),
                year,
                draw,
            };
            Fate::drawn(&job.project.losses, job.project.planning.seed, &planted).left
        };
        Some(CropLatest {
            crop: crop.id.clone(),
            beds: beds.to_owned(),
            way,
            survival: latest.through.by_weather(),
            in_all: latest.through.in_all(DRAWS, left),
            latest,
        })
    };
    let mut found: Vec<CropLatest> = Vec::new();
    for &way in &crop.ways {
        let mut of_way: Vec<CropLatest> = Vec::new();
        of_way.extend(
            lived_in
                .iter()
                .filter_map(|(at, beds)| sowing(way, *at, beds)),
        );
        if let [first, rest @ ..] = &mut of_way[..]
            && of_way_is_one(first, rest, lived_in)
        {
            first.beds = ALL_BEDS.to_owned();
            of_way.truncate(1);
        }
        found.extend(of_way);
    }
    found
}

/// Name of the climates of all beds together, where a cover changes nothing.
const ALL_BEDS: &str = "all";

fn of_way_is_one(first: &CropLatest, rest: &[CropLatest], lived_in: &[(usize, String)]) -> bool {
    rest.len() + 1 == lived_in.len()
        && rest.iter().all(|other| {
            (other.latest.day, other.latest.standing_kg_m2, other.in_all)
                == (first.latest.day, first.latest.standing_kg_m2, first.in_all)
        })
}
