//! `prices`: what food costs the household, by month, and where each figure comes from.

use std::io::Write;

use crate::output::terminal::{self, Look};
use crate::output::{build, tables};
use crate::study;

use super::common::{More, Show, Source};
use super::failure::Failure;
use super::{print, project};

/// Prices by food and month with source and year, what is bought in a week, and the foods whose price you must give
///
/// Example: bedyear prices greenhouse.toml --format csv
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    source: Source,
    #[command(flatten)]
    show: Show,
    #[command(flatten)]
    more: More,
}

/// Runs the verb.
///
/// # Errors
/// [`Failure`] for files that cannot be used, or output that cannot be written.
pub fn run(args: &Args, out: &mut impl Write) -> Result<(), Failure> {
    let job = project::open(&args.source, args.show.color_stderr())?;
    let show = args.show.as_in(&job.project);
    let (household, market) = study::demand(&job).map_err(|error| project::failed(&error))?;
    let view = build::prices(&job.site.place.name, &household, &market);
    let answer = |look: &Look| {
        let notes = if args.more.all {
            terminal::prices_notes(&view, look)
        } else {
            String::new()
        };
        format!("{}{notes}", terminal::prices(&view, look))
    };
    print::answer(
        &view,
        (&show, &args.more),
        answer,
        &tables::prices(&view),
        "prices_by_month",
        out,
    )
}
