//! `check`: what was understood of a project file.

use std::io::Write;

use crate::output::terminal;
use crate::output::{build, tables};

use super::common::Asked;
use super::failure::Failure;
use super::{print, project};

/// What was understood of a project file: areas, losses, air change, light, assumed defaults, warnings
///
/// Example: bedyear check greenhouse.toml
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    asked: Asked,
}

/// Runs the verb.
pub fn run(args: &Args, out: &mut impl Write) -> Result<(), Failure> {
    let (job, show) = project::asked(&args.asked, tables::names::CHECK)?;
    let view = build::check(&job.project, &job.site);
    print::answer(
        &view,
        (&show, &args.asked.more),
        (terminal::check, terminal::check_notes),
        &tables::check(&view),
        tables::names::CHECK,
        out,
    )
}
