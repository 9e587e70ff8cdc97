//! `tune`: the model fitted to a logger, or to the first harvests of the journal.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use crate::file::SiteChoice;
use crate::house::Tuned;
use crate::output::view::PatchFile;
use crate::output::{build, tables, terminal};
use crate::sheet::DateOrder;
use crate::site::{Weathers, epw};
use crate::study::{self, Job, Stamps, TuneQuestion};
use crate::tune::logger::{self, Clock, Options, Record, Wanted};
use chrono::Datelike;

use super::common::{Asked, within};
use super::failure::{Failure, say};
use super::load::{printable, read_weather};
use super::print::Screen;
use super::{journal, print, project};

/// Fits the model to what was measured: the building to a logger, growth to the journal's first harvests
///
/// With --logger it simulates the days of a temperature logger's CSV with the weather of those days and fits air change,
/// heat loss, heavy mass, edge of the floor and store. With --journal it sets first harvests against the model. Either
/// shows what would change and writes it as a patch; no file of yours is changed.
/// Example: bedyear tune greenhouse.toml --logger temps.csv --weather winter.epw --patch tuned.toml
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    asked: Asked,
    #[command(flatten)]
    logger: LoggerArgs,
    /// Set first harvests against the model: the journal beside the project file, or the one named
    #[arg(long, value_name = "FILE.csv", num_args = 0..=1, conflicts_with = "logger", required_unless_present = "logger")]
    journal: Option<Option<PathBuf>>,
    /// Write the patch: a TOML file with --logger, a folder of crop files with --journal
    #[arg(long, value_name = "PATH")]
    patch: Option<PathBuf>,
}

/// How a logger's CSV is read, and what is fitted to it.
#[derive(clap::Args, Clone, Debug)]
struct LoggerArgs {
    /// The logger's CSV
    #[arg(long, value_name = "FILE.csv")]
    logger: Option<PathBuf>,
    #[command(flatten)]
    wanted: Wanted,
    /// What the logger's clock shows: standard (local, without summer time), utc, or a zone such as America/Denver
    #[arg(
        long,
        value_name = "CLOCK",
        default_value = "standard",
        requires = "logger"
    )]
    clock: Clock,
    /// Hours by which the logger's clock is behind; found from the record where not given
    #[arg(long, value_name = "HOURS", allow_hyphen_values = true, value_parser = within(-24.0..=24.0, "a number of hours from -24 to 24"), requires = "logger")]
    clock_shift: Option<f64>,
    /// What the stamp of a row stands for: the begin, the middle or the end of its span; found from the record where not given
    #[arg(long, value_enum, requires = "logger")]
    stamps: Option<Stamps>,
    /// Order of day and month where the file leaves it open
    #[arg(long, value_enum, requires = "logger")]
    dates: Option<Dates>,
    /// Scale of the figures where the heads do not say
    #[arg(long, value_enum, requires = "logger")]
    scale: Option<Scale>,
    /// Factor to leave alone; may be given more than once
    #[arg(long, value_name = "FACTOR", value_parser = Tuned::NAMES, requires = "logger")]
    hold: Vec<String>,
    /// Share of the record, at its end, that is kept out of the fit and judged apart, percent
    #[arg(long, value_name = "PERCENT", default_value_t = 30.0, value_parser = within(0.0..=90.0, "a number from 0 to 90"), requires = "logger")]
    keep_out: f64,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
