//! Buildings, measures or places side by side, the variants of a building among them that are compared without another file.

use rayon::prelude::*;

use super::climate::median_of;
use super::measures::{night_curtain, without_store};
use super::season::{kindest, lived_beds};
use super::{ClimateStudy, Job, StudyError, YearInside, variants};
use crate::crops::{Crop, Hardiness, MonthsIn, Prepared, months_in as months_in_bed};
use crate::house::{House, Surface, SurfaceKind};
use crate::profile::MonthRow;
use crate::value::{self, CostKind, Currency, Fuel, Tariff};

/// A building to compare.
#[derive(Clone, Debug)]
pub struct Variant {
    /// Name as people say it.
    pub name: String,
    /// The whole job with that building.
    pub job: Job,
    /// Is it known what the building costs? Not for one that differs from the file's by a measure.
    pub cost_known: bool,
}

/// A building simulated for comparison. Coldest hours are medians over the weather years, energy their mean.
#[derive(Clone, Debug)]
pub struct Compared {
    pub name: String,
    pub coldest_air_c: f64,
    /// Mean air of the coldest month, settled year, °C.
    pub coldest_month_air_c: f64,
    pub coldest_root_zone_c: f64,
    /// Months of the settled year with an hour of air below 0 °C.
    pub months_with_frost: usize,
    /// Light of the darkest month, settled year, mol/m2/day.
    pub darkest_month_mol_m2_day: f64,
    /// Heat from the heater, kWh a year.
    pub heater_kwh: f64,
    /// What the heater burns.
    pub fuel: Fuel,
    /// How much of it a year, mean of the years, and the unit in which it is sold.
    pub fuel_amount: (f64, &'static str),
    /// Electricity of the fans, kWh a year.
    pub fan_kwh: f64,
    /// Heat, fans and lamps, in the household's currency a year; none where a price is not known.
    pub energy_cost: Option<f64>,
    pub currency: Currency,
    /// Months in of every warm crop, in the kindest of the beds.
    pub months_in: Vec<CropStay>,
}

/// How long one warm crop can stay in.
#[derive(Clone, Debug)]
pub struct CropStay {
    pub crop: String,
    pub name: String,
    /// Months in; none where it cannot be said.
    pub found: Option<MonthsIn>,
}

/// Takes the figures of one variant from its weather years.
///
/// # Errors
/// [`StudyError`] if its prices are out of range.
pub fn compare(variant: &Variant, study: &ClimateStudy) -> Result<Compared, StudyError> {
    let job = &variant.job;
    let years = study.tried();
    let months = &study.settled.months;
    let least = |of: fn(&MonthRow) -> f64| months.iter().map(of).fold(f64::INFINITY, f64::min);
    let household = job.household();
    let tariff = value::tariff(&household, &job.project.own_costs())?;
    let heater_kwh = study.mean_of_tried(YearInside::heat_kwh);
    Ok(Compared {
        name: variant.name.clone(),
        coldest_air_c: median_of(years, YearInside::coldest_air_c),
        coldest_month_air_c: least(|month| month.air_mean_c),
        coldest_root_zone_c: median_of(years, |year| year.coldest_root_zone_c(0)),
        months_with_frost: months.iter().filter(|month| month.air_min_c < 0.0).count(),
        darkest_month_mol_m2_day: least(|month| month.light_mol_m2_day),
        heater_kwh,
        fuel: tariff.fuel,
        fuel_amount: tariff.fuel_amount(heater_kwh),
        fan_kwh: study.mean_of_tried(|year| year.fans_kwh),
        energy_cost: energy_cost(years, &tariff),
        currency: household.currency,
        months_in: months_in(job, study),
    })
}

/// What heat, fans and lamps cost in a year, mean of the years; none where a price is not known.
pub(super) fn energy_cost(years: &[YearInside], tariff: &Tariff) -> Option<f64> {
    let mut sum = 0.0;
    for year in years {
        let running = year.energy();
        if !tariff.open(&running).is_empty() {
            return None;
        }
        let costs = tariff.costs(&running);
        let of_energy = costs.iter().filter(|(kind, _)| *kind != CostKind::Water);
        sum += of_energy.flat_map(|(_, months)| months).sum::<f64>();
    }
    Some(sum / years.len().max(1) as f64)
}

fn months_in(job: &Job, study: &ClimateStudy) -> Vec<CropStay> {
    let beds = lived_beds(job, study.tried());
    let warm = job.table.iter();
    let warm = warm.filter(|crop| crop.hardiness == Hardiness::Tender);
    let warm: Vec<&Crop> = warm.collect();
    let stay = |crop: &&Crop| {
        let found = beds
            .iter()
            .map(|bed| months_in_bed(crop, &Prepared::new(crop, bed)));
        CropStay {
            crop: crop.id.clone(),
            name: crop.name.clone(),
            found: kindest(found),
        }
    };
    warm.par_iter().map(stay).collect()
}

/// The building as it is and the built-in variants that differ from it: without store, with a night curtain,
/// heated, a plain tunnel of the same floor free-running and heated, outdoors; the heated ones hold `set_point_c`
/// (°C).
///
/// A tunnel costs what is published for one, its film and its upkeep too, in place of the file's building; open beds cost
/// no building.
///
/// # Errors
/// [`StudyError::File`] if no tunnel can stand on the floor, [`StudyError::Value`] if its cost cannot be turned into the
/// currency of the file.
pub fn built_in(job: &Job, set_point_c: f64) -> Result<Vec<Variant>, StudyError> {
    let own = &job.project.house;
    let with = |name: &str, house: House| {
        let mut job = job.clone();
        job.project.house = house;
        Variant {
            name: name.to_owned(),
            job,
            cost_known: false,
        }
    };
    let tunnel = variants::plain_tunnel(job)?;
    let warm_tunnel = variants::kept_warm(job, tunnel.clone(), set_point_c);
    let mut list = vec![Variant {
        cost_known: true,
        ..with("as it is", own.clone())
    }];
    list.extend(without_store(own).map(|house| with("no store", house)));
    list.extend(night_curtain(job, own)?.map(|measure| with(measure.name, measure.house)));
    let held = variants::held_at(job, set_point_c, job.project.costs.fuel);
    list.push(with("heated", held));
    list.push(as_tunnel(with("plain tunnel", tunnel))?);
    list.push(as_tunnel(with("heated tunnel", warm_tunnel))?);
    let mut outdoors = with("outdoors", variants::outdoors(job));
    let costs = &mut outdoors.job.project.costs;
    (costs.building, costs.cover) = (None, None);
    costs.upkeep_year = Some(0.0);
    list.push(outdoors);
    Ok(list)
}

/// A tunnel with the published cost of one: building by its floor, film by its glazed area and life, upkeep as a share.
fn as_tunnel(mut variant: Variant) -> Result<Variant, StudyError> {
    let household = variant.job.household();
    let floor_m2 = variants::floor_m2(&variant.job);
    let film_m2 = glazed_m2(&variant.job.project.house);
    let building = floor_m2 * value::published_cost(&household, "build_high_tunnel")?;
    let film = film_m2 * value::published_cost(&household, "cover_cost_film")?;
    let figure = |item| value::input(item).map_or(0.0, |row| row.value);
    let costs = &mut variant.job.project.costs;
    costs.building = Some(building);
    costs.cover = Some(value::CoverRenewal {
        cost: film,
        life_years: figure("cover_life_film"),
    });
    costs.upkeep_year = Some(figure("upkeep_share") * building);
    variant.cost_known = true;
    Ok(variant)
}

fn glazed_m2(house: &House) -> f64 {
    let is_glazed = |surface: &&Surface| matches!(surface.kind, SurfaceKind::Glazed(_));
    let glazed = house.surfaces.iter().filter(is_glazed);
    glazed.map(|surface| surface.area_m2).sum()
}
