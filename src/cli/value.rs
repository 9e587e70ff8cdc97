//! `value`: produce against the grocery budget.

use std::io::Write;

use bedyear::output::{fill, terminal};

use super::common::{Show, Source};
use super::failure::Failure;
use super::whole::{self, Search};
use super::{print, project};

/// What the plan's food saves against the grocery budget, month by month, after costs
///
/// Example: bedyear value greenhouse.toml
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    source: Source,
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
    let job = project::open(&args.source, args.show.color_stderr())?;
    let (climate, _) = whole::climate(&job)?;
    let plan = whole::plan(&job, &climate, &args.search)?;
    let value = whole::value(&job, &climate, &plan)?;
    let view = fill::value(&job, &plan, &value);
    print::view(
        &view,
        &args.show,
        terminal::value,
        |view| view.months.to_vec(),
        out,
    )
}
