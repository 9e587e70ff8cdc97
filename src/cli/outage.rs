//! `outage`: power, heater or fans fail in the cold.

use std::collections::BTreeSet;
use std::io::Write;

use bedyear::calendar::day_of_date;
use bedyear::output::{fill, terminal};
use bedyear::study::{self, ClimateStudy, Fails, Job};
use chrono::{Datelike, NaiveDate};
use clap::ValueEnum;

use super::common::{Show, Source};
use super::failure::Failure;
use super::load::printable;
use super::whole::{self, Search};
use super::{print, project};

/// Power, heater or fans fail as the coldest spell begins: hours until leaves and root zone are too cold
///
/// The killing temperatures are those of the crops that the plan has in the beds on that day, or of the crops named.
/// Example: bedyear outage greenhouse.toml --crop spinach --crop lettuce
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    source: Source,
    #[command(flatten)]
    show: Show,
    #[command(flatten)]
    search: Search,
    /// What fails
    #[arg(long, value_enum, default_value_t = FailsChoice::Power)]
    fails: FailsChoice,
    /// Day of the failure, in the weather year in which it is coldest; the coldest spell where none is named
    #[arg(long, value_name = "YYYY-MM-DD")]
    at: Option<NaiveDate>,
    /// Crop to look at, in place of those that the plan has in the beds; may be given more than once
    #[arg(long, value_name = "CROP")]
    crop: Vec<String>,
}

/// What fails.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum FailsChoice {
    /// Heater, fans, cooler, lamps and electric gains.
    Power,
    /// The heater alone.
    Heater,
    /// The fans alone.
    Fans,
}

impl From<FailsChoice> for Fails {
    fn from(choice: FailsChoice) -> Self {
        match choice {
            FailsChoice::Power => Fails::Power,
            FailsChoice::Heater => Fails::Heater,
            FailsChoice::Fans => Fails::Fans,
        }
    }
}

/// Runs the verb.
///
/// # Errors
/// [`Failure`] for files that cannot be used, a run that fails, or output that cannot be written.
pub fn run(args: &Args, out: &mut impl Write) -> Result<(), Failure> {
    let mut job = project::open(&args.source, args.show.color_stderr())?;
    args.search.set_over(&mut job)?;
    let (climate, weathers) = whole::climate(&job)?;
    let day = args.at.map(day_of_date);
    let named: Vec<String> = args
        .crop
        .iter()
        .map(|crop| printable(crop.as_ref()))
        .collect();
    let follow = |crops: &[String]| {
        study::outage(&job, &climate, &weathers, args.fails.into(), day, crops)
            .map_err(|error| project::failed(&error))
    };
    let mut found = follow(&named)?;
    if named.is_empty() {
        let standing = standing(&job, &climate, &args.search, found.onset.hour)?;
        if !standing.is_empty() {
            found = follow(&standing)?;
        }
    }
    let view = fill::outage(&job, &found);
    print::view(
        &view,
        &args.show,
        terminal::outage,
        |view| view.rows.clone(),
        out,
    )
}

/// Crops that the plan has in the beds on a day, in order of id.
fn standing(
    job: &Job,
    climate: &ClimateStudy,
    search: &Search,
    hour: usize,
) -> Result<Vec<String>, Failure> {
    let plan = whole::plan(job, climate, search)?;
    let day = hour / bedyear::calendar::HOURS_PER_DAY;
    let crops: BTreeSet<String> = plan
        .plantings
        .iter()
        .filter(|planting| {
            let from = planting.transplant.unwrap_or(planting.sow);
            let year = from.year();
            // The plan repeats itself: the day may fall before or after the turn of its year.
            [year, year + 1, year + 2].iter().any(|&year| {
                let on = bedyear::calendar::date_of_day(year, day);
                from <= on && on < planting.clear
            })
        })
        .map(|planting| plan.problem.crops[plan.outcome(planting).crop].id.clone())
        .collect();
    Ok(crops.into_iter().collect())
}
