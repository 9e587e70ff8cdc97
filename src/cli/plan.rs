//! `plan`: successions by bed.

use std::path::{Path, PathBuf};

use crate::output::terminal::{self, Look};
use crate::output::view::{PlanView, ReplanView};
use crate::output::{build, tables};
use crate::study::{self, ClimateStudy, Job, PlanStudy};

use super::common::Asked;
use super::failure::{Failure, say};
use super::load::{folder_of, printable, read_text};
use super::whole::{self, Passes};
use super::{journal, offer, print, project};

/// Successions by bed: sow, set out, first and last harvest, the week's food against the target
///
/// From the journal on, near to a saved plan: bedyear plan greenhouse.toml --from today --journal --agreed plan.toml
/// Example: bedyear plan greenhouse.toml --gap 0.5
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    asked: Asked,
    #[command(flatten)]
    passes: Passes,
    /// Save the plan as a file to read, to change by hand, and to hand to any verb with `--plan`
    #[arg(long, value_name = "PLAN.toml")]
    save: Option<PathBuf>,
    /// Say what a saved plan that was changed by hand does to food, money and rules, in place of a search
    #[arg(long, value_name = "PLAN.toml", conflicts_with_all = ["plan", "save", "second_pass"])]
    check: Option<PathBuf>,
    /// With --from: what stands is what the journal tells (the one beside the project file, or the one named)
    #[arg(long, value_name = "FILE.csv", num_args = 0..=1, requires = "from", conflicts_with_all = ["plan", "check"])]
    journal: Option<Option<PathBuf>>,
    /// With --journal: change as little as possible of this saved plan, and say what changes and why
    #[arg(long, value_name = "PLAN.toml", requires = "journal")]
    agreed: Option<PathBuf>,
    /// Why a bed carries what it carries, or a crop is in the plan or not: the next best instead, tried
    #[arg(long, value_name = "BED OR CROP", conflicts_with_all = ["journal", "check"], value_parser = offer::crops(), hide_possible_values = true)]
    why: Option<String>,
    /// Carry this year over: write the next year's project file, with what then stands in the beds (by the journal beside the
    /// project file as far as it goes, then by the plan), and beside it NEXT.plan.toml, the plan moved on by a year and a bed
    #[arg(long, value_name = "NEXT.toml", conflicts_with_all = ["journal", "check", "why", "save", "second_pass"])]
    next_year: Option<PathBuf>,
    /// Show the food of every week too
    #[arg(long)]
    weeks: bool,
}

pub fn run(args: &Args) -> Result<(), Failure> {
    let (mut job, screen) = project::asked(&args.asked, tables::names::PLAN)?;
    args.passes.search.set_over(&mut job)?;
    print::try_files(args.save.iter().chain(&args.next_year))?;
    if let Some(path) = &args.check {
        job.adopt(&whole::plan_file(path)?);
        return check(args, &job, path);
    }
    let (climate, weathers) = whole::climate(&job)?;
    if let Some(named) = &args.journal {
        return from_journal(args, &job, &climate, named.as_deref());
    }
    let (climate, plan) = whole::passes(&job, &weathers, climate, &args.passes)?;
    save(args, &plan)?;
    if let Some(next) = &args.next_year {
        return next_year(args, &job, &plan, next);
    }
    if let Some(question) = &args.why {
        let why = study::why_planted(&job, &climate, &plan, question)?;
        let view = build::swaps(&plan, question, &why);
        return print::view(
            &view,
            &screen.show,
            |view, look| terminal::swaps(view, args.asked.more.all, look),
            |view| view.swaps.clone(),
        );
    }
    let view = build::plan(&job, &climate, &plan);
    screen.answer(
        &view,
        (|view: &_, look: &_| full(view, args, look), print::no_notes),
        &tables::plan(&view),
    )
}

/// The answer, with what was asked for besides.
fn full(view: &PlanView, args: &Args, look: &Look) -> String {
    let mut text = terminal::plan(view, look);
    if args.weeks {
        text.push_str(&terminal::weeks(view, look));
    }
    if args.asked.more.all {
        text.push_str(&terminal::plan_notes(view, look));
    }
    text
}

fn save(args: &Args, plan: &PlanStudy) -> Result<(), Failure> {
    let Some(path) = &args.save else {
        return Ok(());
    };
    let text = plan.file().to_toml().map_err(Failure::work)?;
    print::plan_file(path, text.as_bytes())
}

/// Ending of the plan file that goes with a project file, after its name.
pub const PLAN_ENDING: &str = "plan.toml";

/// Writes the next year's project file, its plan and, where there is one, its journal.
fn next_year(args: &Args, job: &Job, plan: &PlanStudy, next: &Path) -> Result<(), Failure> {
    let text = project::read(&args.asked.source.file)?;
    if folder_of(next) != text.folder {
        return Err(Failure::input(
            "error: --next-year: name a file in the folder of the project file, so that what it names is found from there",
        ));
    }
    let own = args.asked.source.file.with_extension(journal::ENDING);
    let told = || journal::read(&own, &job.project, &job.table);
    let told = own.exists().then(told).transpose()?;
    let near = next.with_extension(PLAN_ENDING);
    let name = near.file_name().unwrap_or_default().to_string_lossy();
    let found = study::next_year(job, &text.text, plan, told.as_ref(), &name)?;
    let moved = found.plan.to_toml().map_err(Failure::work)?;
    print::file(&near, moved.as_bytes())?;
    if told.is_some() {
        let rows = read_text(&own)?;
        print::file(&next.with_extension(journal::ENDING), rows.as_bytes())?;
    }
    print::file(next, found.project.as_bytes())?;
    let (from, next) = (found.from, printable(next));
    say(&format!("the year from {from} on: bedyear plan {next}"));
    Ok(())
}

fn from_journal(
    args: &Args,
    job: &Job,
    climate: &ClimateStudy,
    named: Option<&Path>,
) -> Result<(), Failure> {
    let show = args.asked.show.as_in(&job.project);
    let path = journal::path(named, &args.asked.source.file)?;
    let journal = journal::read(&path, &job.project, &job.table)?;
    let agreed = args.agreed.as_deref().map(whole::plan_file).transpose()?;
    let found = whole::replan(job, climate, &args.passes.search, &journal, agreed.as_ref())?;
    save(args, &found.plan)?;
    let view = build::replan(job, climate, &found);
    let table = |view: &ReplanView, look: &_| {
        let mut text = terminal::replan(view, look);
        text.push_str(&full(&view.plan, args, look));
        text
    };
    print::view(&view, &show, table, |view| view.changes.clone())
}

fn check(args: &Args, job: &Job, path: &Path) -> Result<(), Failure> {
    let show = args.asked.show.as_in(&job.project);
    let file = whole::plan_file(path)?;
    let (climate, _) = whole::climate(job)?;
    let wrong = |error| whole::plan_file_wrong(path, &error);
    let found = whole::checked(job, &climate, &args.passes.search, &file)?.map_err(wrong)?;
    let view = build::plan_check(job, &found);
    print::view(
        &view,
        &show,
        |view, look| terminal::plan_check(view, args.asked.more.all, look),
        |view| view.changes.clone(),
    )
}
