//! Why no sowing of a crop is among those that a plan may hold.

use chrono::{Datelike, NaiveDate};

use super::offered::{IN_ALL_LEAST, Luck};
use super::{Problem, gardening, horizon};
use crate::calendar::{date_of_day, first_day_of_week};
use crate::crops::{Crop, Way};
use crate::plan::candidate::Climates;
use crate::plan::candidate::{Demands, Outcome, outcomes};
use crate::study::{ClimateStudy, Job, StudyError};

/// A crop of which a plan has no sowing to choose from.
#[derive(Clone, Debug, PartialEq)]
pub struct NotOffered {
    /// Name of the crop.
    pub crop: String,
    /// Why.
    pub why: WhyNot,
}

/// Why a plan has no sowing of a crop to choose from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WhyNot {
    /// The household neither buys nor wishes for it, or refuses it.
    NotEaten,
    /// No section of a bed has room for one plant.
    NoRoom,
    /// No sowing of any week comes to harvest.
    NoHarvest,
    /// It comes through too seldom, at the surest sowing too.
    Unsure(Surest),
    /// It comes through, but not on the household's days, or not while the plan lasts.
    NotThen(Surest),
}

/// The surest sowing of a crop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surest {
    /// About when it is sown.
    pub sow: NaiveDate,
    /// In the bed or in a tray.
    pub way: Way,
    /// Share of the weather years in which it comes through, 0 to 1, and the share that a plan asks for.
    pub by_weather: (f64, f64),
    /// The same with what is lost beside the weather.
    pub in_all: (f64, f64),
}

/// Share by which a sowing of a demanded crop may come through less often than the surest (own choice).
const NEARLY_AS_SURE: f64 = 0.1;

impl Problem {
    /// Why a plan has no sowing of a crop to choose from; nothing where it has one.
    ///
    /// # Errors
    /// As [`super::problem`].
    pub fn why_not_offered(
        &self,
        job: &Job,
        climate: &ClimateStudy,
        crop: &Crop,
    ) -> Result<Option<NotOffered>, StudyError> {
        let mut candidates = self.instance.candidates.iter();
        if candidates.any(|candidate| candidate.crop == crop.id) {
            return Ok(None);
        }
        let known = self.crops.iter().position(|known| known.id == crop.id);
        let why = match known {
            None => WhyNot::NotEaten,
            Some(_)
                if !self
                    .instance
                    .beds
                    .iter()
                    .any(|bed| gardening::has_room(crop, bed.area_m2)) =>
            {
                WhyNot::NoRoom
            }
            Some(known) => {
                self.surest(job, climate, (known, crop))?
                    .map_or(WhyNot::NoHarvest, |surest| {
                        let enough = |(share, asked): (f64, f64)| share >= asked;
                        if enough(surest.by_weather) && enough(surest.in_all) {
                            WhyNot::NotThen(surest)
                        } else {
                            WhyNot::Unsure(surest)
                        }
                    })
            }
        };
        let crop = crop.name.clone();
        Ok(Some(NotOffered { crop, why }))
    }

    /// Every sowing of a crop that ever comes through in some bed of the file, with the share of the years in which it does, all
    /// losses counted.
    fn every_sowing(&self, (known, crop): (usize, &Crop), set: &Climates) -> Vec<(Outcome, f64)> {
        let anything = Demands {
            survival_min: 0.0,
            ..Demands::default()
        };
        let asked = |_, _, _| true;
        let has_bed = |at: usize| self.instance.beds.iter().any(|bed| bed.climate == at);
        let found = outcomes(&[crop], set, &anything, has_bed, asked, |all| all).into_iter();
        let found = found.filter(|found| found.survival > 0.0);
        let mut luck = Luck::default();
        found
            .map(|found| Outcome {
                crop: known,
                ..found
            })
            .map(|found| {
                let in_all = luck.in_all(self, &found);
                (found, in_all)
            })
            .collect()
    }

    /// The surest sowings, on days of work, of each crop that the person demands and of which none is sure enough otherwise.
    pub(super) fn demanded(&self, job: &Job, set: &Climates, sown: &[Outcome]) -> Vec<Outcome> {
        let mut all = Vec::new();
        for must in &job.project.household.gardening.must {
            let kinds = || {
                let kinds = self.crops.iter().enumerate();
                kinds.filter(|(_, crop)| gardening::is_meant(&self.market, crop, must))
            };
            let is_sown = |at: usize| sown.iter().any(|outcome| outcome.crop == at);
            if kinds().any(|(at, _)| is_sown(at)) {
                continue;
            }
            let mut tried: Vec<(Outcome, f64)> = kinds()
                .flat_map(|kind| self.every_sowing(kind, set))
                .filter(|(outcome, _)| {
                    let weeks = (outcome.sow_week, outcome.bed_week);
                    gardening::on_a_day(job, outcome.way, weeks)
                })
                .collect();
            let best = tried.iter().map(|(_, in_all)| *in_all).fold(0.0, f64::max);
            tried.retain(|(_, in_all)| *in_all >= best - NEARLY_AS_SURE && *in_all > 0.0);
            all.extend(tried.into_iter().map(|(outcome, _)| outcome));
        }
        all
    }

    /// The sowing of a crop that comes through most often; none where none ever does.
    fn surest(
        &self,
        job: &Job,
        climate: &ClimateStudy,
        (known, crop): (usize, &Crop),
    ) -> Result<Option<Surest>, StudyError> {
        let horizon = horizon::horizon(job)?;
        let climates = horizon::climates(job, climate, &horizon)?;
        let Some(set) = climates.sets.first() else {
            return Ok(None);
        };
        let tried = self.every_sowing((known, crop), set);
        let tried = tried.into_iter().map(|(found, in_all)| Surest {
            sow: date_of_day(horizon.start.year(), first_day_of_week(found.sow_week)),
            way: found.way,
            by_weather: (found.survival, Demands::default().survival_min),
            in_all: (in_all, IN_ALL_LEAST),
        });
        let order = |one: &Surest| (one.in_all.0, one.by_weather.0);
        let best = tried.reduce(|best, next| {
            if order(&next) > order(&best) {
                next
            } else {
                best
            }
        });
        Ok(best.filter(|best| best.by_weather.0 > 0.0))
    }
}
