//! `calendar`: the plan's work as a list, CSV or iCalendar.

use std::path::PathBuf;

use crate::output::ical::{self, CalendarStyle};
use crate::output::tables::{self, DataTable};
use crate::output::terminal::{self, Look};
use crate::output::{build, csv_out, tasks};

use super::common::Asked;
use super::failure::Failure;
use super::load::{InputKind, printable, read_earlier};
use super::whole::{self, Passes};
use super::{print, project};

/// The plan's work by date: a week list, CSV for a spreadsheet, iCalendar for a phone
///
/// Example: bedyear calendar greenhouse.toml --csv beds.csv --ical beds.ics
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    asked: Asked,
    #[command(flatten)]
    passes: Passes,
    /// Write the tasks as CSV for a spreadsheet, in the units of the tables
    #[arg(long, value_name = "FILE.csv")]
    csv: Option<PathBuf>,
    /// Write the tasks as iCalendar
    #[arg(long, value_name = "FILE.ics")]
    ical: Option<PathBuf>,
    /// Ring on the day before each task, at this hour
    #[arg(long, value_name = "HOUR", value_parser = hour, allow_hyphen_values = true)]
    remind: Option<u32>,
    /// The calendar that this one replaces: what it no longer needs is taken off the phone
    #[arg(long, value_name = "OLD.ics", requires = "ical")]
    replaces: Option<PathBuf>,
    /// Number of times the plan was made anew: raise it so that a phone takes the new dates
    #[arg(long, value_name = "N", default_value_t = 0)]
    revision: u32,
}

pub fn run(args: &Args) -> Result<(), Failure> {
    let (mut job, screen) = project::asked(&args.asked, tables::names::CALENDAR)?;
    args.passes.search.set_over(&mut job)?;
    print::try_files(args.csv.iter().chain(&args.ical))?;
    let mut earlier = Vec::new();
    if let Some(old) = &args.replaces {
        earlier = ical::read_earlier(&read_earlier(old, InputKind::Calendar)?)
            .map_err(|why| Failure::input(format!("error: {}:{why}", printable(old))))?;
    }
    let (climate, weathers) = whole::climate(&job)?;
    let (climate, plan) = whole::passes(&job, &weathers, climate, &args.passes)?;
    let mut view = build::plan(&job, &climate, &plan);
    view.revision = args.revision;
    let units = print::look(&screen.show).units;
    let mut files = Vec::new();
    if let Some(path) = &args.csv {
        let text = csv_out::table_text(&tasks::sheet(&view, units)).map_err(Failure::work)?;
        files.push((path.clone(), text.into_bytes(), None));
    }
    if let Some(path) = &args.ical {
        let style = CalendarStyle {
            reminder_hour: args.remind,
            units,
        };
        let text = ical::render(&view, &earlier, style);
        files.push((path.clone(), text.into_bytes(), Some(InputKind::Calendar)));
    }
    print::files(&files)?;
    if args.csv.is_some() || args.ical.is_some() {
        return Ok(());
    }
    let tasks: Vec<_> = tasks::tasks(&view)
        .into_iter()
        .map(|task| task.row)
        .collect();
    let tasks = DataTable::of("tasks", &tasks)
        .show("date bed sections crop_name task amount unit")
        .by_name();
    let seeds = tables::plan(&view);
    let seeds = seeds.into_iter().filter(|table| table.name == "seeds");
    let lists: Vec<DataTable> = std::iter::once(tasks).chain(seeds).collect();
    let answer = |_: &_, look: &Look| match args.asked.more.all {
        true => terminal::work_list(&view, look),
        false => terminal::work_soon(&view, look),
    };
    let words = (answer, print::no_notes);
    screen.answer(&view, words, &lists)
}

/// An hour of the clock, `18` or `18:00`.
fn hour(text: &str) -> Result<u32, String> {
    let hour = text.trim().trim_end_matches(":00");
    let hour = hour.parse().ok().filter(|hour| *hour < 24);
    hour.ok_or_else(|| "an hour of the clock from 0 to 23, such as 18".to_owned())
}
