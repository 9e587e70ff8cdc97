//! One sowing followed month by month, for a grower who wants to check it by hand.

use super::kinds::{kinds_of, one_crop};
use super::{ClimateStudy, Job, StudyError};
use crate::calendar::day_of_date;
use crate::crops::{self, Crop, Explanation, Sowing, Way, grow, prepare};
use crate::file::Bed;
use crate::profile::{BedClimate, Quantiles, bed_climates};
use crate::suggest::nearest;
use chrono::NaiveDate;

/// A sowing to be followed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ExplainQuestion {
    /// Crop id, or a plain name that one crop alone has.
    pub crop: String,
    /// Day of sowing; its year counts only in the dates shown.
    pub sow: NaiveDate,
    /// Bed by name; none: the first bed of the project.
    pub bed: Option<String>,
    /// In the bed or in a tray; none: the first way that the crop is grown by.
    pub way: Option<Way>,
}

/// A sowing followed through the usual year, and what the weather years make of it.
#[derive(Clone, Debug)]
pub struct ExplainStudy {
    /// Crop id.
    pub crop: String,
    /// Ids of the other kinds of it.
    pub other_kinds: Vec<String>,
    /// Name of the bed; empty where the project names none.
    pub bed: String,
    /// Name of the climate of that bed: bare, or under its cover.
    pub climate: String,
    /// What was sown when and how.
    pub sowing: Sowing,
    /// Day of sowing.
    pub sow: NaiveDate,
    /// Sums, events, causes in the usual year, which repeats itself.
    pub usual: Explanation,
    /// Weather years tried.
    pub weather_years: usize,
    /// Weather years in which something is picked.
    pub bearing_years: usize,
    /// Picked over the weather years, kg/m2; none where none were tried.
    pub kg_m2: Option<Quantiles>,
}

/// Follows one sowing.
///
/// # Errors
/// [`StudyError::Unknown`] for a crop or bed that there is none of, [`StudyError::SeveralKinds`] for a name that several
/// crops have, [`StudyError::NotThatWay`] for a way that the crop is not grown by.
pub fn explain(
    job: &Job,
    study: &ClimateStudy,
    question: &ExplainQuestion,
) -> Result<ExplainStudy, StudyError> {
    let crop = one_crop(job, &question.crop)?;
    let bed = bed_of(job, question.bed.as_deref())?;
    let way = way_of(crop, question.way)?;
    let sowing = Sowing {
        day: day_of_date(question.sow),
        way,
    };
    let day_length_h = &job.sun.day_length_h;
    let usual = bed_climates(
        &job.project.house,
        std::slice::from_ref(&study.run.settled),
        day_length_h,
    );
    let usual = climate_of(&usual, bed).ok_or(StudyError::NoBed)?;
    let explained = crops::explain(crop, &prepare(crop, usual), 0, sowing);
    let mut picked = Vec::new();
    let tried = bed_climates(&job.project.house, &study.years, day_length_h);
    if let Some(tried) = climate_of(&tried, bed) {
        let prepared = prepare(crop, tried);
        picked = (0..prepared.years)
            .map(|year| grow(crop, &prepared, year, sowing).kg_m2())
            .collect();
    }
    Ok(ExplainStudy {
        crop: crop.id.clone(),
        other_kinds: kinds_of(job, &question.crop)
            .into_iter()
            .filter(|other| other.id != crop.id)
            .map(|other| other.id.clone())
            .collect(),
        bed: bed.map_or_else(String::new, |bed| bed.name.clone()),
        climate: usual.name.clone(),
        sowing,
        sow: question.sow,
        usual: explained,
        weather_years: picked.len(),
        bearing_years: picked.iter().filter(|kg_m2| **kg_m2 > 0.0).count(),
        kg_m2: Quantiles::of(&picked),
    })
}

fn bed_of<'a>(job: &'a Job, name: Option<&str>) -> Result<Option<&'a Bed>, StudyError> {
    let beds = &job.project.beds;
    let Some(name) = name else {
        return Ok(beds.first());
    };
    match beds.iter().find(|bed| bed.name == name) {
        Some(bed) => Ok(Some(bed)),
        None => Err(StudyError::Unknown {
            what: "bed",
            name: name.to_owned(),
            near: nearest(name, beds.iter().map(|bed| bed.name.as_str())).map(str::to_owned),
        }),
    }
}

fn way_of(crop: &Crop, asked: Option<Way>) -> Result<Way, StudyError> {
    let refused = || StudyError::NotThatWay {
        crop: crop.id.clone(),
    };
    match asked {
        Some(way) if crop.ways.contains(&way) => Ok(way),
        Some(_) => Err(refused()),
        None => crop.ways.first().copied().ok_or_else(refused),
    }
}

/// The climate that a bed lives in; the first one where the building has no floor of its own for it.
pub(super) fn climate_of<'a>(
    climates: &'a [BedClimate],
    bed: Option<&Bed>,
) -> Option<&'a BedClimate> {
    let own = bed.and_then(|bed| climates.get(bed.climate));
    own.or(climates.first())
}
