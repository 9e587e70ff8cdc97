//! Many designs at once: every combination of some keys' values, each simulated.
//!
//! A [`Sweep`] is a project text and its axes. Design number `i` is the same on every machine and in every shard, so
//! that a sweep can be cut into parts, spread over machines and taken up again.
//!
//! # A study of a whole region
//! The program does not schedule machines; any engine that starts the same command many times does. Each run takes one
//! share of the parts ([`Shard`]), and because a part is the same bytes whoever makes it, a share that failed is simply
//! started again:
//!
//! ```text
//! # an array job of 64 tasks, numbered from 1 by the scheduler
//! bedyear sweep hall.toml --vary site.weather=$(ls *.epw | paste -sd,) --vary building.length=10..40/16m \
//!     --shard auto -o designs
//! ```
//!
//! The folder must be one that all machines see, or the parts are copied together afterwards: their names never
//! collide. `_sweep.toml` in it says what was swept; runs of another sweep are refused. Any engine that reads Parquet
//! takes the folder as one table:
//!
//! ```text
//! designs = polars.scan_parquet("designs/*.parquet")          # Python
//! SELECT place, min(air_min_c) FROM 'designs/*.parquet' GROUP BY place   -- an SQL engine
//! ```
//!
//! A few crops' growth may be asked for ([`Sweep::with_crops`]), and a plan of each design ([`Sweep::with_plans`]), which costs
//! some ten times the climate: sweep first, then plan the few designs that are worth it; [`Sweep::text`] gives the project file of
//! any of them.

mod axis;
mod design;
mod parts;

use std::collections::{BTreeMap, BTreeSet};

pub use axis::Axis;
pub use design::{CropFigures, DesignRow, DesignYear, Grounds, PlanFigures};
pub use parts::{Manifest, Parts, Shard};
use rayon::prelude::*;

use super::{SideFiles, StudyError};
use crate::file::{self, Edit, EditError, Project, SiteChoice};

/// Why a sweep cannot be made.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum SweepError {
    /// What varies was not understood.
    #[error("`{text}`: {why}")]
    Axis {
        /// As written.
        text: String,
        /// What is wrong.
        why: String,
    },
    /// A key is named twice.
    #[error("`{0}` is varied twice; name all its values once")]
    Twice(String),
    /// More designs than can be counted.
    #[error("these are more combinations than can be counted; vary fewer keys")]
    TooMany,
    /// The project text is not TOML.
    #[error("{0}")]
    Text(#[from] EditError),
    /// A study failed.
    #[error("{0}")]
    Study(#[from] StudyError),
    /// No combination gives a project that can be read, as where a varied key does not exist.
    #[error("none of the {count} designs can be built; the first: {why}")]
    NoDesign {
        /// Designs of the sweep.
        count: usize,
        /// What is wrong with the first.
        why: String,
    },
}

/// A project and what varies in it.
#[derive(Clone, Debug)]
pub struct Sweep {
    base: Edit,
    axes: Vec<Axis>,
    count: usize,
    weather_years: Option<usize>,
    crops: Vec<String>,
    plans: bool,
}

/// One combination, before it is simulated.
#[derive(Clone, Debug)]
pub struct Design {
    /// Number, from 0.
    pub index: usize,
    /// Value of each axis.
    pub settings: Vec<String>,
    /// The project with them, or what is wrong with it.
    pub project: Result<Project, String>,
}

impl Sweep {
    /// A sweep over a project text.
    ///
    /// # Errors
    /// [`SweepError`] if the text is not TOML, a key is varied twice, or the combinations cannot be counted.
    pub fn new(text: &str, axes: Vec<Axis>) -> Result<Self, SweepError> {
        let base = Edit::new(text)?;
        let mut keys = BTreeSet::new();
        for axis in &axes {
            if !keys.insert(axis.key.as_str()) {
                return Err(SweepError::Twice(axis.key.clone()));
            }
        }
        let count = axis::combinations(&axes)?;
        Ok(Self {
            base,
            axes,
            count,
            weather_years: None,
            crops: Vec::new(),
            plans: false,
        })
    }

    /// The same with so many weather years for each design, whatever the project says; 0 for the usual year alone.
    pub fn with_weather_years(self, count: Option<usize>) -> Self {
        Self {
            weather_years: count,
            ..self
        }
    }

    /// The same with some crops' growth for each design: months that warm ones stay in, last sowing of winter ones.
    pub fn with_crops(self, crops: Vec<String>) -> Self {
        Self { crops, ..self }
    }

    /// The same with a plan of each design, or without.
    pub fn with_plans(self, plans: bool) -> Self {
        Self { plans, ..self }
    }

    /// Whether each design is planned.
    pub fn plans(&self) -> bool {
        self.plans
    }

    /// Crops whose growth is asked for.
    pub fn crops(&self) -> &[String] {
        &self.crops
    }

    /// Weather years of each design, where they are not the project's.
    pub fn weather_years(&self) -> Option<usize> {
        self.weather_years
    }

    /// Number of designs.
    pub fn count(&self) -> usize {
        self.count
    }

    /// What varies.
    pub fn axes(&self) -> &[Axis] {
        &self.axes
    }

    /// A design; its text is what the person would have written, so the same checks apply.
    pub fn design(&self, index: usize) -> Design {
        let settings: Vec<String> = axis::settings(&self.axes, index)
            .into_iter()
            .map(str::to_owned)
            .collect();
        Design {
            index,
            project: self.project(&settings),
            settings,
        }
    }

    /// The text of a design's project file.
    ///
    /// # Errors
    /// [`EditError::Path`] if a key leads nowhere.
    pub fn text(&self, settings: &[String]) -> Result<String, EditError> {
        let mut file = self.base.clone();
        for (axis, value) in self.axes.iter().zip(settings) {
            file.put(&axis.key, value)?;
        }
        Ok(file.text())
    }

    fn project(&self, settings: &[String]) -> Result<Project, String> {
        let text = self.text(settings).map_err(|error| error.to_string())?;
        // The line numbers are those of a text nobody has seen, so only what is wrong is told.
        let mut project = file::parse("design", &text).map_err(|error| {
            let problems: Vec<String> = error
                .problems
                .iter()
                .map(|each| each.wrong.clone())
                .collect();
            problems.join("; ")
        })?;
        if let Some(count) = self.weather_years {
            project.planning.weather_years = count;
        }
        Ok(project)
    }

    /// The first design that can be read: what does not vary is in it as in all.
    ///
    /// # Errors
    /// [`SweepError::NoDesign`] if none can.
    pub fn any_project(&self) -> Result<Project, SweepError> {
        self.design(0).project.or_else(|why| {
            (1..self.count)
                .into_par_iter()
                .find_map_first(|index| self.design(index).project.ok())
                .ok_or(SweepError::NoDesign {
                    count: self.count,
                    why,
                })
        })
    }

    /// Every weather file that some design names, for whoever opens files; `any` is a design that can be read.
    pub fn weather_files(&self, any: &Project) -> BTreeSet<String> {
        let axis = self.axes.iter().find(|axis| axis.key == "site.weather");
        let named = axis.map_or_else(Vec::new, |axis| axis.values.clone());
        let base = match &any.site {
            SiteChoice::WeatherFile(path) => Some(path.clone()),
            _ => None,
        };
        named.into_iter().chain(base).collect()
    }
}

/// Texts of the files that designs name.
#[derive(Clone, Debug, Default)]
pub struct SweepFiles {
    /// Hourly weather files by the name the project gives them.
    pub weather: BTreeMap<String, String>,
    /// The other files, which no design changes.
    pub side: SideFiles,
}
