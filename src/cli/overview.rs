//! `overview`: the whole job on one screen after the other.

use std::io::Write;
use std::path::PathBuf;

use crate::output::view::YearKind;
use crate::output::{fill, terminal};

use super::common::{Show, Source};
use super::failure::Failure;
use super::whole::{self, Search};
use super::{print, project};

/// The whole job: the year inside, crops against months, the plan, the money
///
/// Without a file it runs the built-in example. Example: bedyear overview greenhouse.toml
#[derive(clap::Args)]
pub struct Args {
    /// Project file (TOML); the built-in example where none is named
    #[arg(default_value = project::EXAMPLE_WORD)]
    file: PathBuf,
    /// Hourly weather file (EPW) to use in place of the project's weather
    #[arg(long, value_name = "FILE.epw")]
    weather: Option<PathBuf>,
    #[command(flatten)]
    show: Show,
    #[command(flatten)]
    search: Search,
}

/// Runs the verb.
///
/// # Errors
/// [`Failure`] for files that cannot be used, a run that fails, or output that cannot be written.
pub fn run(args: &Args, out: &mut impl Write) -> Result<(), Failure> {
    args.show.people_only("overview")?;
    let source = Source {
        file: args.file.clone(),
        weather: args.weather.clone(),
        weather_years: None,
        seed: None,
    };
    let mut job = project::open(&source, args.show.color_stderr())?;
    args.search.set_over(&mut job)?;
    let look = print::look(&args.show);
    let (climate, weathers) = whole::climate(&job)?;
    let view = fill::climate(&job, &climate, YearKind::Settled);
    writeln!(out, "{}", terminal::climate(&view, &look))?;
    out.flush()?;
    let season = whole::season(&job, &climate, &weathers)?;
    writeln!(
        out,
        "{}",
        terminal::season(&fill::season(&job, &season), &look)
    )?;
    out.flush()?;
    let plan = whole::plan(&job, &climate, &args.search)?;
    let value = whole::value(&job, &climate, &plan)?;
    let view = fill::plan(&job, &climate, &plan);
    writeln!(out, "{}", terminal::plan(&view, &look))?;
    writeln!(
        out,
        "{}",
        terminal::value(&fill::value(&job, &plan, &value), &look)
    )?;
    Ok(())
}
