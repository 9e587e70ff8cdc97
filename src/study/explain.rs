//! One sowing followed month by month, for a grower who wants to check it by hand; and which crops a grower's word means: `tomato`
//! is every tomato on file.

use super::season::beds_in;
use super::{ClimateStudy, Job, StudyError};
use crate::calendar::{DAYS_PER_YEAR, WEEKS_PER_YEAR, day_of_date, first_day_of_week};
use crate::crops::{
    self, Cause, Crop, Explanation, Growth, Prepared, Sowing, Table, Through, Way, grow,
    grow_years, prepare,
};
use crate::file::Bed;
use crate::profile::{BedClimate, Quantiles, bed_climates};
use crate::suggest::nearest;
use chrono::{Days, NaiveDate};
use std::collections::BTreeMap;

/// A sowing to be followed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ExplainQuestion {
    /// Crop id, or a plain name that one crop alone has.
    pub crop: String,
    /// Day of sowing; its year counts only in the dates shown. None: the day of a week that is surest over the weather years.
    pub sow: Option<NaiveDate>,
    /// Bed by name; none: the first bed of the project.
    pub bed: Option<String>,
    /// In the bed or in a tray; none: the first way that the crop is grown by.
    pub way: Option<Way>,
}

/// A sowing of the usual year with one thing changed.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    /// Warmer air, leaves and root zone all year, K; below nought colder.
    pub warmer_k: f64,
    /// Sown so many days later; below nought earlier.
    pub later_days: isize,
    /// Day of first picking, from 1 January of the sowing year; none where it never comes.
    pub ready_day: Option<usize>,
    /// Picked, kg/m2.
    pub kg_m2: f64,
}

/// Kelvins and days by which a sowing is moved.
const MOVED_K: f64 = 2.0;
const MOVED_DAYS: usize = 7;

/// How near a sowing stands to a cliff: two kelvins and a week either way, each tried.
fn moved(crop: &Crop, usual: &BedClimate, prepared: &Prepared, sowing: Sowing) -> Vec<Moved> {
    let of = |warmer_k: f64, later_days: isize, growth: Growth| Moved {
        warmer_k,
        later_days,
        ready_day: growth.ready_day,
        kg_m2: growth.kg_m2(),
    };
    let warmth = [MOVED_K, -MOVED_K].map(|warmer_k| {
        let mut other = usual.clone();
        for year in &mut other.years {
            let hours = year.air_c.iter_mut().chain(&mut year.leaf_c);
            for hour in hours.chain(&mut year.root_zone_c) {
                *hour += warmer_k;
            }
        }
        of(warmer_k, 0, grow(crop, &prepare(crop, &other), 0, sowing))
    });
    let week = MOVED_DAYS as isize;
    let days = [-week, week].map(|later_days| {
        // The usual year repeats itself, so the week before New Year is as good as that of the year before.
        let day = sowing.day + DAYS_PER_YEAR;
        let sowing = Sowing {
            day: day.saturating_add_signed(later_days),
            ..sowing
        };
        let mut found = of(0.0, later_days, grow(crop, prepared, 0, sowing));
        found.ready_day = found.ready_day.map(|day| day - DAYS_PER_YEAR);
        found
    });
    warmth.into_iter().chain(days).collect()
}

