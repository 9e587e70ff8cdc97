//! `check`: what was understood of a project file.

use crate::output::{build, tables, terminal};

use super::common::Asked;
use super::failure::Failure;
use super::project;

/// What was understood of a project file: areas, losses, air change, light, assumed defaults, warnings
///
/// Example: bedyear check greenhouse.toml
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    asked: Asked,
}

pub fn run(args: &Args) -> Result<(), Failure> {
    let (job, screen) = project::asked(&args.asked, tables::names::CHECK)?;
    let view = build::check(&job.project, &job.site);
    let words = (terminal::check, terminal::check_notes);
    screen.answer(&view, words, &tables::check(&view))
}
