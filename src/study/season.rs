//! Crops against months, and how long warm crops can stay under four roofs.

use rayon::prelude::*;

use super::climate::{climate_beside, mean_of, years_inside};
use super::year_inside::{Asked, GROWN_YEARS};
use super::{ClimateStudy, Job, StudyError, YearInside, variants};
use crate::calendar::{DAYS_PER_YEAR, week_of_day};
use crate::crops::{
    BedDays, Crop, CropMonths, Hardiness, LatestSowing, MonthsIn, Prepared, Season, Way,
    latest_sowing, months_in,
};
use crate::file::Bed;
use crate::house::House;
use crate::plan::fate::{DRAWS, Fate, Planted};
use crate::profile::bed_names;
use crate::site::Weathers;
use crate::value::{self, Fuel};

/// How long one warm crop can stay in, under four roofs; none where it cannot be said.
#[derive(Clone, Debug, PartialEq)]
pub struct CropMonthsIn {
    pub crop: String,
    /// In the building as it is, in the kindest of its beds.
    pub as_is: Option<MonthsIn>,
    /// Held at the temperature asked for.
    pub heated: Option<MonthsIn>,
    /// In a plain tunnel of one film on the same floor.
    pub tunnel: Option<MonthsIn>,
    pub outdoors: Option<MonthsIn>,
}

/// The latest sowing with which a winter crop is big enough for the dark weeks.
#[derive(Clone, Debug, PartialEq)]
pub struct CropLatest {
    pub crop: String,
    /// Climate of the beds that it holds for: bare, or the name of their cover.
    pub beds: String,
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
    pub months_in: Vec<CropMonthsIn>,
    pub latest: Vec<CropLatest>,
    /// What heat is asked for under each roof: as it is, heated, plain tunnel, outdoors.
    pub heats: Vec<RoofHeat>,
    /// Air temperature that the heated building is held at, °C.
    pub heated_to_c: f64,
    pub heat_asked: bool,
    pub simulated_years: usize,
    /// Years in which crops are followed in the building as it is (and behind the heated one where that heat was asked for), and behind the others.
    pub years: (usize, usize),
    /// What would turn a no, where that was tried.
    pub turns: Option<super::Turns>,
}

impl SeasonStudy {
    pub fn keep(&mut self, ids: &[String]) {
        self.season.crops.retain(|crop| ids.contains(&crop.crop));
        self.months_in.retain(|crop| ids.contains(&crop.crop));
        self.latest.retain(|crop| ids.contains(&crop.crop));
    }
}

/// The climates of the beds: weather years where they ran, else the settled year.
pub fn beds(job: &Job, study: &ClimateStudy) -> Vec<BedDays> {
    beds_in(job, study.tried())
}

/// The climates of the beds in some years (in the first [`GROWN_YEARS`] of them), the bare one first; none in no years.
pub(super) fn beds_in(job: &Job, years: &[YearInside]) -> Vec<BedDays> {
    beds_at(job, years, (0..climates_in(years)).collect())
}

/// The same of those climates alone that beds of the file live in.
pub(super) fn lived_beds(job: &Job, years: &[YearInside]) -> Vec<BedDays> {
    beds_at(job, years, lived_of(job, climates_in(years)))
}

fn climates_in(years: &[YearInside]) -> usize {
    years.first().map_or(0, |year| year.beds.len())
}

fn beds_at(job: &Job, years: &[YearInside], climates: Vec<usize>) -> Vec<BedDays> {
    let years = &years[..years.len().min(GROWN_YEARS)];
    let bed = |at: usize| {
        let name = bed_names(&job.project.house).nth(at).unwrap_or_default();
        let years = years.iter().map(|year| year.beds[at].clone());
        BedDays::in_a_row(name, years.collect(), &job.sun.day_length_h)
    };
    climates.into_par_iter().map(bed).collect()
}

/// Weather years on which the other roofs are simulated: enough to tell a median, and a third of the work (own choice).
const ROOF_YEARS: usize = 10;

/// Some of the weather years, in their own order: one from the middle of each tenth, ranked by the cold that a small heater
/// would have to fill, so that their mean and their quantiles stand for those of all.
fn some_of(years: &[YearInside], weathers: &Weathers) -> Weathers {
    if weathers.len() <= ROOF_YEARS || years.len() != weathers.len() {
        return weathers.clone();
    }
    let cold = |year: &usize| years[*year].short_k_h;
    let mut ranked: Vec<usize> = (0..weathers.len()).collect();
    ranked.sort_by(|a, b| cold(a).total_cmp(&cold(b)));
    let middle = |tenth: usize| (2 * tenth + 1) * weathers.len() / (2 * ROOF_YEARS);
    let mut taken: Vec<usize> = (0..ROOF_YEARS).map(|at| ranked[middle(at)]).collect();
    taken.sort_unstable();
    weathers.some(taken)
}