/// A sowing followed through a year, and what the weather years make of it.
#[derive(Clone, Debug)]
pub struct ExplainStudy {
    pub crop: String,
    /// Ids of the other kinds of it.
    pub other_kinds: Vec<String>,
    /// Name of the bed; empty where the project names none.
    pub bed: String,
    /// Name of the climate of that bed: bare, or under its cover.
    pub climate: String,
    /// What was sown when and how.
    pub sowing: Sowing,
    pub sow: NaiveDate,
    /// Share of every picking that is left of what the weather leaves, on average: what the plan counts is less the same. All yields
    /// here are less that.
    pub left: f64,
    /// Sums, events, causes in the year followed.
    pub usual: Explanation,
    pub followed: String,
    /// Share of the weather years in which it comes through.
    pub survival: f64,
    /// What most often cut it short, and in how many of the weather years.
    pub commonest: Option<(Cause, usize)>,
    /// The same sowing a little warmer, colder, earlier or later.
    pub moved: Vec<Moved>,
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
    let crop = one_crop(&job.table, &question.crop)?;
    let bed = bed_of(job, question.bed.as_deref())?;
    let way = way_of(crop, question.way)?;
    let tried = beds_in(job, &study.years);
    let tried = climate_of(&tried, bed).map(|days| Prepared::new(crop, days));
    let sow = question.sow.unwrap_or_else(|| {
        let year = NaiveDate::from_yo_opt(job.project.planning.year, 1).unwrap_or_default();
        let tried = tried.as_ref();
        let week = tried.map_or(0, |tried| surest_week(crop, tried, way));
        year + Days::new(first_day_of_week(week) as u64)
    });
    let sowing = Sowing {
        day: day_of_date(sow),
        way,
    };
    let day_length_h = &job.sun.day_length_h;
    let usual = bed_climates(&job.project.house, &study.run.settled, day_length_h);
    let usual = climate_of(&usual, bed).ok_or(StudyError::NoBed)?;
    let prepared = prepare(crop, usual);
    let left = job.project.losses.mean_left(&crop.id, Some(way));
    let mut explained = crops::explain(crop, &prepared, 0, sowing);
    let months = explained.months.iter_mut().map(|month| &mut month.kg_m2);
    let picks = explained.growth.harvests.iter_mut();
    let picked = picks.map(|harvest| &mut harvest.kg_m2);
    months.chain(picked).for_each(|kg_m2| *kg_m2 *= left);
    let mut moved = moved(crop, usual, &prepared, sowing);
    moved.iter_mut().for_each(|one| one.kg_m2 *= left);
    let years = |tried: &Prepared| grow_years(crop, tried, 0..tried.years, sowing);
    let growths = tried.as_ref().map_or_else(Vec::new, years);
    let picked = growths.iter().map(|growth| growth.kg_m2() * left);
    let picked: Vec<f64> = picked.collect();
    let kinds = job.table.kinds_of(&question.crop).into_iter();
    let kinds = kinds.filter(|other| other.id != crop.id);
    Ok(ExplainStudy {
        crop: crop.id.clone(),
        other_kinds: kinds.map(|other| other.id.clone()).collect(),
        bed: bed.map_or_else(String::new, |bed| bed.name.clone()),
        climate: usual.name.clone(),
        sowing,
        sow,
        left,
        usual: explained,
        followed: study.year_name(),
        survival: Through::of(crop, &growths).by_weather(),
        commonest: commonest(&growths),
        moved,
        weather_years: picked.len(),
        bearing_years: picked.iter().filter(|kg_m2| **kg_m2 > 0.0).count(),
        kg_m2: Quantiles::of(&picked),
    })
}

/// The week of sowing that comes through most often, and of equals the one that bears most; the first of those.
fn surest_week(crop: &Crop, tried: &Prepared, way: Way) -> usize {
    let weeks = (0..WEEKS_PER_YEAR).map(|week| {
        let day = first_day_of_week(week);
        let growths = grow_years(crop, tried, 0..tried.years, Sowing { day, way });
        let kg_m2: f64 = growths.iter().map(Growth::kg_m2).sum();
        (week, Through::of(crop, &growths).by_weather(), kg_m2)
    });
    let surest = weeks.reduce(|best, next| match (next.1, next.2) > (best.1, best.2) {
        true => next,
        false => best,
    });
    surest.map_or(0, |(week, ..)| week)
}

/// The cause that most often cut a sowing short, the first of equals.
fn commonest(growths: &[Growth]) -> Option<(Cause, usize)> {
    let mut counts: BTreeMap<Cause, usize> = BTreeMap::new();
    for loss in growths.iter().filter_map(|growth| growth.loss) {
        *counts.entry(loss.cause).or_default() += 1;
    }
    let most = counts.values().copied().max()?;
    counts.into_iter().find(|(_, count)| *count == most)
}

fn bed_of<'a>(job: &'a Job, name: Option<&str>) -> Result<Option<&'a Bed>, StudyError> {
    let beds = &job.project.beds;
    let Some(name) = name else {
        return Ok(beds.first());
    };
    let found = beds.iter().find(|bed| bed.name == name);
    let near = || nearest(name, beds.iter().map(|bed| bed.name.as_str()));
    found
        .map(Some)
        .ok_or_else(|| StudyError::unknown("bed", name, near()))
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
pub(super) fn climate_of<'a, C>(climates: &'a [C], bed: Option<&Bed>) -> Option<&'a C> {
    let own = bed.and_then(|bed| climates.get(bed.climate));
    own.or(climates.first())
}

/// The crop of an id or a name; where there is none, the one kind that a plain name means.
///
/// # Errors
/// [`StudyError::SeveralKinds`] for a plain name of several kinds, [`StudyError::Unknown`] for one of none.
pub fn one_crop<'t>(table: &'t Table, name: &str) -> Result<&'t Crop, StudyError> {
    if let Some(crop) = table.called(name) {
        return Ok(crop);
    }
    match table.kinds_of(name).as_slice() {
        [] => Err(StudyError::no_crop(table, name)),
        [crop] => Ok(crop),
        kinds => Err(StudyError::SeveralKinds {
            name: name.to_owned(),
            kinds: kinds.iter().map(|crop| crop.id.clone()).collect(),
        }),
    }
}

/// The ids of all crops that some plain names mean, in the order of the shelf.
///
/// # Errors
/// [`StudyError::Unknown`] for a name that no crop has.
pub fn crops_named(table: &Table, names: &[String]) -> Result<Vec<String>, StudyError> {
    let mut found = Vec::new();
    for name in names {
        let kinds = table.kinds_of(name);
        if kinds.is_empty() {
            return Err(StudyError::no_crop(table, name));
        }
        found.extend(kinds.into_iter().map(|crop| crop.id.clone()));
    }
    found.sort();
    found.dedup();
    Ok(found)
}
