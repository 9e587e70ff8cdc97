//! `review`: the plan against the journal.

use std::path::PathBuf;

use crate::output::{build, tables, terminal};
use crate::study;
use chrono::NaiveDate;

use super::common::{Asked, day_or_today};
use super::failure::Failure;
use super::load::printable;
use super::whole::{self, Search};
use super::{journal, project};

/// The plan against the journal: kg by bed, crop and month, money saved, what is ready, late or lost, two weeks' work
///
/// The plan is the saved one (--plan), or made anew. Without --at the review is made on the journal's last day.
/// Example: bedyear review greenhouse.toml --plan plan.toml --at today
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    asked: Asked,
    #[command(flatten)]
    search: Search,
    /// Day of the review: YYYY-MM-DD, or `today` by this machine's clock; the journal's last day where not given
    #[arg(long, value_name = "DAY", value_parser = day_or_today)]
    at: Option<NaiveDate>,
    /// Journal, in place of the one beside the project file
    #[arg(long, value_name = "FILE.csv")]
    journal: Option<PathBuf>,
}

pub fn run(args: &Args) -> Result<(), Failure> {
    let (mut job, screen) = project::asked(&args.asked, tables::names::REVIEW)?;
    args.search.set_over(&mut job)?;
    let path = journal::path(args.journal.as_deref(), &args.asked.source.file)?;
    let journal = journal::read(&path, &job.project, &job.table)?;
    let last = journal.span().map(|(_, last)| last);
    let at = args.at.or(last).ok_or_else(|| {
        Failure::input("error: the journal has no row that can be used; say on which day with --at")
    })?;
    let (climate, _) = whole::climate(&job)?;
    let plan = whole::plan(&job, &climate, &args.search)?;
    let reviewed = study::review(&job, &climate, &plan, &journal, at)?;
    let mut view = build::review(&job, &plan, &journal, &reviewed);
    view.plan = args
        .search
        .plan
        .as_deref()
        .map(printable)
        .unwrap_or_default();
    let words = (terminal::review, terminal::review_notes);
    screen.answer(&view, words, &tables::review(&view))
}
