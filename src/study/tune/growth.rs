//! Growth tuned to the journal: by how much a crop's growth sum must change for its first harvests to fall when they did.

use crate::calendar::{DAYS_PER_YEAR, day_of_date};
use crate::crops::{Crop, Sowing, Way, grow, prepare};
use crate::journal::{Journal, Stand, stands};
use crate::numbers::halved;
use crate::profile::{BedClimate, bed_climates};
use crate::study::{ClimateStudy, Job, StudyError, climate_of_bed};
use crate::tune::certainty::student_90;
use chrono::{Datelike, Days, NaiveDate};
use std::collections::{BTreeMap, BTreeSet};

/// A planting whose sowing and first harvest the journal tells of.
#[derive(Clone, Debug, PartialEq)]
pub struct FirstHarvest {
    pub bed: String,
    /// Day of sowing; of setting out less the weeks in the tray where no sowing is told of.
    pub sown: NaiveDate,
    /// Day of the first picking.
    pub picked: NaiveDate,
    /// Day on which the model has it ready; none where it has it die or never get ready.
    pub expected: Option<NaiveDate>,
    /// Growth sum that the day of picking asks for, against the crop file's; none beyond the range that is believed.
    pub factor: Option<f64>,
}

/// One crop's first harvests, judged with those of its kind.
#[derive(Clone, Debug, PartialEq)]
pub struct CropGrowth {
    pub crop: String,
    /// Factor in use before.
    pub before: f64,
    /// First harvests of its kind (a crop and its varieties) that tell of growth.
    pub told: usize,
    /// Range of 90 % of the factor by them all; none with fewer than [`HARVESTS_MIN`].
    pub range: Option<(f64, f64)>,
    /// Factor that fits them, where a change is offered: there are enough, and the range leaves out the factor in use.
    pub after: Option<f64>,
    /// The crop's own plantings, by day of sowing.
    pub plantings: Vec<FirstHarvest>,
}

/// First harvests of a kind below which no change is offered: fewer give no spread worth the name.
pub const HARVESTS_MIN: usize = 3;

/// Range of the factor, as the crop files take it.
const FACTOR: (f64, f64) = (0.3, 3.0);
/// Halvings of that range until the day no longer moves.
const HALVINGS: usize = 24;
/// By how much one year's weather shifts all first harvests of a year together, standard deviation of the factor's logarithm
/// (own assumption: a week in a hundred days).
const YEAR_SHIFT: f64 = 0.06;

/// Sets the first harvests of a journal against the model, crop by crop, in the usual year.
///
/// A first picking may be later than the first day on which it could have been made; so the factor is what the person's
/// own habit of picking asks for.
///
/// # Errors
/// [`StudyError::NoBed`] where no bed was simulated.
pub fn growth(
    job: &Job,
    climate: &ClimateStudy,
    journal: &Journal,
) -> Result<Vec<CropGrowth>, StudyError> {
    let day_length_h = &job.sun.day_length_h;
    let usual = bed_climates(&job.project.house, &climate.run.settled, day_length_h);
    let until = journal.span().map_or(NaiveDate::MIN, |(_, last)| last);
    let mut found: BTreeMap<String, BTreeMap<String, Vec<FirstHarvest>>> = BTreeMap::new();
    for stand in stands(&journal.entries, until) {
        let Some(crop) = job.table.get(&stand.crop) else {
            continue;
        };
        let mut beds = job.project.beds.iter();
        let bed = beds.find(|own| Some(&own.name) == stand.bed.as_ref());
        let climate = climate_of_bed(&usual, bed).ok_or(StudyError::NoBed)?;
        if let Some(first) = first_harvest(crop, climate, &stand) {
            let kind = crop.like.clone().unwrap_or_else(|| stand.crop.clone());
            let crops = found.entry(kind).or_default();
            crops.entry(stand.crop.clone()).or_default().push(first);
        }
    }
    let of_kind = |crops: BTreeMap<String, Vec<FirstHarvest>>| {
        let told = crops.values().flatten();
        let told = told.filter_map(|one| Some((one.picked.year(), one.factor?.ln())));
        let told: Vec<(i32, f64)> = told.collect();
        let pooled = pooled(&told);
        crops.into_iter().map(move |(crop, mut plantings)| {
            plantings.sort_by_key(|planting| (planting.sown, planting.picked));
            let known = job.table.get(&crop);
            let before = known.map_or(1.0, |crop| crop.timing.sum_factor);
            let range = pooled.map(|(mean, side)| (mean - side, mean + side));
            let changes = range.filter(|(low, high)| *low > 0.0 || *high < 0.0);
            CropGrowth {
                before,
                told: told.len(),
                after: changes.and(pooled).map(|(mean, _)| mean.exp() * before),
                range: range.map(|(low, high)| (low.exp() * before, high.exp() * before)),
                crop,
                plantings,
            }
        })
    };
    Ok(found.into_values().flat_map(of_kind).collect())
}

