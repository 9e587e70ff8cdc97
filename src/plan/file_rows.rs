//! The rows of a plan file: plantings, what stood in the beds, how beds move on.

use chrono::NaiveDate;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::planfile::{BedSections, PlanFileError};
use super::{Closing, Instance};
use crate::calendar::{DAYS_PER_WEEK, years_later};

/// One planting of a plan file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FilePlanting {
    /// Name of the bed.
    pub bed: String,
    /// Sections of the bed that it takes, from 1; all of them where none is named.
    #[serde(
        default,
        rename = "sections",
        alias = "patches",
        skip_serializing_if = "Vec::is_empty"
    )]
    pub patches: Vec<usize>,
    /// Crop as the crop table names it.
    pub crop: String,
    /// Day of sowing; any day of the week meant.
    pub sow: NaiveDate,
    /// Whether it is sown in trays.
    #[serde(default, skip_serializing_if = "is_false")]
    pub tray: bool,
    /// To be read: area, m2.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub area_m2: Option<f64>,
    /// To be read: day it goes to the bed, when sown in trays.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub transplant: Option<NaiveDate>,
    /// To be read: first week of picking.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub first_harvest: Option<NaiveDate>,
    /// To be read: last week of picking.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub last_harvest: Option<NaiveDate>,
    /// Day the bed is free again: an earlier one than usual ends the planting then.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clear: Option<NaiveDate>,
    /// To be read: why it is there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    /// To be read: expected harvest, kg.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub harvest_kg: Option<f64>,
}

/// Sections whose plans move on each year.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FileTurn {
    /// Each takes over the plan of the one before it, the first that of the last.
    pub round: Vec<FileSection>,
    /// Week of the year, from 0, from which on what comes into a section follows the other's plan.
    pub week: usize,
}

/// A section of a bed, written `bed, section 2`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileSection {
    /// Name of the bed.
    pub bed: String,
    /// Section, from 1.
    pub section: usize,
}

impl std::fmt::Display for FileSection {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}, section {}", self.bed, self.section)
    }
}

impl Serialize for FileSection {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for FileSection {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        let parts = text.rsplit_once(", section ");
        let section = parts.and_then(|(bed, section)| Some((bed, section.trim().parse().ok()?)));
        let (bed, section) = section.ok_or_else(|| {
            serde::de::Error::custom(format!(
                "`{text}` is no section of a bed; write it as `north 1, section 2`"
            ))
        })?;
        Ok(Self {
            bed: bed.to_owned(),
            section,
        })
    }
}

/// What stood in a bed on the first day of a plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FileStanding {
    /// Name of the bed.
    pub bed: String,
    /// Sections of the bed that it takes, from 1.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sections: Vec<usize>,
    /// Crop as the crop table names it.
    pub crop: String,
    /// Day on which it came into the bed.
    pub since: NaiveDate,
    /// Whether it came as young plants.
    #[serde(default, skip_serializing_if = "is_false")]
    pub set_out: bool,
    /// Area, m2.
    pub area_m2: f64,
    /// Day on which its place is free.
    pub clear: NaiveDate,
}

fn is_false(flag: &bool) -> bool {
    !flag
}

/// Weeks from the bed to its clearing for a sowing; none where the days are the wrong way round.
pub fn weeks_in_bed(sow: NaiveDate, clear: NaiveDate, tray_weeks: usize) -> Option<usize> {
    let weeks = ((clear - sow).num_days() as f64 / DAYS_PER_WEEK as f64).round();
    let weeks = weeks as isize - tray_weeks as isize;
    usize::try_from(weeks).ok().filter(|weeks| *weeks > 0)
}

impl FilePlanting {
    /// A planting that is asked for: what is done, nothing of what comes of it.
    pub fn asked(bed: &str, patches: &[usize], crop: &str, (sow, tray): (NaiveDate, bool)) -> Self {
        Self {
            bed: bed.to_owned(),
            patches: patches.to_vec(),
            crop: crop.to_owned(),
            sow,
            tray,
            area_m2: None,
            transplant: None,
            first_harvest: None,
            last_harvest: None,
            clear: None,
            why: None,
            harvest_kg: None,
        }
    }

