//! A plan as a file: readable, versioned, open to changes by hand.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};
use serde::{Deserialize, Serialize};

use super::assess::{Saved, to_grams};
pub use super::file_rows::{FilePlanting, FileSection, FileStanding, FileTurn, weeks_in_bed};
use super::{BedPlan, Closing, Instance, Plan, schedule};
use crate::calendar::{day_of_date, week_of_day};
use crate::document::{self, Problem};

/// Version of the plan file that this program writes and reads.
pub const VERSION: u32 = 2;

/// A bed as the household knows it: equal patches on end within a bed class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BedSections {
    /// Name of the bed.
    pub name: String,
    /// Index into [`Instance::beds`].
    pub class: usize,
    /// First patch of the bed within the class, from 0.
    pub first: usize,
    /// Number of patches.
    pub count: usize,
}

/// A plan file. Bed, patches, crop, sow, tray and cover say what is done; the rest is there to be read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlanFile {
    /// Version of the format.
    pub version: u32,
    /// First day of the plan.
    pub start: NaiveDate,
    /// Weeks of the plan.
    pub weeks: usize,
    /// Whether the year closes on itself.
    pub closing: Closing,
    /// What the plan gave when it was saved.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub saved: Option<Saved>,
    /// What stood in the beds on the first day of a plan that does not repeat.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub standing: Vec<FileStanding>,
    /// How a plan that repeats moves on from section to section.
    #[serde(default, rename = "turn", skip_serializing_if = "Vec::is_empty")]
    pub turns: Vec<FileTurn>,
    /// Plantings, by bed and date.
    #[serde(default, rename = "planting")]
    pub plantings: Vec<FilePlanting>,
}

/// Why a plan file cannot be used.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PlanFileError {
    /// Not the TOML that was expected.
    #[error("the plan file cannot be read: column {}: {}", .0.column, .0.wrong)]
    Text(Problem),
    /// It cannot be written.
    #[error("the plan cannot be written: {0}")]
    Write(#[from] toml::ser::Error),
    /// A version of another program.
    #[error("the plan file has version {found}, this program reads {VERSION}")]
    Version {
        /// Version found.
        found: u32,
    },
    /// It was made for another horizon.
    #[error(
        "the plan file starts on {found} with {weeks} weeks, the project plans {expected_weeks} weeks from {expected}"
    )]
    Horizon {
        /// Start found.
        found: NaiveDate,
        /// Weeks found.
        weeks: usize,
        /// Start expected.
        expected: NaiveDate,
        /// Weeks expected.
        expected_weeks: usize,
    },
    /// No such bed or patch.
    #[error("planting {number} (`{crop}`): there is no {what}; beds: {beds}")]
    Bed {
        /// Planting in the file, from 1.
        number: usize,
        /// Crop.
        crop: String,
        /// What was named.
        what: String,
        /// Beds that there are, with their patches.
        beds: String,
    },
    /// No crop of that name.
    #[error("planting {number}: there is no crop `{crop}`{}", near.as_ref().map_or_else(String::new, |near| format!("; did you mean `{near}`?")))]
    Crop {
        /// Planting in the file, from 1.
        number: usize,
        /// Crop.
        crop: String,
        /// The nearest name there is.
        near: Option<String>,
    },
    /// Nothing like it can be sown.
    #[error("planting {number}: `{crop}` sown {sow} in `{bed}` cannot be; {nearest}")]
    Planting {
        /// Planting in the file, from 1.
        number: usize,
        /// Crop.
        crop: String,
        /// Day of sowing.
        sow: NaiveDate,
        /// Bed.
        bed: String,
        /// The nearest that can, in words.
        nearest: String,
    },
}

impl PlanFileError {
    /// Line of the file's text that is at fault, from 1.
    pub fn line(&self, text: &str) -> usize {
        let (head, times) = match self {
            Self::Text(problem) => return problem.line,
            Self::Write(_) => return 1,
            Self::Version { .. } => ("version", 1),
            Self::Horizon { .. } => ("start", 1),
            Self::Bed { number, .. }
            | Self::Crop { number, .. }
            | Self::Planting { number, .. } => ("[[planting]]", *number),
        };
        let starts = |(_, line): &(usize, &str)| line.trim_start().starts_with(head);
        let found = text.lines().enumerate().filter(starts).nth(times - 1);
        found.map_or(1, |(at, _)| at + 1)
    }
}