enum Dates {
    /// 31/12/2027
    DayFirst,
    /// 12/31/2027
    MonthFirst,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
enum Scale {
    /// Celsius
    C,
    /// Fahrenheit
    F,
}

pub fn run(args: &Args) -> Result<(), Failure> {
    let job = project::open(&args.asked.source, args.asked.show.color_stderr())?;
    match &args.logger.logger {
        Some(path) => building(args, &job, path),
        None => growth(args, &job),
    }
}

fn building(args: &Args, job: &Job, path: &Path) -> Result<(), Failure> {
    print::known(&args.asked.more, tables::names::TUNE)?;
    print::try_files(&args.patch)?;
    let record = record(args, job, path)?;
    let own_weather = own_weather(args, job, &record)?;
    let held = |name: &String| Tuned::NAMES.iter().position(|known| known == name);
    let question = TuneQuestion {
        record,
        held: args.logger.hold.iter().filter_map(held).collect(),
        held_out: args.logger.keep_out / 100.0,
        shift_h: args.logger.clock_shift,
        stamps: args.logger.stamps,
        own_weather,
    };
    let started = std::time::Instant::now();
    let study = study::tune(job, &question)?;
    let seconds = started.elapsed().as_secs_f64();
    say(&format!("fitted in {seconds:.1} s"));
    let file = &args.asked.source.file;
    let name = file.file_name().map_or(file.as_path(), Path::new);
    let view = build::tune(job, &question, &study, &printable(name));
    if let Some(patch) = &args.patch {
        print::file(patch, view.patch.text.as_bytes())?;
    }
    let screen = Screen {
        show: args.asked.show.as_in(&job.project),
        more: args.asked.more.clone(),
        names: tables::names::TUNE,
    };
    let words = (terminal::tune, terminal::tune_notes);
    screen.answer(&view, words, &tables::tune(&view))
}

fn record(args: &Args, job: &Job, path: &Path) -> Result<Record, Failure> {
    let given = &args.logger;
    let options = Options {
        wanted: given.wanted.clone(),
        clock: given.clock,
        utc_offset_h: job.site.place.utc_offset_h,
        order: given.dates.map(|dates| match dates {
            Dates::DayFirst => DateOrder::DayFirst,
            Dates::MonthFirst => DateOrder::MonthFirst,
        }),
        fahrenheit: given.scale.map(|scale| scale == Scale::F),
    };
    let shown = printable(path);
    // Only names of columns can hold letters of an old encoding, as in weather files.
    let text = read_weather(path)?;
    let record = logger::read(&shown, &text, &options).map_err(|error| {
        Failure::input(format!("error: {}", printable(error.to_string().as_ref())))
    })?;
    /// Rows named one by one.
    const NAMED: usize = 20;
    for (line, what) in record.bad.iter().take(NAMED) {
        let what = printable(what.as_ref());
        say(&format!("warning: {shown}:{line}: {what}"));
    }
    if record.bad.len() > NAMED {
        let more = record.bad.len() - NAMED;
        say(&format!("warning: {shown}: {more} rows more were left out"));
    }
    Ok(record)
}

/// Is the weather that of the record's own dates?
fn own_weather(args: &Args, job: &Job, record: &Record) -> Result<bool, Failure> {
    let path = match (&args.asked.source.weather, &job.project.site) {
        (Some(path), _) => path.clone(),
        (None, SiteChoice::WeatherFile(path)) => {
            let folder = args.asked.source.file.parent();
            folder.unwrap_or(Path::new("")).join(path)
        }
        _ => return Ok(false),
    };
    let known = epw::years(&read_weather(&path)?);
    let readings = record.readings.iter();
    let needed: BTreeSet<i32> = readings.map(|reading| reading.at.year()).collect();
    if needed.is_subset(&known) {
        return Ok(true);
    }
    let words = |years: &BTreeSet<i32>| {
        let years: Vec<String> = years.iter().map(i32::to_string).collect();
        years.join(", ")
    };
    let (file, known, needed) = (printable(&path), words(&known), words(&needed));
    say(&format!(
        "warning: {file} has hours of {known}, not of {needed} as the logger: its weather is not what the logger saw"
    ));
    // Named on the command line it is what the person wants; the warning stands.
    Ok(args.asked.source.weather.is_some())
}

fn growth(args: &Args, job: &Job) -> Result<(), Failure> {
    if let Some(folder) = &args.patch {
        print::try_folder(folder)?;
    }
    let named = args.journal.as_ref().and_then(|named| named.as_deref());
    let path = journal::path(named, &args.asked.source.file)?;
    let journal = journal::read(&path, &job.project, &job.table)?;
    let climate = study::climate(job, &job.project.house, &Weathers::default())?;
    let crops = study::growth(job, &climate, &journal)?;
    let view = build::growth(job, &crops);
    if let Some(folder) = &args.patch {
        write_all(folder, &view.patches)?;
    }
    print::view(
        &view,
        &args.asked.show.as_in(&job.project),
        terminal::growth,
        |view| view.plantings.clone(),
    )
}

fn write_all(folder: &Path, patches: &[PatchFile]) -> Result<(), Failure> {
    print::folder(folder)?;
    for patch in patches {
        let path = folder.join(&patch.file);
        if path.exists() {
            let shown = printable(&path);
            return Err(Failure::input(format!(
                "error: {shown} is there already; a file of yours is never changed, so name a new folder"
            )));
        }
        print::file(&path, patch.text.as_bytes())?;
    }
    Ok(())
}