/// Mean and half of the range of 90 % of logarithms, each with its year; nothing where they are too few.
///
/// Plantings differ by themselves, and years shift all of their plantings together.
fn pooled(told: &[(i32, f64)]) -> Option<(f64, f64)> {
    let count = told.len();
    if count < HARVESTS_MIN {
        return None;
    }
    let mean = told.iter().map(|(_, log)| log).sum::<f64>() / count as f64;
    let squares: f64 = told.iter().map(|(_, log)| (log - mean).powi(2)).sum();
    let years: BTreeSet<i32> = told.iter().map(|(year, _)| *year).collect();
    let freedom = (count - 1) as f64;
    let own = student_90(freedom) * (squares / freedom / count as f64).sqrt();
    let year = student_90(f64::INFINITY) * YEAR_SHIFT / (years.len() as f64).sqrt();
    Some((mean, own.hypot(year)))
}

fn first_harvest(crop: &Crop, climate: &BedClimate, stand: &Stand) -> Option<FirstHarvest> {
    let (picked, _) = *stand.picks.first()?;
    let (way, sown) = match (stand.set_out, stand.sown) {
        // The days in the tray are as many as they were; growth is counted from setting out.
        (Some(set_out), _) => {
            let in_tray = Days::new(crop.tray_days() as u64);
            (Way::Tray, set_out.checked_sub_days(in_tray)?)
        }
        (None, Some(sown)) if crop.ways.contains(&Way::Direct) => (Way::Direct, sown),
        _ => return None,
    };
    let sowing = Sowing {
        day: day_of_date(sown),
        way,
    };
    let days = days_between(sown, picked)?;
    let ready = |factor: f64| {
        let mut other = crop.clone();
        other.timing.sum_factor *= factor;
        grow(&other, &prepare(&other, climate), 0, sowing).ready_day
    };
    let on = |day: usize| sown.checked_add_days(Days::new((day - sowing.day) as u64));
    let expected = ready(1.0).and_then(on);
    Some(FirstHarvest {
        bed: stand.bed.clone().unwrap_or_default(),
        sown: stand.sown.unwrap_or(sown),
        picked,
        expected,
        factor: asked(ready, sowing.day + days),
    })
}

/// Days of the model year between two dates.
fn days_between(from: NaiveDate, to: NaiveDate) -> Option<usize> {
    let years = usize::try_from(to.year() - from.year()).ok()?;
    (years * DAYS_PER_YEAR + day_of_date(to)).checked_sub(day_of_date(from))
}

/// The greatest factor with which it is ready by a day, found by halving the range.
fn asked(ready: impl Fn(f64) -> Option<usize>, day: usize) -> Option<f64> {
    let later = |factor: f64| ready(factor).is_none_or(|ready| ready > day);
    let range = (FACTOR.0.ln(), FACTOR.1.ln());
    if later(range.0.exp()) || !later(range.1.exp()) {
        return None;
    }
    let (low, _) = halved(range, HALVINGS, |middle| !later(middle.exp()));
    Some(low.exp())
}
