//! `plan`: successions by bed.

use std::io::Write;
use std::path::PathBuf;

use bedyear::output::{fill, terminal};

use super::common::{Show, Source};
use super::failure::Failure;
use super::whole::{self, Search};
use super::{print, project};

/// Successions by bed: sow, set out, first and last harvest, the week's food against the wish
///
/// Example: bedyear plan greenhouse.toml --gap 0.5
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    source: Source,
    #[command(flatten)]
    show: Show,
    #[command(flatten)]
    search: Search,
    /// Save the plan as a file to read, to change by hand, and to hand to any verb with `--plan`
    #[arg(long, value_name = "PLAN.toml")]
    save: Option<PathBuf>,
    /// Show the food of every week too
    #[arg(long)]
    weeks: bool,
}

/// Runs the verb.
///
/// # Errors
/// [`Failure`] for files that cannot be used, a run that fails, or output that cannot be written.
pub fn run(args: &Args, out: &mut impl Write) -> Result<(), Failure> {
    let job = project::open(&args.source, args.show.color_stderr())?;
    let (climate, _) = whole::climate(&job)?;
    let plan = whole::plan(&job, &climate, &args.search)?;
    if let Some(path) = &args.save {
        let text = plan.file().to_toml().map_err(Failure::work)?;
        print::file(path, text.as_bytes())?;
    }
    let value = whole::value(&job, &climate, &plan)?;
    let view = fill::plan(&job, &climate, &plan, Some(&value));
    let weeks = args.weeks;
    let table = |view: &_, look: &_| {
        let mut text = terminal::plan(view, look);
        if weeks {
            text.push_str(&terminal::weeks(view, look));
        }
        text
    };
    print::view(&view, &args.show, table, |view| view.planting_rows(), out)
}
