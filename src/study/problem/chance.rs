//! Why no sowing of a crop is among those that a plan may hold.

use chrono::{Days, NaiveDate};

use super::{Demands, IN_ALL_LEAST, OFFER_DRAWS, Problem, horizon, outcomes};
use crate::calendar::first_day_of_week;
use crate::crops::{Crop, Way};
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
    /// No sowing of any week comes to harvest.
    NoHarvest,
    /// It comes through too seldom, at the surest sowing too.
    Unsure(Surest),
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
            Some(known) => self
                .surest(job, climate, (known, crop))?
                .map_or(WhyNot::NoHarvest, WhyNot::Unsure),
        };
        let crop = crop.name.clone();
        Ok(Some(NotOffered { crop, why }))
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
        let asked = Demands::default();
        let anything = Demands {
            survival_min: 0.0,
            ..asked
        };
        let Some(set) = climates.sets.first() else {
            return Ok(None);
        };
        let tried = outcomes(&[crop], set, &anything)
            .into_iter()
            .map(|mut found| {
                found.crop = known;
                let through = found.through();
                let fate = |year, draw| self.fate(0, &found, (year, draw)).left;
                Surest {
                    sow: horizon.start + Days::new(first_day_of_week(found.sow_week) as u64),
                    way: found.way,
                    by_weather: (through.by_weather(), asked.survival_min),
                    in_all: (through.in_all(OFFER_DRAWS, fate), IN_ALL_LEAST),
                }
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
