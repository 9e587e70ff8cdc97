//! `overview`: the whole job on one screen.

use std::path::PathBuf;

use crate::output::terminal;

use super::common::{Show, Source};
use super::failure::Failure;
use super::whole::{self, Passes};
use super::{print, project};

/// The answers on one screen: food by month, shortfalls, what to sow, warm crops, money, risks, the coldest night
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
    passes: Passes,
    /// The answers of climate, season, plan and value below it
    #[arg(long)]
    all: bool,
}

pub fn run(args: &Args) -> Result<(), Failure> {
    args.show.people_only("overview")?;
    let source = Source {
        file: args.file.clone(),
        weather: args.weather.clone(),
        ..Source::default()
    };
    let mut job = project::open(&source, args.show.color_stderr())?;
    let show = args.show.as_in(&job.project);
    args.passes.search.set_over(&mut job)?;
    let look = print::look(&show);
    let view = whole::report_view(&job, &args.passes)?;
    let mut answers = vec![terminal::overview(&view, &look)];
    if args.all {
        answers.push(terminal::climate(&view.climate, &look));
        answers.push(terminal::season(&view.season, &look));
        answers.push(terminal::plan(&view.plan, &look));
        answers.push(terminal::value(&view.value, &look));
    }
    print::text(answers.join("\n"))
}
