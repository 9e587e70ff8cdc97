//! `log`: one row into the journal.

use std::io::{ErrorKind, Write};
use std::path::PathBuf;

use crate::journal::{Addition, Draft, Entry, Known, addition};
use crate::output::{build, terminal, write};
use chrono::NaiveDate;

use super::common::{Show, Source, day_or_today};
use super::failure::Failure;
use super::load::{WRITTEN_MAX, printable};
use super::{journal, print, project};

/// Adds one row to the journal: sown, transplanted, harvested, lost, cleared, bought, note
///
/// The journal is a plain CSV file beside the project file (NAME.journal.csv), made with the first row; it may be kept
/// by hand or in a spreadsheet as well. What stands in it is never written again. A row that is there already is not
/// added twice, so a command that was interrupted may be given again.
/// Example: bedyear log greenhouse.toml harvested --date today --bed "north 1" --crop spinach --amount "1.2 kg"
#[derive(clap::Args)]
pub struct Args {
    /// Project file (TOML)
    file: PathBuf,
    /// sown, transplanted, harvested, lost, cleared, bought or note
    event: String,
    /// Day: YYYY-MM-DD, or `today` by this machine's clock
    #[arg(long, value_name = "DAY", value_parser = day_or_today)]
    date: NaiveDate,
    /// Bed, by its name in the project file
    #[arg(long, value_name = "BED", default_value = "")]
    bed: String,
    /// Crop, by its identifier or name
    #[arg(long, value_name = "CROP", default_value = "")]
    crop: String,
    /// How much, with its unit: kg or lb picked, m2 or ft2 sown or lost, money paid
    #[arg(
        long,
        value_name = "AMOUNT",
        default_value = "",
        allow_hyphen_values = true
    )]
    amount: String,
    /// Cause of a loss, what was bought, anything else
    #[arg(
        long,
        value_name = "TEXT",
        default_value = "",
        allow_hyphen_values = true
    )]
    note: String,
    /// Add the row although the very same one is there: it happened twice
    #[arg(long)]
    again: bool,
    /// Journal, in place of the one beside the project file
    #[arg(long, value_name = "FILE.csv")]
    journal: Option<PathBuf>,
    #[command(flatten)]
    show: Show,
}

/// Runs the verb.
///
/// # Errors
/// [`Failure`] for a row that the project cannot take, or a journal that cannot be written.
pub fn run(args: &Args, out: &mut impl Write) -> Result<(), Failure> {
    let text = project::read(&args.file)?;
    let source = Source {
        file: args.file.clone(),
        weather: None,
        weather_years: None,
        seed: None,
    };
    let project = project::parse(&source, &text, args.show.color_stderr())?;
    let table = project::crops(&project, &text.folder)?;
    let path = journal::path(args.journal.as_deref(), &args.file)?;
    let (entry, line, added) = journal::with_known(&project, &table, |known| {
        let entry = draft(args, project.in_feet)
            .check(known, None, false)
            .map_err(|wrong| {
                Failure::input(format!("error: {}: {}", option(wrong.column), wrong.what))
            })?;
        let (line, added) = append(&path, &entry, known, args.again)?;
        Ok::<_, Failure>((entry, line, added))
    })?;
    let currency = project.household.budget.currency.code();
    let view = build::log(&printable(&path), &entry, line, added, currency);
    print::view(
        &view,
        &args.show.as_in(&project),
        terminal::log,
        |view| vec![view.row.clone()],
        out,
    )
}

/// The row as it was given; an amount without a unit is in the units of the project file.
fn draft(args: &Args, in_feet: bool) -> Draft {
    let bare = args.amount.trim().parse::<f64>().is_ok();
    let unit = match args.event.trim().to_lowercase().as_str() {
        "harvested" if bare && in_feet => "lb",
        "sown" | "transplanted" | "lost" | "cleared" if bare && in_feet => "ft2",
        _ => "",
    };
    Draft {
        date: args.date.to_string(),
        event: args.event.clone(),
        bed: args.bed.clone(),
        crop: args.crop.clone(),
        amount: args.amount.clone(),
        unit: unit.to_owned(),
        note: args.note.clone(),
    }
}

/// How a column is given on the command line.
fn option(column: &str) -> String {
    match column {
        "event" => "event".to_owned(),
        "unit" => "--amount".to_owned(),
        column => format!("--{column}"),
    }
}

/// The line of the row, and whether it was added.
fn append(
    path: &std::path::Path,
    entry: &Entry,
    known: &Known<'_>,
    again: bool,
) -> Result<(usize, bool), Failure> {
    let shown = printable(path);
    let mut placed = (0, false);
    let decide = |held: &[u8]| {
        let wrong = |what: String| Failure::input(format!("error: {shown}: {what}"));
        let text = crate::file::text_of(&shown, held)
            .map_err(|error| Failure::input(format!("error: {error}")))?;
        match addition(text, entry, known, again).map_err(wrong)? {
            Addition::Append { bytes, line } => {
                placed = (line, true);
                Ok::<_, Failure>(bytes)
            }
            Addition::Present { line } => {
                placed = (line, false);
                Ok(Vec::new())
            }
        }
    };
    if path.is_dir() {
        return Err(Failure::input(format!(
            "error: {shown} is a folder, not a file"
        )));
    }
    if path.exists() && !path.is_file() {
        return Err(Failure::input(format!(
            "error: {shown} is a device or a pipe, not a file that can be read again"
        )));
    }
    write::append(path, WRITTEN_MAX, decide).map_err(|error| match error.kind() {
        ErrorKind::FileTooLarge => Failure::input(format!(
            "error: {shown}: is too large for a journal; begin a new one"
        )),
        _ => Failure::work(format!(
            "error: {shown} was not written: {}",
            print::reason(&error)
        )),
    })??;
    Ok(placed)
}
