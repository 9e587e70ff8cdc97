//! `season`: crops against months.

use std::io::Write;

use bedyear::output::{fill, terminal};
use bedyear::study;

use super::common::{Show, Source};
use super::failure::Failure;
use super::{print, project};

/// Crops against months, with the reason for every no, and how long warm crops can stay in
///
/// Example: bedyear season greenhouse.toml
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    source: Source,
    #[command(flatten)]
    show: Show,
}

/// Runs the verb.
///
/// # Errors
/// [`Failure`] for files that cannot be used, a run that fails, or output that cannot be written.
pub fn run(args: &Args, out: &mut impl Write) -> Result<(), Failure> {
    let job = project::open(&args.source, args.show.color_stderr())?;
    let weathers = study::weather_years(&job);
    let climate = study::climate(&job, &job.project.house, &weathers)
        .map_err(|error| project::failed(&error))?;
    let studied =
        study::season(&job, &climate, &weathers).map_err(|error| project::failed(&error))?;
    let view = fill::season(&job, &studied);
    print::view(&view, &args.show, terminal::season, |view| view.rows(), out)
}
