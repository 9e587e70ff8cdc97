//! What holds the coldest hour up, and what would raise it: each measure by simulation of the same house.

use super::climate::{building_inside, mean_of};
use super::compare::{energy_cost, usual_coldest};
use super::measures::{Measure, measures, without_heater, without_store};
use super::{ClimateStudy, Job, StudyError, YearInside, lived_in};
use crate::house::{BedCover, FLOOR_PARTS_MAX, FloorPart, House, HouseYear, W_PER_KW};
use crate::phrase::Phrase;
use crate::site::Weathers;
use crate::value::{self, Tariff};
use rayon::prelude::*;

/// What a building comes to over the weather years (the settled year where none ran).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outcome {
    /// Coldest hour of the air in the year, °C, median of the years, heater as it is.
    pub coldest_air_c: f64,
    /// Coldest hour of the leaves in the year in the bed climate that is coldest, °C, median of the years, without the heater.
    pub coldest_leaf_unheated_c: f64,
    /// Heat from the heater, kWh a year, mean of the years.
    pub heater_kwh: f64,
    /// Electricity of the fans, kWh a year, mean of the years.
    pub fan_kwh: f64,
    /// What heat, fans and lamps cost in a year, mean of the years, units of the currency; none where a price is not known.
    pub energy_cost: Option<f64>,
}

/// One measure and what it comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasureOutcome {
    /// Name as people say it.
    pub name: String,
    /// What is done.
    pub what: Phrase,
    /// The building with it.
    pub house: House,
    /// What it comes to.
    pub with: Outcome,
}

/// What the store's fan gives and takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StoreOutcome {
    /// The building without fan and pipes.
    pub without: Outcome,
    /// Heat that the fan drew from the store in the settled year, kWh.
    pub drawn_kwh: f64,
    /// Heat that it put into the store, kWh.
    pub charged_kwh: f64,
}

/// Where heat goes and what would help.
#[derive(Clone, Debug, PartialEq)]
pub struct WhyStudy {
    /// The building as it is.
    pub as_is: Outcome,
    /// Measures, the one that raises the coldest unheated hour at the leaves most first.
    pub measures: Vec<MeasureOutcome>,
    /// With and without the store; none where there is none.
    pub store: Option<StoreOutcome>,
}

/// Tries the measures that a building leaves room for.
///
/// # Errors
/// [`StudyError`] if a changed building cannot be simulated.
pub fn why(job: &Job, study: &ClimateStudy, weathers: &Weathers) -> Result<WhyStudy, StudyError> {
    let own = &job.project.house;
    let without = unheated(job, own, weathers)?;
    let unheated = without.as_deref().unwrap_or(study.tried());
    let tariff = value::tariff(&job.household(), &job.project.own_costs())?;
    let lived = lived_in(job);
    let as_is = outcome((study.tried(), unheated), &tariff, &lived);
    let measures = measures(job)?.into_par_iter();
    let measured = measures.map(|Measure { name, what, house }| {
        Ok(MeasureOutcome {
            name: name.to_owned(),
            what,
            with: run(job, &house, weathers, &tariff, &lived)?,
            house,
        })
    });
    let mut tried = measured.collect::<Result<Vec<MeasureOutcome>, StudyError>>()?;
    tried.extend(covered(job, weathers, &tariff, &lived)?);
    tried.sort_by(|a, b| {
        b.with
            .coldest_leaf_unheated_c
            .total_cmp(&a.with.coldest_leaf_unheated_c)
    });
    let store = match without_store(own) {
        Some(house) => Some(StoreOutcome {
            without: run(job, &house, weathers, &tariff, &lived)?,
            drawn_kwh: store_kwh(&study.run.settled, -1.0),
            charged_kwh: store_kwh(&study.run.settled, 1.0),
        }),
        None => None,
    };
    Ok(WhyStudy {
        as_is,
        measures: tried,
        store,
    })
}

