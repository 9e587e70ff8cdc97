//! Crops against months, and how long warm crops can stay under four roofs.

use rayon::prelude::*;

use super::climate::{hours_not_held, mean_of, years_inside};
use super::{ClimateStudy, Job, StudyError, variants};
use crate::calendar::{DAYS_PER_YEAR, week_of_day};
use crate::crops::{
    self, BedDays, Crop, CropMonths, Hardiness, LatestSowing, MonthsIn, Prepared, Season, Way,
    latest_sowing, months_in, prepare_all,
};
use crate::file::Bed;
use crate::house::{House, HouseYear};
use crate::plan::fate::{DRAWS, Fate, Planted};
use crate::profile::{BedClimate, bed_climates, highest};
use crate::site::Weather;
use crate::value::{self, Fuel};

/// How long one warm crop can stay in, under four roofs; none where it cannot be said.
#[derive(Clone, Debug, PartialEq)]
pub struct CropMonthsIn {
    /// Crop id.
    pub crop: String,
    /// In the building as it is, in the kindest of its beds.
    pub as_is: Option<MonthsIn>,
    /// Held at the temperature asked for.
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

/// Heat asked for in the comparison of roofs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeatAsked {
    /// Air temperature to be held, °C.
    pub set_point_c: f64,
    /// What is burnt; none: what the building's own heater burns, else electricity.
    pub fuel: Option<Fuel>,
}