/// Sets every crop against every month, and the warm ones under four roofs, in the climate of the building.
///
/// # Errors
/// [`StudyError`] if a variant of the building cannot be simulated.
pub fn climate_and_season(
    job: &Job,
    asked: Option<HeatAsked>,
) -> Result<(Weathers, ClimateStudy, SeasonStudy), StudyError> {
    climate_beside(job, &Asked::by(job), |tried, weathers| {
        season(job, tried, weathers, asked)
    })
}

/// The same in years of that climate that are known ([`ClimateStudy::tried`]).
pub fn season(
    job: &Job,
    tried: &[YearInside],
    weathers: &Weathers,
    asked: Option<HeatAsked>,
) -> Result<SeasonStudy, StudyError> {
    let own_fuel = job.project.costs.fuel;
    let fuel = asked.and_then(|asked| asked.fuel).unwrap_or(own_fuel);
    let set_point_c = asked.map_or(variants::HELD_AT_C, |asked| asked.set_point_c);
    let few = some_of(tried, weathers);
    // A heater that is asked after is sized by all winters.
    let winters = if asked.is_some() { weathers } else { &few };
    let under = |roof, house: &House, weathers: &Weathers, fuel| {
        let years = years_inside(job, house, weathers)?;
        let heat = roof_heat(job, roof, &years, fuel)?;
        Ok::<_, StudyError>((lived_beds(job, &years), heat))
    };
    let held = variants::held_at(job, set_point_c, fuel);
    let plain_tunnel = variants::plain_tunnel(job)?;
    let no_house = variants::outdoors(job);
    let roofs = || {
        let plain = || under("plain tunnel", &plain_tunnel, &few, own_fuel);
        let open = || under("outdoors", &no_house, &few, own_fuel);
        rayon::join(
            || under("heated", &held, winters, fuel),
            || rayon::join(plain, open),
        )
    };
    let crops: Vec<&Crop> = job.table.iter().collect();
    // A building settles on one core: crops grow in the own one meanwhile.
    let ((heated, (tunnel, outdoors)), found) = rayon::join(roofs, || in_own(job, tried, &crops));
    let ((heated, heat), (tunnel, tunnel_heat), (outdoors, outdoors_heat)) =
        (heated?, tunnel?, outdoors?);
    let heats = vec![
        roof_heat(job, "as it is", tried, own_fuel)?,
        heat,
        tunnel_heat,
        outdoors_heat,
    ];
    let mut found = found?;
    let months_in = found
        .par_iter_mut()
        .with_max_len(1)
        .zip(&crops)
        .map(|(found, crop)| {
            job.goes_on()?;
            let under = |beds: &[BedDays]| {
                let prepared = beds.iter().map(|bed| Prepared::new(crop, bed));
                kindest(prepared.map(|prepared| months_in(crop, &prepared)))
            };
            Ok((crop.hardiness == Hardiness::Tender).then(|| CropMonthsIn {
                crop: crop.id.clone(),
                as_is: found.as_is.take(),
                heated: under(&heated),
                tunnel: under(&tunnel),
                outdoors: under(&outdoors),
            }))
        });
    let months_in = months_in.collect::<Result<Vec<Option<CropMonthsIn>>, StudyError>>()?;
    let lived_in = lived_of(job, climates_in(tried)).len();
    let latest = found.iter_mut().zip(&crops);
    Ok(SeasonStudy {
        months_in: months_in.into_iter().flatten().collect(),
        latest: latest
            .flat_map(|(found, crop)| by_way(crop, std::mem::take(&mut found.latest), lived_in))
            .collect(),
        season: Season {
            crops: found.into_iter().filter_map(|found| found.months).collect(),
        },
        heats,
        heated_to_c: set_point_c,
        heat_asked: asked.is_some(),
        simulated_years: tried.len(),
        years: (tried.len().min(GROWN_YEARS), few.len().max(1)),
        turns: None,
    })
}

