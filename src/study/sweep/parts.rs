//! A sweep cut into parts and shared out to shards, so that it can be spread over machines and taken up again.

use std::ops::Range;

use serde::{Deserialize, Serialize};

use super::{Axis, Sweep, SweepFiles};
use crate::document::{self, Problem};

/// Which share of a sweep one run takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shard {
    /// From 1.
    pub number: usize,
    /// How many there are.
    pub of: usize,
}

/// Schedulers' variables: the task's number, the first number, the step between numbers, how many tasks.
const SCHEDULERS: [[&str; 4]; 2] = [
    // Slurm, array jobs.
    [
        "SLURM_ARRAY_TASK_ID",
        "SLURM_ARRAY_TASK_MIN",
        "SLURM_ARRAY_TASK_STEP",
        "SLURM_ARRAY_TASK_COUNT",
    ],
    // Kubernetes, indexed jobs: the index is set and counts from 0, the others may be set beside it.
    ["JOB_COMPLETION_INDEX", "", "", "JOB_COMPLETIONS"],
];

impl Shard {
    fn of(number: usize, of: usize) -> Option<Self> {
        (1..=of).contains(&number).then_some(Shard { number, of })
    }

    /// Reads a share: `2/4`; or `auto`, which takes number and count from the scheduler's own variables; or `auto/4`, which takes
    /// the number alone. Tasks may be counted from 0, 1 or anything, in any step.
    pub fn told(text: &str, variable: impl Fn(&str) -> Option<String>) -> Result<Self, String> {
        let whole = |text: &str| text.trim().parse::<usize>().ok();
        let Some(rest) = text.trim().strip_prefix("auto") else {
            let share = text.split_once('/');
            let share = share.and_then(|(number, of)| Self::of(whole(number)?, whole(of)?));
            return share
                .ok_or_else(|| "a share such as 2/4 belongs there: the second of four".to_owned());
        };
        let wrong = || "`auto`, `auto/4` or a share such as 2/4 belongs there".to_owned();
        let count = match rest.trim().strip_prefix('/') {
            Some(count) => Some(whole(count).ok_or_else(wrong)?),
            None if rest.trim().is_empty() => None,
            None => return Err(wrong()),
        };
        let whole = |name: &str| variable(name).and_then(|text| whole(&text));
        let Some((id, names)) = SCHEDULERS
            .iter()
            .find_map(|names| Some((whole(names[0])?, names)))
        else {
            return Err(format!(
                "`auto` finds no scheduler's variable ({}); write a share such as 2/4",
                SCHEDULERS.map(|names| names[0]).join(", ")
            ));
        };
        let count = count.or_else(|| whole(names[3])).ok_or_else(|| {
            format!(
                "{} says which task this is, but not {} how many; write auto/N",
                names[0], names[3]
            )
        })?;
        let first = whole(names[1]).unwrap_or(0);
        let step = whole(names[2]).unwrap_or(1).max(1);
        let number = id.checked_sub(first).map_or(0, |past| past / step + 1);
        let none = || format!("task {id} is none of {count} from {first} on");
        Self::of(number, count).ok_or_else(none)
    }
}

/// The parts of a sweep: runs of designs that are written as one file each.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub struct Parts {
    /// Designs in all.
    pub designs: usize,
    /// Designs in a part, at least 1; the last part may have fewer.
    #[serde(rename = "designs_a_part")]
    pub size: usize,
}

impl Parts {
    /// Those that a [`Manifest`]'s text tells of.
    ///
    /// # Errors
    /// A [`Problem`] of the text.
    pub fn listed(manifest: &str) -> Result<Self, Problem> {
        document::read(manifest)
    }

    /// Number of parts.
    pub fn count(self) -> usize {
        self.designs.div_ceil(self.size.max(1))
    }

    /// Designs of a part.
    pub fn designs_of(self, part: usize) -> Range<usize> {
        let start = (part * self.size).min(self.designs);
        start..(start + self.size).min(self.designs)
    }

