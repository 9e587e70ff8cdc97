//! `outage`: power, heater or fans fail in the cold.

use crate::calendar::{HOURS_PER_DAY, day_of_date};
use crate::output::{build, tables, terminal};
use crate::study::{self, Fails};
use chrono::NaiveDate;

use super::common::Asked;
use super::failure::Failure;
use super::load::printable;
use super::whole::{self, Search};
use super::{offer, print, project};

/// Power, heater or fans fail as the coldest spell begins: hours until leaves and root zone are too cold
///
/// The killing temperatures are those of the crops that the plan has in the beds on that day, or of the crops named.
/// Example: bedyear outage greenhouse.toml --crop spinach --crop lettuce
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    asked: Asked,
    #[command(flatten)]
    search: Search,
    /// What fails
    #[arg(long, value_enum, default_value_t = Fails::Power)]
    fails: Fails,
    /// Day of the failure, in the weather year in which it is coldest; the coldest spell where none is named
    #[arg(long, value_name = "YYYY-MM-DD")]
    at: Option<NaiveDate>,
    /// Crop to look at, in place of those that the plan has in the beds; may be given more than once
    #[arg(long, value_name = "CROP", value_parser = offer::crops(), hide_possible_values = true)]
    crop: Vec<String>,
}

pub fn run(args: &Args) -> Result<(), Failure> {
    let (mut job, screen) = project::asked(&args.asked, tables::names::OUTAGE)?;
    args.search.set_over(&mut job)?;
    let asked = args.crop.iter().map(|crop| printable(crop.as_ref()));
    let named = study::crops_named(&job.table, &asked.collect::<Vec<_>>())?;
    let (climate, weathers) = whole::climate(&job)?;
    let day = args.at.map(day_of_date);
    let follow = |crops: &[String]| {
        study::outage(&job, &climate, &weathers, args.fails, day, crops).map_err(Failure::from)
    };
    let mut found = follow(&named)?;
    if named.is_empty() {
        let plan = whole::plan(&job, &climate, &args.search)?;
        let standing = plan.crops_on_day(found.onset.hour / HOURS_PER_DAY);
        if !standing.is_empty() {
            found = follow(&standing)?;
        }
    }
    let view = build::outage(&job, &found);
    let words = (terminal::outage, print::no_notes);
    screen.answer(&view, words, &tables::outage(&view))
}
