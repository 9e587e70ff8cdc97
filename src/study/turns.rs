//! What would turn the no of a month: each measure simulated on the same building, nothing said that was not tried.

use rayon::prelude::*;

use super::climate::years_inside;
use super::measures::{Measure, measures};
use super::season::lived_beds;
use super::variants::{held_at, least_held_c};
use super::{ClimateStudy, Job, SeasonStudy, StudyError, YearInside};
use crate::crops::{self, Crop, CropMonths, State, prepare_all};
use crate::house::{FloorPart, House, VentKind};
use crate::phrase::{Phrase, amount, phrase};
use crate::site::Weathers;

/// Weather years on which a measure is tried: enough to tell a median, and the work stays bounded.
const TRIED_YEARS: usize = 10;
/// Air temperatures that a heater is tried at, °C: above freezing, and for crops of warm origin (36 F and 50 F).
const HEATERS_C: [f64; 2] = [2.2, 10.0];
/// How much larger vents are tried (own choice).
const VENT_FACTOR: f64 = 2.0;

/// A no of a month that measures turn.
#[derive(Clone, Debug, PartialEq)]
pub struct Turned {
    /// Crop id.
    pub crop: String,
    /// Month, from 0.
    pub month: usize,
    /// Measures that turn it, each alone.
    pub measures: Vec<Phrase>,
}

/// What was tried, and what it turned.
#[derive(Clone, Debug, PartialEq)]
pub struct Turns {
    /// Names of the measures.
    pub tried: Vec<Phrase>,
    /// What they turned.
    pub turned: Vec<Turned>,
}

/// Tries the measures that a building leaves room for on every no of a season, each measure simulated once for all crops.
///
/// # Errors
/// [`StudyError`] if a changed building cannot be simulated.
pub fn turns(
    job: &Job,
    study: &ClimateStudy,
    weathers: &Weathers,
    season: &SeasonStudy,
) -> Result<Turns, StudyError> {
    let weathers = &weathers.first(TRIED_YEARS);
    let is_no = |months: &CropMonths| months.months.iter().any(|month| month.state == State::No);
    let asked: Vec<&Crop> = season
        .season
        .crops
        .iter()
        .filter(|months| is_no(months))
        .filter_map(|months| job.table.get(&months.crop))
        .collect();
    let as_is = study.tried();
    let before = grown(job, &as_is[..as_is.len().min(TRIED_YEARS)], &asked);
    let mut turns = Turns {
        tried: Vec::new(),
        turned: Vec::new(),
    };
    for (name, job) in tried(job)? {
        let Ok(changed) = years_inside(&job, &job.project.house, weathers) else {
            // A measure that this building cannot have.
            continue;
        };
        let after = grown(&job, &changed, &asked);
        for ((crop, before), after) in asked.iter().zip(&before).zip(&after) {
            let (Some(before), Some(after)) = (before, after) else {
                continue;
            };
            let months = before.months.iter().zip(&after.months).enumerate();
            for (month, _) in
                months.filter(|(_, (was, is))| was.state == State::No && is.state != State::No)
            {
                add(&mut turns.turned, &crop.id, month, &name);
            }
        }
        turns.tried.push(name);
    }
    Ok(turns)
}

fn add(turned: &mut Vec<Turned>, crop: &str, month: usize, name: &Phrase) {
    let known = turned
        .iter_mut()
        .find(|one| one.crop == crop && one.month == month);
    match known {
        Some(one) => one.measures.push(name.clone()),
        None => turned.push(Turned {
            crop: crop.to_owned(),
            month,
            measures: vec![name.clone()],
        }),
    }
}

/// What crops do month by month in a simulated building.
fn grown(job: &Job, years: &[YearInside], asked: &[&Crop]) -> Vec<Option<CropMonths>> {
    let days = lived_beds(job, years);
    asked
        .par_iter()
        .map(|crop| crops::crop_months(crop, &prepare_all(crop, &days)))
        .collect()
}

/// The buildings tried: name, and the job with it.
pub(super) fn tried(job: &Job) -> Result<Vec<(Phrase, Job)>, StudyError> {
    let own = &job.project.house;
    let with = |house: House| {
        let mut job = job.clone();
        job.project.house = house;
        job
    };
    let mut all = Vec::new();
    all.extend(covered(job));
    for Measure { name, house, .. } in measures(job)? {
        all.push((name.into(), with(house)));
    }
    let holds_c = least_held_c(own);
    for set_point_c in HEATERS_C {
        if holds_c < set_point_c - 0.1 {
            let house = held_at(job, set_point_c, job.project.costs.fuel);
            let name = phrase!["heater at ", amount(set_point_c, "°C", 0)];
            all.push((name, with(house)));
        }
    }
    let mut house = own.clone();
    if let Some(vents) = &mut house.air.vents {
        match &mut vents.kind {
            VentKind::AirChanges { max_per_h } => *max_per_h *= VENT_FACTOR,
            VentKind::Natural { area_m2, .. } => *area_m2 *= VENT_FACTOR,
            VentKind::Fan { flow_m3_s, .. } => *flow_m3_s *= VENT_FACTOR,
        }
        all.push(("vents twice as large".into(), with(house)));
    }
    Ok(all)
}

/// The bare beds in the middle under the cover that is described over no bed; none where some bed has one.
fn covered(job: &Job) -> Option<(Phrase, Job)> {
    let mut job = job.clone();
    let is_unused = |part: &FloorPart| part.cover.is_some() && part.area_m2 == 0.0;
    let at = job.project.house.parts.iter().position(is_unused)?;
    let part = &mut job.project.house.parts[at];
    for bed in job.project.beds.iter_mut().filter(|bed| bed.climate == 0) {
        bed.climate = at + 1;
        part.area_m2 += bed.area_m2;
    }
    let name = part.name.clone();
    (part.area_m2 > 0.0).then(|| (name.into(), job))
}