    /// First day in the bed.
    pub fn in_bed(&self) -> NaiveDate {
        self.transplant.unwrap_or(self.sow)
    }

    /// The same so many years later.
    pub fn later(&self, years: i32) -> Self {
        let later = |day: NaiveDate| years_later(day, years);
        Self {
            sow: later(self.sow),
            transplant: self.transplant.map(later),
            first_harvest: self.first_harvest.map(later),
            last_harvest: self.last_harvest.map(later),
            clear: self.clear.map(later),
            ..self.clone()
        }
    }

    /// Weeks from the bed to its clearing, where the file says when that is.
    pub fn weeks_in_bed(&self, tray_weeks: usize) -> Option<usize> {
        weeks_in_bed(self.sow, self.clear?, tray_weeks)
    }

    /// Its bed, and its patches as beds of the class.
    pub(super) fn patches_of<'p>(
        &self,
        places: &'p [BedSections],
        number: usize,
    ) -> Result<(&'p BedSections, Vec<usize>), PlanFileError> {
        let wrong = |what: String| {
            let beds: Vec<String> = places
                .iter()
                .map(|place| format!("{} (sections 1 to {})", place.name, place.count))
                .collect();
            PlanFileError::Bed {
                number,
                crop: self.crop.clone(),
                what,
                beds: beds.join(", "),
            }
        };
        let Some(place) = places.iter().find(|place| place.name == self.bed) else {
            return Err(wrong(format!("bed `{}`", self.bed)));
        };
        if self.patches.is_empty() {
            return Ok((place, (place.first..place.first + place.count).collect()));
        }
        let on = |patch: &usize| match patch.checked_sub(1).filter(|at| *at < place.count) {
            Some(at) => Ok(place.first + at),
            None => Err(wrong(format!("patch {patch} of bed `{}`", self.bed))),
        };
        let patches: Result<Vec<usize>, PlanFileError> = self.patches.iter().map(on).collect();
        Ok((place, patches?))
    }

    /// What stands in trays for its patches when the plan begins, where it was sown before.
    fn in_trays(&self, instance: &Instance, class: usize, patches: &[usize]) -> Option<usize> {
        let mut candidates = instance.candidates.iter();
        let before = self.tray && self.sow < instance.start && instance.closing == Closing::Open;
        before.then(|| {
            candidates.position(|one| {
                let here = patches.iter().all(|bed| one.begun.contains(bed));
                !one.is_to_sow() && here && (&one.crop, one.bed_class) == (&self.crop, class)
            })
        })?
    }

    pub(super) fn candidate(
        &self,
        instance: &Instance,
        (class, patches): (usize, &[usize]),
        number: usize,
    ) -> Result<usize, PlanFileError> {
        if let Some(begun) = self.in_trays(instance, class, patches) {
            return Ok(begun);
        }
        let week = instance.week_of_date(self.sow);
        let mut nearest: Option<(usize, usize)> = None;
        for (at, candidate) in instance.candidates.iter().enumerate() {
            let same = candidate.bed_class == class
                && candidate.crop == self.crop
                && candidate.is_to_sow()
                && (candidate.tray_weeks > 0) == self.tray;
            if !same {
                continue;
            }
            let Some(week) = week else { continue };
            let apart = candidate.sow_week.abs_diff(week);
            let apart = match instance.closing {
                Closing::EachBed => apart.min(instance.weeks - apart),
                Closing::Open => apart,
            };
            if apart == 0 {
                let like = instance.sowing_like(at, self.weeks_in_bed(candidate.tray_weeks), 0);
                return Ok(like);
            }
            if nearest.is_none_or(|nearest| apart < nearest.1) {
                nearest = Some((at, apart));
            }
        }
        let nearest = match nearest {
            Some((at, _)) => {
                let sow = instance.date_of_week(instance.candidates[at].sow_week);
                format!("the nearest sowing that can is in the week of {sow}")
            }
            None => format!(
                "no sowing of it can, in this bed and {}",
                if self.tray {
                    "from a tray"
                } else {
                    "in the bed"
                }
            ),
        };
        let (crop, sow, bed) = (self.crop.clone(), self.sow, self.bed.clone());
        Err(PlanFileError::Planting {
            number,
            crop,
            sow,
            bed,
            nearest,
        })
    }
}
