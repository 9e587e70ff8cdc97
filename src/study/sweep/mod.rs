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
//! A few crops' growth may be asked for ([`Sweep::crops`]), and a plan of each design ([`Sweep::plans`]), which costs
//! some ten times the climate: sweep first, then plan the few designs that are worth it; [`Sweep::text`] gives the project file of
//! any of them.

mod design;
mod parts;

use std::collections::{BTreeMap, BTreeSet};

pub use design::{CropFigures, DesignRow, DesignYear, Grounds, PlanFigures};
pub use parts::{Manifest, Parts, Shard};
use rayon::prelude::*;

use super::SideFiles;
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
    /// What varies.
    pub axes: Vec<Axis>,
    pub count: usize,
    /// Weather years for each design, whatever the project says; 0 for the usual year alone, none for the project's number.
    pub weather_years: Option<usize>,
    /// Crops whose growth is told for each design: months that warm ones stay in, last sowing of winter ones.
    pub crops: Vec<String>,
    pub plans: bool,
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
        let count = combinations(&axes)?;
        Ok(Self {
            base,
            axes,
            count,
            weather_years: None,
            crops: Vec::new(),
            plans: false,
        })
    }

    /// A design; its text is what the person would have written, so the same checks apply.
    pub fn design(&self, index: usize) -> DesignRow<Project> {
        let settings = settings(&self.axes, index).into_iter();
        let settings: Vec<String> = settings.map(str::to_owned).collect();
        DesignRow {
            index,
            found: self.project(&settings),
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
            let problems = error.problems.iter().map(|each| each.wrong.as_str());
            problems.collect::<Vec<_>>().join("; ")
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
        self.design(0).found.or_else(|why| {
            (1..self.count)
                .into_par_iter()
                .find_map_first(|index| self.design(index).found.ok())
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

/// One key of the project file with the values it is to take.
#[derive(Clone, Debug, PartialEq)]
pub struct Axis {
    /// Path of the key, such as `building.length` or `bed[0].area`; lists count from 0.
    pub key: String,
    /// Values as they would stand in the file.
    pub values: Vec<String>,
}

/// Most values that one axis may have.
const MAX_VALUES: usize = 100_000;
/// Decimal places that the values of a range are rounded to: far below what any key can tell apart.
const RANGE_DECIMALS: f64 = 1e9;

impl Axis {
    /// Reads `KEY=VALUE,VALUE,...` or `KEY=FROM..TO/COUNT UNIT` (evenly spaced, both ends included).
    ///
    /// # Errors
    /// [`SweepError::Axis`] in words.
    pub fn parse(text: &str) -> Result<Self, SweepError> {
        let wrong = |why: &str| SweepError::Axis {
            text: text.to_owned(),
            why: why.to_owned(),
        };
        let (key, values) = text.split_once('=').ok_or_else(|| {
            wrong("a key and its values belong there, such as building.length=6 m,8 m")
        })?;
        let key = key.trim();
        if key.is_empty() {
            return Err(wrong("the key is missing before `=`"));
        }
        let no_range = || {
            wrong("a range is FROM..TO/COUNT with a unit behind it if need be, such as 6..12/4 m")
        };
        let values = match values.contains("..") {
            true => range(values).ok_or_else(no_range)?,
            false => values
                .split(',')
                .map(|value| value.trim().to_owned())
                .collect(),
        };
        if values.iter().any(String::is_empty) {
            return Err(wrong("a value is empty"));
        }
        if values.len() > MAX_VALUES {
            return Err(wrong("these are more than 100,000 values"));
        }
        Ok(Axis {
            key: key.to_owned(),
            values,
        })
    }
}

/// `FROM..TO/COUNT UNIT` as its values.
fn range(text: &str) -> Option<Vec<String>> {
    let (from, rest) = text.split_once("..")?;
    let (to, rest) = rest.split_once('/')?;
    let rest = rest.trim();
    let end = rest.find(|c: char| !c.is_ascii_digit());
    let end = end.unwrap_or(rest.len());
    let (count, unit) = rest.split_at(end);
    let (from, to): (f64, f64) = (from.trim().parse().ok()?, to.trim().parse().ok()?);
    let count: usize = count.parse().ok()?;
    if !(from.is_finite() && to.is_finite()) || !(2..=MAX_VALUES).contains(&count) {
        return None;
    }
    let step = (to - from) / (count - 1) as f64;
    let value = |place: usize| {
        let exact = from + step * place as f64;
        let rounded = (exact * RANGE_DECIMALS).round() / RANGE_DECIMALS;
        format!("{rounded}{unit}")
    };
    Some((0..count).map(value).collect())
}

/// Number of combinations of all axes' values.
///
/// # Errors
/// [`SweepError::TooMany`] above `usize`'s range.
fn combinations(axes: &[Axis]) -> Result<usize, SweepError> {
    let times = |product: usize, axis: &Axis| product.checked_mul(axis.values.len());
    let product = axes.iter().try_fold(1, times);
    product.ok_or(SweepError::TooMany)
}

/// The values of the combination number `index`, one for each axis; the last axis changes fastest.
fn settings(axes: &[Axis], index: usize) -> Vec<&str> {
    let mut rest = index;
    let mut values: Vec<&str> = axes
        .iter()
        .rev()
        .map(|axis| {
            let value = axis.values.get(rest % axis.values.len().max(1));
            rest /= axis.values.len().max(1);
            value.map_or("", String::as_str)
        })
        .collect();
    values.reverse();
    values
}

#[cfg(test)]
mod tests {
    use super::*;

    fn values(text: &str) -> Vec<String> {
        Axis::parse(text).unwrap().values
    }

    #[test]
    fn lists_and_ranges_are_read() {
        assert_eq!(values("building.length = 6 m, 20 ft"), ["6 m", "20 ft"]);
        assert_eq!(
            values("building.length=6..12/4 m"),
            ["6 m", "8 m", "10 m", "12 m"]
        );
        assert_eq!(values("a.b=0.1..0.3/3"), ["0.1", "0.2", "0.3"]);
    }

    #[test]
    fn what_is_no_axis_is_refused() {
        for text in [
            "", "length", "=3", "a=", "a=1,,2", "a=1..2", "a=1..2/1", "a=1..x/3",
        ] {
            assert!(Axis::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn every_combination_comes_once() {
        let axes = ["a=1,2,3", "b=x,y"].map(|text| Axis::parse(text).unwrap());
        let count = combinations(&axes).unwrap();
        let all: std::collections::BTreeSet<Vec<&str>> =
            (0..count).map(|index| settings(&axes, index)).collect();
        assert_eq!(all.len(), 6);
        assert_eq!(settings(&axes, 1), ["1", "y"]);
    }
}
