//! A plan as a file: readable, versioned, open to changes by hand.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::{BedPlan, Closing, Instance, Plan, schedule, verify};

/// Version of the plan file that this program writes and reads.
pub const VERSION: u32 = 1;

/// A plan file. Bed, crop, sow, tray and cover say what is done; the rest is there to be read.
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
    /// Value of the plan when it was saved.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub value: Option<f64>,
    /// Proven bound when it was saved.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bound: Option<f64>,
    /// Plantings, by bed and date.
    #[serde(default, rename = "planting")]
    pub plantings: Vec<FilePlanting>,
}

/// One planting of a plan file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FilePlanting {
    /// Name of the bed class.
    pub bed: String,
    /// Bed within its class, from 1.
    #[serde(default = "first_bed")]
    pub number: usize,
    /// Crop as the crop table names it.
    pub crop: String,
    /// Day of sowing; any day of the week meant.
    pub sow: NaiveDate,
    /// Whether it is sown in trays.
    #[serde(default)]
    pub tray: bool,
    /// Whether a row cover is put on.
    #[serde(default)]
    pub cover: bool,
    /// To be read: day it goes to the bed, when sown in trays.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub transplant: Option<NaiveDate>,
    /// To be read: first week of picking.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub first_harvest: Option<NaiveDate>,
    /// To be read: last week of picking.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub last_harvest: Option<NaiveDate>,
    /// To be read: day the bed is free again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clear: Option<NaiveDate>,
    /// To be read: expected harvest, kg.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub harvest_kg: Option<f64>,
}

fn first_bed() -> usize {
    1
}

/// Why a plan file cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum PlanFileError {
    /// Not the TOML that was expected.
    #[error("the plan file cannot be read: {0}")]
    Syntax(#[from] toml::de::Error),
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
        "the plan file starts on {found} with {weeks} weeks, the project plans from {expected}"
    )]
    Horizon {
        /// Start found.
        found: NaiveDate,
        /// Weeks found.
        weeks: usize,
        /// Start expected.
        expected: NaiveDate,
    },
    /// No such bed.
    #[error("planting {number} (`{crop}`): there is no bed {bed_number} of `{bed}`")]
    Bed {
        /// Planting in the file, from 1.
        number: usize,
        /// Crop.
        crop: String,
        /// Bed named.
        bed: String,
        /// Number named.
        bed_number: usize,
    },
    /// Nothing like it comes through.
    #[error(
        "planting {number}: `{crop}` sown {sow} in `{bed}` is not among what comes through; {nearest}"
    )]
    Planting {
        /// Planting in the file, from 1.
        number: usize,
        /// Crop.
        crop: String,
        /// Day of sowing.
        sow: NaiveDate,
        /// Bed.
        bed: String,
        /// The nearest that does, in words.
        nearest: String,
    },
}

/// What a plan gives and breaks.
#[derive(Clone, Debug, PartialEq)]
pub struct Assessment {
    /// Worth of what is eaten, less costs and penalties.
    pub value: f64,
    /// Rules broken.
    pub faults: Vec<verify::Fault>,
    /// Picked over the horizon, per food, kg.
    pub harvest_kg: Vec<f64>,
    /// Eaten over the horizon, per food, kg.
    pub eaten_kg: Vec<f64>,
}

/// Values a plan and checks its rules, however it came about.
pub fn assess(instance: &Instance, plan: &Plan) -> Assessment {
    let harvest = schedule::harvest(instance, plan);
    let eaten = schedule::eating(instance, &harvest);
    let sums = |table: &[Vec<f64>]| table.iter().map(|weeks| weeks.iter().sum()).collect();
    Assessment {
        value: schedule::worth(instance, &eaten) - schedule::costs(instance, plan),
        faults: verify::check_rules(instance, plan),
        harvest_kg: sums(&harvest),
        eaten_kg: sums(&eaten),
    }
}

impl PlanFile {
    /// The file of a plan.
    pub fn new(instance: &Instance, plan: &Plan, value: Option<f64>, bound: Option<f64>) -> Self {
        let mut rows = schedule::plantings(instance, plan).into_iter();
        let mut plantings = Vec::new();
        for one in &plan.beds {
            for row in rows.by_ref().take(one.plantings.len()) {
                plantings.push(FilePlanting {
                    bed: instance.beds[one.class].name.clone(),
                    number: one.bed + 1,
                    crop: row.crop,
                    sow: row.sow,
                    tray: row.transplant.is_some(),
                    cover: row.cover,
                    transplant: row.transplant,
                    first_harvest: row.first_harvest,
                    last_harvest: row.last_harvest,
                    clear: Some(row.clear),
                    // Grams are more than a scale in a garden shows.
                    harvest_kg: Some((row.harvest_kg * 1000.0).round() / 1000.0),
                });
            }
        }
        let (start, weeks, closing) = (instance.start, instance.weeks, instance.closing);
        PlanFile {
            version: VERSION,
            start,
            weeks,
            closing,
            value,
            bound,
            plantings,
        }
    }

