//! `prices`: what food costs the household, by month, and where each figure comes from.

use std::io::Write;

use crate::output::terminal;
use crate::output::{build, tables};
use crate::study;

use super::common::Asked;
use super::failure::Failure;
use super::{print, project};

/// Prices by food and month with source and year, what is bought in a week, and the foods whose price you must give
///
/// Example: bedyear prices greenhouse.toml --format csv
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    asked: Asked,
}

/// Runs the verb.
pub fn run(args: &Args, out: &mut impl Write) -> Result<(), Failure> {
    let (job, show) = project::asked(&args.asked, tables::names::PRICES)?;
    let (household, market) = study::demand(&job)?;
    let view = build::prices(&job.site.place.name, &household, &market);
    print::answer(
        &view,
        (&show, &args.asked.more),
        (terminal::prices, terminal::prices_notes),
        &tables::prices(&view),
        tables::names::PRICES,
        out,
    )
}