/// Every crop in the climates of the building as it is that beds live in.
fn in_own(job: &Job, years: &[YearInside], crops: &[&Crop]) -> Result<Vec<CropSeason>, StudyError> {
    let beds = lived_beds(job, years);
    let of_crop = |crop: &&Crop| {
        let mut found = CropSeason::default();
        // One climate after the other: the days of a crop in many years take much of the memory that there is.
        for bed in &beds {
            job.goes_on()?;
            found.add(job, crop, &Prepared::new(crop, bed), &bed.name);
        }
        Ok(found)
    };
    crops.par_iter().with_max_len(1).map(of_crop).collect()
}

/// What a simulated building takes of heat.
fn roof_heat(
    job: &Job,
    roof: &'static str,
    years: &[YearInside],
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
    let heat_kwh = mean_of(years, YearInside::heat_kwh);
    let peak_w = years.iter().map(|year| year.heater_peak_w);
    let price = tariff.fuel_kwh.as_ref().map(|priced| priced.amount);
    Ok(RoofHeat {
        roof,
        peak_w: peak_w.fold(0.0, f64::max),
        heat_kwh,
        cannot_hold_h: mean_of(years, |year| year.not_held_h),
        fuel,
        fuel_amount: tariff.fuel_amount(heat_kwh),
        cost: price.map(|price| price * heat_kwh / tariff.efficiency),
    })
}

/// What is found of one crop, in the climates looked at so far.
#[derive(Clone, Debug, Default)]
struct CropSeason {
    /// Of the climate that suits it best.
    months: Option<CropMonths>,
    /// Of the kindest climate.
    as_is: Option<MonthsIn>,
    /// Of each climate.
    latest: Vec<CropLatest>,
}

impl CropSeason {
    /// Looks at one climate more by its name. The days made ready are read by all questions.
    fn add(&mut self, job: &Job, crop: &Crop, prepared: &Prepared, beds: &str) {
        let months = CropMonths::of(crop, prepared);
        let best = self.months.as_ref();
        if best.is_none_or(|best| months.score() > best.score()) {
            self.months = Some(months);
        }
        if crop.hardiness == Hardiness::Tender {
            self.as_is = kindest([self.as_is.take(), months_in(crop, prepared)]);
        } else {
            let ways = crop.ways.iter();
            let latest = ways.filter_map(|&way| latest(job, crop, prepared, way, beds));
            self.latest.extend(latest);
        }
    }
}

/// Months in of the bed climate in which the median year stays longest, the first of equals.
pub(super) fn kindest(climates: impl IntoIterator<Item = Option<MonthsIn>>) -> Option<MonthsIn> {
    let mut best: Option<MonthsIn> = None;
    for found in climates {
        let stays = |months: &Option<MonthsIn>| months.as_ref().map(|months| months.stays.p50);
        if stays(&found) > stays(&best) {
            best = found;
        }
    }
    best
}

/// The bed climates that beds of the file live in, 0 the bare one, then the floor's parts; the bare one where there is no bed.
pub fn lived_in(job: &Job) -> Vec<usize> {
    lived_of(job, job.project.house.parts.len() + 1)
}

/// The same of the first so many climates, where a bed whose own is not among them lives in the last.
fn lived_of(job: &Job, climates: usize) -> Vec<usize> {
    let is = |bed: &Bed, climate: usize| bed.climate.min(climates - 1) == climate;
    let lives = |climate: &usize| job.project.beds.iter().any(|bed| is(bed, *climate));
    let lived: Vec<usize> = (0..climates).filter(lives).collect();
    if lived.is_empty() {
        return (0..climates.min(1)).collect();
    }
    lived
}

/// Latest sowing of a crop that stands frost, by one way, in one climate.
fn latest(job: &Job, crop: &Crop, prepared: &Prepared, way: Way, beds: &str) -> Option<CropLatest> {
    let latest = latest_sowing(crop, prepared, way)?;
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
}

/// Way by way, then climate by climate; as one where `lived_in` climates all say the same.
fn by_way(crop: &Crop, latest: Vec<CropLatest>, lived_in: usize) -> Vec<CropLatest> {
    let mut found = Vec::new();
    for &way in &crop.ways {
        let of_way = latest.iter().filter(|one| one.way == way);
        let mut of_way: Vec<CropLatest> = of_way.cloned().collect();
        let said = |one: &CropLatest| (one.latest.day, one.latest.standing_kg_m2, one.in_all);
        let alike = of_way.windows(2).all(|two| said(&two[0]) == said(&two[1]));
        if of_way.len() == lived_in
            && alike
            && let Some(first) = of_way.first_mut()
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
