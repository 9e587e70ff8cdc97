//! `prices`: what food costs the household, by month, and where each figure comes from.

use crate::output::{build, tables, terminal};
use crate::study;

use super::common::Asked;
use super::failure::Failure;
use super::project;

/// Prices by food and month with source and year, what is bought in a week, and the foods whose price you must give
///
/// Example: bedyear prices greenhouse.toml --format csv
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    asked: Asked,
}

pub fn run(args: &Args) -> Result<(), Failure> {
    let (job, screen) = project::asked(&args.asked, tables::names::PRICES)?;
    let (household, market) = study::demand(&job)?;
    let view = build::prices(&job.site.place.name, &household, &market);
    let words = (terminal::prices, terminal::prices_notes);
    screen.answer(&view, words, &tables::prices(&view))
}