    /// Parts that a shard takes: every `of`-th, so that costly corners of a sweep are shared out evenly.
    pub fn of_shard(self, shard: Shard) -> impl Iterator<Item = usize> {
        (shard.number - 1..self.count()).step_by(shard.of)
    }
}

/// What a folder of parts was made from; parts of different sweeps must never lie in one folder.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Manifest {
    version: &'static str,
    designs: usize,
    designs_a_part: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    weather_years: Option<usize>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    crops: Vec<String>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    plans: bool,
    vary: Vec<String>,
    weather_files: Vec<String>,
    own_climates: Vec<String>,
    project: String,
}

impl Manifest {
    /// Of a sweep cut into parts.
    pub fn of(sweep: &Sweep, parts: Parts, files: &SweepFiles) -> Self {
        let vary = |axis: &Axis| format!("{}={}", axis.key, axis.values.join(","));
        let length = |(name, text): (&String, &String)| format!("{name} ({} bytes)", text.len());
        Manifest {
            version: env!("CARGO_PKG_VERSION"),
            designs: parts.designs,
            designs_a_part: parts.size,
            weather_years: sweep.weather_years,
            crops: sweep.crops.clone(),
            plans: sweep.plans,
            vary: sweep.axes.iter().map(vary).collect(),
            weather_files: files.weather.iter().map(length).collect(),
            own_climates: files
                .side
                .climates
                .iter()
                .map(|(name, text)| length((name, text)))
                .collect(),
            project: sweep.base.text(),
        }
    }

    /// As the text of a file.
    pub fn text(&self) -> Result<String, toml::ser::Error> {
        toml::to_string(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shards_take_every_part_once() {
        let parts = Parts {
            designs: 1001,
            size: 100,
        };
        assert_eq!(parts.count(), 11);
        let mut taken: Vec<usize> = (1..=4)
            .flat_map(|number| parts.of_shard(Shard { number, of: 4 }))
            .collect();
        taken.sort_unstable();
        assert_eq!(taken, (0..11).collect::<Vec<_>>());
        let designs: usize = taken.iter().map(|&part| parts.designs_of(part).len()).sum();
        assert_eq!(designs, 1001);
    }

    #[test]
    fn a_scheduler_tells_the_share() {
        let told = |text: &str, set: &[(&str, &str)]| {
            Shard::told(text, |name| {
                let found = set.iter().find(|(known, _)| *known == name);
                found.map(|(_, value)| (*value).to_owned())
            })
        };
        let slurm = |id, min, step, count| {
            [
                ("SLURM_ARRAY_TASK_ID", id),
                ("SLURM_ARRAY_TASK_MIN", min),
                ("SLURM_ARRAY_TASK_STEP", step),
                ("SLURM_ARRAY_TASK_COUNT", count),
            ]
        };
        let share = |number, of| Ok(Shard { number, of });
        // --array=1-20, --array=0-19, --array=10-48:2
        assert_eq!(told("auto", &slurm("20", "1", "1", "20")), share(20, 20));
        assert_eq!(told("auto", &slurm("0", "0", "1", "20")), share(1, 20));
        assert_eq!(told("auto", &slurm("48", "10", "2", "20")), share(20, 20));
        let index = [("JOB_COMPLETION_INDEX", "3")];
        assert_eq!(told("auto/4", &index), share(4, 4));
        assert!(told("auto", &index).unwrap_err().contains("auto/N"));
        assert!(told("auto/3", &index).is_err());
        assert!(
            told("auto", &[])
                .unwrap_err()
                .contains("SLURM_ARRAY_TASK_ID")
        );
        assert_eq!(told("2/4", &[]), share(2, 4));
    }

    #[test]
    fn shares_that_are_none_are_refused() {
        for text in ["", "2", "0/4", "5/4", "a/b", "1/0", "-1/2"] {
            assert!(Shard::told(text, |_| None).is_err(), "{text}");
        }
    }
}