    /// As TOML.
    ///
    /// # Errors
    /// A value that TOML cannot hold.
    pub fn to_toml(&self) -> Result<String, PlanFileError> {
        let head = "# A plan by bedyear. A bed is planted in equal patches, numbered through the beds it names.\n\
                    # Bed, number, crop, sow, tray and cover may be changed by hand;\n\
                    # the other lines of a planting are there to be read and are worked out anew.\n\n";
        Ok(format!("{head}{}", toml::to_string(self)?))
    }

    /// From TOML.
    ///
    /// # Errors
    /// Not TOML, a key mistyped or missing, another version.
    pub fn parse(text: &str) -> Result<Self, PlanFileError> {
        let file: PlanFile = toml::from_str(text)?;
        if file.version != VERSION {
            return Err(PlanFileError::Version {
                found: file.version,
            });
        }
        Ok(file)
    }

    /// The plan it means in an instance. Rules are not checked here (see [`assess`]).
    ///
    /// # Errors
    /// Another horizon, a bed that does not exist, a planting that does not come through.
    pub fn resolve(&self, instance: &Instance) -> Result<Plan, PlanFileError> {
        if self.start != instance.start
            || self.weeks != instance.weeks
            || self.closing != instance.closing
        {
            let (found, weeks, expected) = (self.start, self.weeks, instance.start);
            return Err(PlanFileError::Horizon {
                found,
                weeks,
                expected,
            });
        }
        let beds = instance.beds.iter().enumerate();
        let beds = beds.flat_map(|(class, kind)| (0..kind.count).map(move |bed| (class, bed)));
        let mut plan = Plan {
            beds: beds
                .map(|(class, bed)| BedPlan {
                    class,
                    bed,
                    plantings: Vec::new(),
                })
                .collect(),
        };
        for (at, planting) in self.plantings.iter().enumerate() {
            let class = instance
                .beds
                .iter()
                .position(|class| class.name == planting.bed);
            let bed = plan
                .beds
                .iter_mut()
                .find(|one| Some(one.class) == class && one.bed + 1 == planting.number);
            let Some(bed) = bed else {
                return Err(PlanFileError::Bed {
                    number: at + 1,
                    crop: planting.crop.clone(),
                    bed: planting.bed.clone(),
                    bed_number: planting.number,
                });
            };
            bed.plantings
                .push(planting.candidate(instance, bed.class, at + 1)?);
        }
        for bed in &mut plan.beds {
            bed.plantings
                .sort_by_key(|&number| (instance.candidates[number].bed_week, number));
        }
        Ok(plan)
    }
}

impl FilePlanting {
    fn candidate(
        &self,
        instance: &Instance,
        class: usize,
        number: usize,
    ) -> Result<usize, PlanFileError> {
        let week = week_of(instance, self.sow);
        let mut nearest: Option<(usize, usize)> = None;
        for (at, candidate) in instance.candidates.iter().enumerate() {
            let same = candidate.bed_class == class
                && candidate.crop == self.crop
                && (candidate.tray_weeks > 0) == self.tray
                && candidate.cover == self.cover;
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
                return Ok(at);
            }
            if nearest.is_none_or(|nearest| apart < nearest.1) {
                nearest = Some((at, apart));
            }
        }
        let nearest = match nearest {
            Some((at, _)) => {
                let sow = instance.date_of_week(instance.candidates[at].sow_week);
                format!("the nearest sowing that does is in the week of {sow}")
            }
            None => "no sowing of it does, in this bed and this way".to_string(),
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

/// Week of the horizon that a date lies in; a settled year takes any year's date.
fn week_of(instance: &Instance, date: NaiveDate) -> Option<usize> {
    match instance.closing {
        Closing::EachBed => {
            use crate::calendar;
            instance.week_index(calendar::week_of_day(calendar::day_of_date(date)))
        }
        Closing::Open => {
            let days = date.signed_duration_since(instance.start).num_days();
            let week = usize::try_from(days.div_euclid(7)).ok()?;
            (week < instance.weeks).then_some(week)
        }
    }
}
