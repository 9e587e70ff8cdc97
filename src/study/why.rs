//! What holds the coldest hour up, and what would raise it: each measure by simulation of the same house.

use super::climate::{building_inside, mean_of, median_of};
use super::compare::energy_cost;
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
    pub what: Phrase,
    pub house: House,
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
    pub as_is: Outcome,
    /// Measures, the one that raises the coldest unheated hour at the leaves most first.
    pub measures: Vec<MeasureOutcome>,
    /// With and without the store; none where there is none.
    pub store: Option<StoreOutcome>,
}

/// What each building is tried in.
struct Trial<'a> {
    job: &'a Job,
    weathers: &'a Weathers,
    tariff: Tariff,
    /// Bed climates that beds live in.
    lived: Vec<usize>,
}

/// Tries the measures that a building leaves room for.
///
/// # Errors
/// [`StudyError`] if a changed building cannot be simulated.
pub fn why(job: &Job, study: &ClimateStudy, weathers: &Weathers) -> Result<WhyStudy, StudyError> {
    let own = &job.project.house;
    let trial = Trial {
        job,
        weathers,
        tariff: value::tariff(&job.household(), &job.project.own_costs())?,
        lived: lived_in(job),
    };
    let without = trial.unheated(own)?;
    let unheated = without.as_deref().unwrap_or(study.tried());
    let as_is = trial.outcome((study.tried(), unheated), &trial.lived);
    let measures = measures(job)?.into_par_iter();
    let measured = measures.map(|Measure { name, what, house }| {
        Ok(MeasureOutcome {
            name: name.to_owned(),
            what,
            with: trial.run(&house, &trial.lived)?,
            house,
        })
    });
    let mut tried = measured.collect::<Result<Vec<MeasureOutcome>, StudyError>>()?;
    tried.extend(trial.covered()?);
    let coldest_c = |one: &MeasureOutcome| one.with.coldest_leaf_unheated_c;
    tried.sort_by(|a, b| coldest_c(b).total_cmp(&coldest_c(a)));
    let store = without_store(own).map(|house| {
        Ok::<_, StudyError>(StoreOutcome {
            without: trial.run(&house, &trial.lived)?,
            drawn_kwh: store_kwh(&study.run.settled, -1.0),
            charged_kwh: store_kwh(&study.run.settled, 1.0),
        })
    });
    Ok(WhyStudy {
        as_is,
        measures: tried,
        store: store.transpose()?,
    })
}

impl Trial<'_> {
    /// The beds that have no cover under each of the covers described; none where every bed has one.
    fn covered(&self) -> Result<Vec<MeasureOutcome>, StudyError> {
        let own = &self.job.project.house;
        let is_bare = |climate: &usize| match climate.checked_sub(1) {
            Some(part) => own.parts.get(part).is_none_or(|part| part.cover.is_none()),
            None => true,
        };
        let mut tried = Vec::new();
        if !self.lived.iter().any(is_bare) {
            return Ok(tried);
        }
        let mut covers: Vec<&BedCover> = Vec::new();
        for cover in own.parts.iter().filter_map(|part| part.cover.as_ref()) {
            if !covers.contains(&cover) {
                covers.push(cover);
            }
        }
        for cover in covers {
            // Over none of the floor its climate is computed all the same, and the air of the house stays.
            let mut house = own.clone();
            let mut under = self.lived.clone();
            for climate in under.iter_mut().filter(|climate| is_bare(climate)) {
                let at_edge = *climate > 0;
                let same = |part: &FloorPart| {
                    part.cover.as_ref() == Some(cover) && part.at_edge == at_edge
                };
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
            if house.parts.len() < FLOOR_PARTS_MAX {
                tried.push(MeasureOutcome {
                    name: cover.name.clone(),
                    what: "over the beds that have none; the air of the house stays".into(),
                    house: own.clone(),
                    with: self.run(&house, &under)?,
                });
            }
        }
        Ok(tried)
    }

    /// Simulates a building and takes its figures, the coldest leaves in some of its bed climates.
    fn run(&self, house: &House, lived: &[usize]) -> Result<Outcome, StudyError> {
        let years = building_inside(self.job, house, self.weathers)?;
        let unheated = self.unheated(house)?;
        let unheated = unheated.as_deref().unwrap_or(&years);
        Ok(self.outcome((&years, unheated), lived))
    }

    /// The same building without its heater; none where it has none.
    fn unheated(&self, house: &House) -> Result<Option<Vec<YearInside>>, StudyError> {
        let years = |house| building_inside(self.job, &house, self.weathers);
        without_heater(house).map(years).transpose()
    }

    fn outcome(
        &self,
        (years, unheated): (&[YearInside], &[YearInside]),
        lived: &[usize],
    ) -> Outcome {
        let leaf = |year: &YearInside| {
            let leaves = lived.iter().map(|climate| year.coldest_leaf_c(*climate));
            leaves.fold(f64::INFINITY, f64::min)
        };
        Outcome {
            coldest_air_c: median_of(years, YearInside::coldest_air_c),
            coldest_leaf_unheated_c: median_of(unheated, leaf),
            heater_kwh: mean_of(years, YearInside::heat_kwh),
            fan_kwh: mean_of(years, |year| year.fans_kwh),
            energy_cost: energy_cost(years, &self.tariff),
        }
    }
}

/// Heat that went into the store (`sign` 1) or came out of it (`sign` -1), kWh a year.
fn store_kwh(year: &HouseYear, sign: f64) -> f64 {
    let heat_w = year.store_heat_w.iter();
    heat_w.map(|heat_w| (heat_w * sign).max(0.0)).sum::<f64>() / W_PER_KW
}