/// The beds that have no cover under each of the covers described; none where every bed has one.
///
/// # Errors
/// [`StudyError::House`] if it cannot be simulated.
fn covered(
    job: &Job,
    weathers: &Weathers,
    tariff: &Tariff,
    lived: &[usize],
) -> Result<Vec<MeasureOutcome>, StudyError> {
    let own = &job.project.house;
    let is_bare = |climate: usize| match climate.checked_sub(1) {
        Some(part) => own.parts.get(part).is_none_or(|part| part.cover.is_none()),
        None => true,
    };
    let mut covers: Vec<&BedCover> = Vec::new();
    for cover in own.parts.iter().filter_map(|part| part.cover.as_ref()) {
        if !covers.contains(&cover) {
            covers.push(cover);
        }
    }
    if !lived.iter().any(|climate| is_bare(*climate)) {
        return Ok(Vec::new());
    }
    let tried = covers.into_iter().map(|cover| {
        // Over none of the floor its climate is computed all the same, and the air of the house stays.
        let mut house = own.clone();
        let mut under = lived.to_vec();
        for climate in under.iter_mut().filter(|climate| is_bare(**climate)) {
            let at_edge = *climate > 0;
            let same =
                |part: &FloorPart| part.cover.as_ref() == Some(cover) && part.at_edge == at_edge;
            let part = house.parts.iter().position(same).unwrap_or_else(|| {
                house.parts.push(FloorPart {
                    name: cover.name.clone(),
                    area_m2: 0.0,
                    cover: Some(cover.clone()),
                    at_edge,
                });
                house.parts.len() - 1
            });
            *climate = part + 1;
        }
        if house.parts.len() >= FLOOR_PARTS_MAX {
            return Ok(None);
        }
        Ok(Some(MeasureOutcome {
            name: cover.name.clone(),
            what: "over the beds that have none; the air of the house stays".into(),
            house: own.clone(),
            with: run(job, &house, weathers, tariff, &under)?,
        }))
    });
    let tried: Result<Vec<Option<MeasureOutcome>>, StudyError> = tried.collect();
    Ok(tried?.into_iter().flatten().collect())
}

/// Simulates a building and takes its figures, the coldest leaves in some of its bed climates.
///
/// # Errors
/// [`StudyError::House`] if it cannot be simulated.
fn run(
    job: &Job,
    house: &House,
    weathers: &Weathers,
    tariff: &Tariff,
    lived: &[usize],
) -> Result<Outcome, StudyError> {
    let years = building_inside(job, house, weathers)?;
    let unheated = unheated(job, house, weathers)?;
    let unheated = unheated.as_deref().unwrap_or(&years);
    Ok(outcome((&years, unheated), tariff, lived))
}

/// The same building without its heater; none where it has none.
fn unheated(
    job: &Job,
    house: &House,
    weathers: &Weathers,
) -> Result<Option<Vec<YearInside>>, StudyError> {
    let house = without_heater(house);
    house
        .map(|house| building_inside(job, &house, weathers))
        .transpose()
}

fn outcome(
    (years, unheated): (&[YearInside], &[YearInside]),
    tariff: &Tariff,
    lived: &[usize],
) -> Outcome {
    let leaf = |year: &YearInside| {
        let leaves = lived.iter().map(|climate| year.coldest_leaf_c(*climate));
        leaves.fold(f64::INFINITY, f64::min)
    };
    Outcome {
        coldest_air_c: usual_coldest(years, YearInside::coldest_air_c),
        coldest_leaf_unheated_c: usual_coldest(unheated, leaf),
        heater_kwh: mean_of(years, YearInside::heat_kwh),
        fan_kwh: mean_of(years, |year| year.fans_kwh),
        energy_cost: energy_cost(years, tariff),
    }
}

/// Heat that went into the store (`sign` 1) or came out of it (`sign` -1), kWh a year.
fn store_kwh(year: &HouseYear, sign: f64) -> f64 {
    year.store_heat_w
        .iter()
        .map(|heat_w| (heat_w * sign).max(0.0))
        .sum::<f64>()
        / W_PER_KW
}