impl PlanFile {
    /// The file of a plan: equal plantings on patches of one bed are one.
    pub fn new(instance: &Instance, places: &[BedSections], plan: &Plan) -> Self {
        let mut rows = schedule::plantings(instance, plan).into_iter();
        let mut merged: BTreeMap<(usize, usize, usize), FilePlanting> = BTreeMap::new();
        for one in &plan.beds {
            let place = places.iter().position(|place| place.holds(one));
            for row in rows.by_ref().take(one.plantings.len()) {
                let Some(place) = place else { continue };
                let patch = one.bed - places[place].first + 1;
                let start = instance.candidates[row.candidate].bed_week;
                let planting = merged
                    .entry((place, start, row.candidate))
                    .or_insert_with(|| FilePlanting {
                        bed: places[place].name.clone(),
                        patches: Vec::new(),
                        crop: row.crop,
                        sow: row.sow,
                        tray: row.transplant.is_some(),
                        area_m2: Some(0.0),
                        transplant: row.transplant,
                        first_harvest: row.first_harvest,
                        last_harvest: row.last_harvest,
                        clear: Some(row.clear),
                        why: None,
                        harvest_kg: Some(0.0),
                    });
                planting.patches.push(patch);
                planting.area_m2 = planting.area_m2.map(|sum| sum + row.area_m2);
                planting.harvest_kg = planting.harvest_kg.map(|sum| sum + row.harvest_kg);
            }
        }
        let plantings = merged.into_values().map(|planting| FilePlanting {
            area_m2: planting.area_m2.map(to_grams),
            harvest_kg: planting.harvest_kg.map(to_grams),
            ..planting
        });
        PlanFile {
            version: VERSION,
            start: instance.start,
            weeks: instance.weeks,
            closing: instance.closing,
            saved: None,
            standing: Vec::new(),
            turns: Vec::new(),
            plantings: plantings.collect(),
        }
    }

    /// A planting so many years later, in the beds that have it then.
    pub fn in_year(&self, planting: &FilePlanting, years: i32) -> Vec<FilePlanting> {
        let later = planting.later(years);
        let turned = i64::from(later.in_bed().year()) - i64::from(self.start.year());
        let week = week_of_day(day_of_date(planting.in_bed()));
        let moved = |patch: &usize| {
            let own = FileSection {
                bed: planting.bed.clone(),
                section: *patch,
            };
            let turns = self.turns.iter().filter(|_| turned > 0);
            let to = turns.filter_map(|turn| {
                let at = turn.round.iter().position(|one| *one == own)?;
                let steps = turned - i64::from(week < turn.week);
                let to = (at as i64 + steps).rem_euclid(turn.round.len() as i64);
                Some(turn.round[to as usize].clone())
            });
            to.into_iter().next().unwrap_or(own)
        };
        let mut beds = BTreeMap::<String, Vec<usize>>::new();
        for FileSection { bed, section } in planting.patches.iter().map(moved) {
            beds.entry(bed).or_default().push(section);
        }
        if beds.is_empty() {
            return vec![later];
        }
        let in_bed = |(bed, mut patches): (String, Vec<usize>)| {
            let part = patches.len() as f64 / planting.patches.len() as f64;
            patches.sort_unstable();
            FilePlanting {
                bed,
                area_m2: later.area_m2.map(|area_m2| area_m2 * part),
                patches,
                ..later.clone()
            }
        };
        beds.into_iter().map(in_bed).collect()
    }

    /// Was a planting of it sown in its trays before the first day, to be set out on a later one?
    pub fn is_begun(&self, planting: &FilePlanting) -> bool {
        let before = planting.tray && planting.sow < self.start;
        before && self.closing == Closing::Open && planting.transplant >= Some(self.start)
    }