/// What heating takes under one roof.
#[derive(Clone, Debug, PartialEq)]
pub struct RoofHeat {
    /// Roof, as people say it.
    pub roof: &'static str,
    /// Largest output in any hour of the weather years, W: what the heater has to give; 0 without one.
    pub peak_w: f64,
    /// Heat a year, kWh, mean of the weather years.
    pub heat_kwh: f64,
    /// Hours a year in which the heater cannot hold its set point, mean of the weather years.
    pub cannot_hold_h: f64,
    /// What is burnt.
    pub fuel: Fuel,
    /// How much of it a year, and the unit in which it is sold.
    pub fuel_amount: (f64, &'static str),
    /// What that costs a year, units of the currency; none where nothing is known of its price.
    pub cost: Option<f64>,
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
    /// What heat is asked for under each roof: as it is, heated, plain tunnel, outdoors.
    pub heats: Vec<RoofHeat>,
    /// Air temperature that the heated building is held at, °C.
    pub heated_to_c: f64,
    /// Was it asked for?
    pub heat_asked: bool,
    /// Years behind the building as it is (and behind the heated one where that heat was asked for), and behind the others.
    pub years: (usize, usize),
    /// What would turn a no, where that was tried.
    pub turns: Option<super::Turns>,
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
    beds_in(job, study.tried())
}

/// The climates of the beds in some years.
pub(super) fn beds_in(job: &Job, years: &[HouseYear]) -> Vec<BedClimate> {
    bed_climates(&job.project.house, years, &job.sun.day_length_h)
}

/// Weather years on which the other roofs are simulated: enough to tell a median, and a third of the work (own choice).
const ROOF_YEARS: usize = 10;

/// Some of the weather years, in their own order: one from the middle of each tenth, ranked by the cold that a small heater
/// would have to fill, so that their mean and their quantiles stand for those of all.
fn some_of(study: &ClimateStudy, weathers: &[Weather]) -> Vec<Weather> {
    if weathers.len() <= ROOF_YEARS || study.years.len() != weathers.len() {
        return weathers.to_vec();
    }
    let short_k = |air_c: &f64| (variants::HELD_AT_C - air_c).max(0.0);
    let cold: Vec<f64> = study
        .years
        .iter()
        .map(|year| year.air_c.iter().map(short_k).sum())
        .collect();
    let mut ranked: Vec<usize> = (0..weathers.len()).collect();
    ranked.sort_by(|a, b| cold[*a].total_cmp(&cold[*b]));
    let middle = |tenth: usize| (2 * tenth + 1) * weathers.len() / (2 * ROOF_YEARS);
    let mut taken: Vec<usize> = (0..ROOF_YEARS).map(|at| ranked[middle(at)]).collect();
    taken.sort_unstable();
    taken.iter().map(|at| weathers[*at].clone()).collect()
}

/// Sets every crop against every month, and the warm ones under four roofs.
///
/// # Errors
/// [`StudyError`] if a variant of the building cannot be simulated.
pub fn season(
    job: &Job,
    study: &ClimateStudy,
    weathers: &[Weather],
    asked: Option<HeatAsked>,
) -> Result<SeasonStudy, StudyError> {
    let as_is = beds(job, study);
    let lived_in = lived_in(job, &as_is);
    let own_fuel = job.project.costs.fuel;
    let fuel = asked.and_then(|asked| asked.fuel).unwrap_or(own_fuel);
    let set_point_c = asked.map_or(variants::HELD_AT_C, |asked| asked.set_point_c);
    let few = some_of(study, weathers);
    // A heater that is asked after is sized by all winters.
    let winters = if asked.is_some() { weathers } else { &few };
    let under = |roof, house: &House, weathers: &[Weather], fuel| {
        let years = years_inside(job, house, weathers)?;
        let heat = roof_heat(job, roof, &years, fuel)?;
        Ok::<_, StudyError>((beds_in(job, &years), heat))
    };
    let held = variants::held_at(job, set_point_c, fuel);
    let plain_tunnel = variants::plain_tunnel(job)?;
    let no_house = variants::outdoors(job);
    let (heated, (tunnel, outdoors)) = rayon::join(
        || under("heated", &held, winters, fuel),
        || {
            rayon::join(
                || under("plain tunnel", &plain_tunnel, &few, own_fuel),
                || under("outdoors", &no_house, &few, own_fuel),
            )
        },
    );
    let ((heated, heat), (tunnel, tunnel_heat), (outdoors, outdoors_heat)) =
        (heated?, tunnel?, outdoors?);
    let heats = vec![
        roof_heat(job, "as it is", study.tried(), own_fuel)?,
        heat,
        tunnel_heat,
        outdoors_heat,
    ];
    let [as_is, heated, tunnel, outdoors] =
        [&as_is, &heated, &tunnel, &outdoors].map(|beds| BedDays::of_all(beds));
    let crops: Vec<&Crop> = job.table.iter().collect();
    let found = crops
        .par_iter()
        .map(|crop| {
            job.goes_on()?;
            // Daily sums are made once and read by all three questions.
            let own = prepare_all(crop, &as_is);
            let under = |beds: &[BedDays]| kindest(crop, &prepare_all(crop, beds));
            Ok(CropSeason {
                months: crops::crop_months(crop, &own),
                months_in: (crop.hardiness == Hardiness::Tender).then(|| CropMonthsIn {
                    crop: crop.id.clone(),
                    as_is: kindest(crop, &own),
                    heated: under(&heated),
                    tunnel: under(&tunnel),
                    outdoors: under(&outdoors),
                }),
                latest: latest(job, crop, &own, &lived_in),
            })
        })
        .collect::<Result<Vec<CropSeason>, StudyError>>()?;
    let mut study = SeasonStudy {
        season: Season { crops: Vec::new() },
        months_in: Vec::new(),
        latest: Vec::new(),
        heats,
        heated_to_c: set_point_c,
        heat_asked: asked.is_some(),
        years: (study.tried().len(), few.len().max(1)),
        turns: None,
    };
    for of_crop in found {
        study.season.crops.extend(of_crop.months);
        study.months_in.extend(of_crop.months_in);
        study.latest.extend(of_crop.latest);
    }
    Ok(study)
}

/// What a simulated building takes of heat.
fn roof_heat(
    job: &Job,
    roof: &'static str,
    years: &[HouseYear],
    fuel: Fuel,
) -> Result<RoofHeat, StudyError> {
    let mut own = job.project.own_costs();
    if fuel != own.fuel {
        own.fuel = fuel;
        own.fuel_kwh = None;
    }
    if fuel != job.project.costs.fuel || job.project.house.heater.is_none() {
        own.efficiency = Some(fuel.usual_efficiency().0);
    }
    let tariff = value::tariff(&job.household(), &own)?;
    let heat_kwh = mean_of(years, |year| year.year.heater_kwh);
    let peak_w = years.iter().map(|year| highest(&year.heater_w));
    let price = tariff.fuel_kwh.as_ref().map(|priced| priced.amount);
    Ok(RoofHeat {
        roof,
        peak_w: peak_w.fold(0.0, f64::max),
        heat_kwh,
        cannot_hold_h: mean_of(years, hours_not_held),
        fuel,
        fuel_amount: tariff.fuel_amount(heat_kwh),
        cost: price.map(|price| price * heat_kwh / tariff.efficiency),
    })
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
