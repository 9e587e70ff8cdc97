//! `climate`: the year inside.

use std::io::Write;
use std::path::PathBuf;

use bedyear::output::{csv_out, fill, terminal, view::YearKind};
use bedyear::study;

use super::common::{Show, Source};
use super::failure::Failure;
use super::{print, project};

/// The year inside, month by month: air, root zone, store, light, heater and fan
///
/// Example: bedyear climate greenhouse.toml --units us
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    source: Source,
    #[command(flatten)]
    show: Show,
    /// Show the first year on cold ground in place of the settled year
    #[arg(long)]
    first: bool,
    /// Write every hour of the year shown to a file (.csv or .parquet)
    #[arg(long, value_name = "FILE")]
    hourly: Option<PathBuf>,
}

/// Runs the verb.
///
/// # Errors
/// [`Failure`] for files that cannot be used, a run that fails, or output that cannot be written.
pub fn run(args: &Args, out: &mut impl Write) -> Result<(), Failure> {
    let job = project::open(&args.source, args.show.color_stderr())?;
    let weathers = study::weather_years(&job);
    let studied = study::climate(&job, &job.project.house, &weathers)
        .map_err(|error| project::failed(&error))?;
    let kind = if args.first {
        YearKind::First
    } else {
        YearKind::Settled
    };
    if let Some(path) = &args.hourly {
        let year = if args.first {
            &studied.run.first
        } else {
            &studied.run.settled
        };
        let rows = fill::hours(&job, year);
        let bytes = csv_out::to_string(&rows)
            .map_err(Failure::work)?
            .into_bytes();
        print::file(path, &bytes)?;
    }
    let view = fill::climate(&job, &studied, kind);
    print::view(
        &view,
        &args.show,
        terminal::climate,
        |view| view.months.to_vec(),
        out,
    )
}