    /// As TOML.
    ///
    /// # Errors
    /// A value that TOML cannot hold.
    pub fn to_toml(&self) -> Result<String, PlanFileError> {
        let head = "# A plan by bedyear. A bed is planted in equal sections, numbered from 1.\n\
                    # Bed, sections, crop, sow, tray and clear may be changed by hand: any day of the week, and an earlier\n\
                    # day of clearing frees the bed from then on. The other lines of a planting are there to be read and are\n\
                    # worked out anew. Of bought plants `sow` is the day by which they are there, and they are set out on the\n\
                    # day of `transplant`. `bedyear plan FILE --check THIS` says what a change does.\n\n";
        Ok(format!("{head}{}", toml::to_string(self)?))
    }

    /// From TOML.
    ///
    /// # Errors
    /// Not TOML, a key mistyped or missing, another version.
    pub fn parse(text: &str) -> Result<Self, PlanFileError> {
        #[derive(Deserialize)]
        struct Head {
            version: u32,
        }
        let head: Head = document::read(text).map_err(PlanFileError::Text)?;
        if head.version != VERSION {
            return Err(PlanFileError::Version {
                found: head.version,
            });
        }
        document::read(text).map_err(PlanFileError::Text)
    }

    /// The plan it means in an instance. Rules are not checked here (see `assess`).
    ///
    /// # Errors
    /// Another horizon, a bed that does not exist, a planting that the instance does not know.
    pub fn resolve(
        &self,
        instance: &Instance,
        places: &[BedSections],
    ) -> Result<Plan, PlanFileError> {
        let same = self.start == instance.start
            && self.weeks == instance.weeks
            && self.closing == instance.closing;
        if !same {
            return Err(PlanFileError::Horizon {
                found: self.start,
                weeks: self.weeks,
                expected: instance.start,
                expected_weeks: instance.weeks,
            });
        }
        let mut plan = Plan::empty(instance);
        for (at, planting) in self.plantings.iter().enumerate() {
            let (place, patches) = planting.patches_of(places, at + 1)?;
            let in_class = (place.class, &patches[..]);
            let candidate = planting.candidate(instance, in_class, at + 1)?;
            let of_place = |one: &&mut BedPlan| one.class == place.class;
            for bed in plan.beds.iter_mut().filter(of_place) {
                if patches.contains(&bed.bed) {
                    bed.plantings.push(candidate);
                }
            }
        }
        for bed in &mut plan.beds {
            bed.plantings
                .sort_by_key(|&number| (instance.candidates[number].bed_week, number));
        }
        Ok(plan)
    }
}

impl Instance {
    /// Of a candidate's sowings that differ by the day of clearing alone, the one nearest to so many weeks in the bed; the
    /// longest where it is no more than `tolerance` weeks longer, or where nothing is said.
    pub fn sowing_like(&self, candidate: usize, weeks: Option<usize>, tolerance: usize) -> usize {
        let own = &self.candidates[candidate];
        let alike = |other: &super::Candidate| {
            (
                &other.crop,
                other.bed_class,
                other.sow_week,
                other.tray_weeks,
                &other.begun,
            ) == (
                &own.crop,
                own.bed_class,
                own.sow_week,
                own.tray_weeks,
                &own.begun,
            )
        };
        let all = self.candidates.iter().enumerate();
        let alike: Vec<(usize, usize)> = all
            .filter(|(_, other)| alike(other))
            .map(|(at, other)| (at, other.weeks))
            .collect();
        let longest = alike
            .iter()
            .max_by_key(|(at, weeks)| (*weeks, usize::MAX - at));
        let (longest, most) = longest.copied().unwrap_or((candidate, own.weeks));
        match weeks {
            Some(weeks) if weeks + tolerance < most => {
                let nearest = alike.iter().min_by_key(|(_, other)| other.abs_diff(weeks));
                nearest.map_or(longest, |(at, _)| *at)
            }
            _ => longest,
        }
    }
}

impl BedSections {
    /// Is this one of its patches?
    pub fn holds(&self, one: &BedPlan) -> bool {
        one.class == self.class && (self.first..self.first + self.count).contains(&one.bed)
    }
}
