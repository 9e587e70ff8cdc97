//! `report`: everything on one page to print or pin up.

use std::path::PathBuf;

use crate::output::html;

use super::common::{Show, Source};
use super::failure::Failure;
use super::whole::{self, Passes};
use super::{print, project};

/// One self-contained HTML page: climate, crops, beds, food, money, work list, sources, cautions
///
/// Example: bedyear report greenhouse.toml -o report.html
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    source: Source,
    #[command(flatten)]
    show: Show,
    /// Open what is folded, so that it is printed too: climate, crops against months, prices, sources, assumptions
    #[arg(long)]
    full: bool,
    #[command(flatten)]
    passes: Passes,
    /// File to write; printed where none is named
    #[arg(short, long, value_name = "FILE.html")]
    output: Option<PathBuf>,
}

pub fn run(args: &Args) -> Result<(), Failure> {
    args.show.people_only("report")?;
    let mut job = project::open(&args.source, args.show.color_stderr())?;
    let show = args.show.as_in(&job.project);
    args.passes.search.set_over(&mut job)?;
    print::try_files(&args.output)?;
    let view = whole::report_view(&job, &args.passes)?;
    let page = html::render(&view, print::look(&show).units, args.full);
    match &args.output {
        Some(path) => print::file(path, page.as_bytes()),
        None => print::text(page),
    }
}
