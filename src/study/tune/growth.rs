//! Growth tuned to the journal: by how much a crop's growth sum must change for its first harvests to fall when they did.

use crate::calendar::{DAYS_PER_YEAR, day_of_date};
use crate::crops::{Crop, Sowing, Way, grow, prepare};
use crate::journal::{Journal, Stand, stands};
use crate::profile::{BedClimate, bed_climates};
use crate::study::{ClimateStudy, Job, StudyError, climate_of_bed};
use chrono::{Days, NaiveDate};

/// A planting whose sowing and first harvest the journal tells of.
#[derive(Clone, Debug, PartialEq)]
pub struct FirstHarvest {
    /// Bed.
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

/// One crop's first harvests.
#[derive(Clone, Debug, PartialEq)]
pub struct CropGrowth {
    /// Crop id.
    pub crop: String,
    /// Factor in use before.
    pub before: f64,
    /// Factor that fits the first harvests: their geometric mean; none where no planting tells.
    pub after: Option<f64>,
    /// 95 % interval of that mean; none with fewer than three plantings.
    pub interval: Option<(f64, f64)>,
    /// Plantings, by day of sowing.
    pub plantings: Vec<FirstHarvest>,
}

/// Range of the factor, as the crop files take it.
const FACTOR: (f64, f64) = (0.3, 3.0);
/// Halvings of that range until the day no longer moves.
const HALVINGS: usize = 24;
/// Plantings from which a spread can be given.
const SPREAD_FROM: usize = 3;
/// Student's t for 95 % to both sides, by degrees of freedom from 2; beyond the list 2.0 (statistical tables, from memory).
const STUDENT_95: [f64; 9] = [
    4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228,
];

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
    let usual = bed_climates(
        job.project.house.cover_name(),
        std::slice::from_ref(&climate.run.settled),
        &job.sun.day_length_h,
    );
    let until = journal.span().map_or(NaiveDate::MIN, |(_, last)| last);
    let mut found: std::collections::BTreeMap<String, Vec<FirstHarvest>> = Default::default();
    for stand in stands(&journal.entries, until) {
        let Some(crop) = job.table.get(&stand.crop) else {
            continue;
        };
        let bed = stand.bed.as_deref();
        let bed = job
            .project
            .beds
            .iter()
            .find(|own| Some(own.name.as_str()) == bed);
        let climate = climate_of_bed(&usual, bed).ok_or(StudyError::NoBed)?;
        if let Some(first) = first_harvest(crop, climate, &stand) {
            found.entry(stand.crop.clone()).or_default().push(first);
        }
    }
    Ok(found
        .into_iter()
        .map(|(crop, mut plantings)| {
            plantings.sort_by_key(|planting| (planting.sown, planting.picked));
            let before = job
                .table
                .get(&crop)
                .map_or(1.0, |crop| crop.timing.sum_factor);
            let logs: Vec<f64> = plantings
                .iter()
                .filter_map(|planting| planting.factor.map(f64::ln))
                .collect();
            let (after, interval) = mean(&logs);
            CropGrowth {
                before,
                after: after.map(|factor| factor * before),
                interval: interval.map(|(low, high)| (low * before, high * before)),
                crop,
                plantings,
            }
        })
        .collect())
}

fn mean(logs: &[f64]) -> (Option<f64>, Option<(f64, f64)>) {
    let count = logs.len();
    if count == 0 {
        return (None, None);
    }
    let mean = logs.iter().sum::<f64>() / count as f64;
    if count < SPREAD_FROM {
        return (Some(mean.exp()), None);
    }
    let squares: f64 = logs.iter().map(|log| (log - mean).powi(2)).sum();
    let error = (squares / (count - 1) as f64 / count as f64).sqrt();
    let t = STUDENT_95.get(count - SPREAD_FROM).copied().unwrap_or(2.0);
    let interval = ((mean - t * error).exp(), (mean + t * error).exp());
    (Some(mean.exp()), Some(interval))
}

fn first_harvest(crop: &Crop, climate: &BedClimate, stand: &Stand) -> Option<FirstHarvest> {
    let (picked, _) = *stand.picks.first()?;
    let (way, sown) = match (stand.set_out, stand.sown) {
        // The days in the tray are as many as they were; growth is counted from setting out.
        (Some(set_out), _) => (
            Way::Tray,
            set_out.checked_sub_days(Days::new(crop.tray_days() as u64))?,
        ),
        (None, Some(sown)) if crop.ways.contains(&Way::Direct) => (Way::Direct, sown),
        _ => return None,
    };
    let prepared = prepare(crop, climate);
    let sowing = Sowing {
        day: day_of_date(sown),
        way,
    };
    let days = days_between(sown, picked)?;
    let ready = |factor: f64| {
        let mut other = crop.clone();
        other.timing.sum_factor *= factor;
        grow(&other, &prepared, 0, sowing).ready_day
    };
    let expected =
        ready(1.0).and_then(|day| sown.checked_add_days(Days::new((day - sowing.day) as u64)));
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
    use chrono::Datelike;
    let years = usize::try_from(to.year() - from.year()).ok()?;
    (years * DAYS_PER_YEAR + day_of_date(to)).checked_sub(day_of_date(from))
}

/// The greatest factor with which it is ready by a day, found by halving the range.
fn asked(ready: impl Fn(f64) -> Option<usize>, day: usize) -> Option<f64> {
    let later = |factor: f64| ready(factor).is_none_or(|ready| ready > day);
    let (mut low, mut high) = (FACTOR.0.ln(), FACTOR.1.ln());
    if later(low.exp()) || !later(high.exp()) {
        return None;
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if later(middle.exp()) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(low.exp())
}
