//! `log`: one row into the journal.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use crate::journal::{Addition, Draft, Entry, Event, Known, Undone, addition, undone};
use crate::output::{build, terminal, write};
use chrono::NaiveDate;

use super::common::{Show, Source, day_or_today};
use super::failure::Failure;
use super::load::{WRITTEN_MAX, of_file, printable, read_text};
use super::{journal, offer, print, project};

/// Adds one row to the journal: sown, transplanted, harvested, lost, cleared, bought, note
///
/// The journal is a plain CSV file beside the project file (NAME.journal.csv), made with the first row; it may be kept
/// by hand or in a spreadsheet as well. What stands in it is never written again. A row that is there already is not
/// added twice, so a command that was interrupted may be given again; `--undo` takes the last row back.
/// Example: bedyear log greenhouse.toml harvested --date today --bed "north 1" --crop spinach --amount "1.2 kg"
#[derive(clap::Args)]
pub struct Args {
    /// Project file (TOML)
    file: PathBuf,
    /// sown, transplanted, harvested, lost, cleared, bought or note
    #[arg(required_unless_present = "undo", value_parser = offer::events(), hide_possible_values = true)]
    event: Option<String>,
    /// Day: YYYY-MM-DD, or `today` by this machine's clock
    #[arg(long, value_name = "DAY", value_parser = day_or_today, required_unless_present = "undo")]
    date: Option<NaiveDate>,
    /// Bed, by its name in the project file
    #[arg(long, value_name = "BED", default_value = "")]
    bed: String,
    /// Crop, by its identifier or name
    #[arg(long, value_name = "CROP", default_value = "", value_parser = offer::crops(), hide_possible_values = true)]
    crop: String,
    /// With `bought`: the food that was bought in a shop, by its name; what is paid without one is for the garden
    #[arg(long, value_name = "FOOD", conflicts_with = "crop", value_parser = offer::crops(), hide_possible_values = true)]
    food: Option<String>,
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
    /// Take the last row of the journal back; what the journal held is kept beside it
    #[arg(long, conflicts_with_all = ["event", "date", "bed", "crop", "food", "amount", "note", "again"])]
    undo: bool,
    /// Journal, in place of the one beside the project file
    #[arg(long, value_name = "FILE.csv")]
    journal: Option<PathBuf>,
    #[command(flatten)]
    show: Show,
}

/// # Errors
/// [`Failure`] for a row that the project cannot take, or a journal that cannot be written.
pub fn run(args: &Args) -> Result<(), Failure> {
    let text = project::read(&args.file)?;
    let source = Source {
        file: args.file.clone(),
        ..Source::default()
    };
    let project = project::parse(&source, &text, args.show.color_stderr())?;
    let table = project::crops(&project, &text.folder)?;
    let path = journal::path(args.journal.as_deref(), &args.file)?;
    let currency = project.shopping.currency.code();
    let show = args.show.as_in(&project);
    let shown = printable(&path);
    let view = journal::with_known(&project, &table, |known| {
        let (Some(event), Some(date)) = (&args.event, args.date) else {
            let undone = take_back(&path, known)?;
            return Ok(build::taken_back(&shown, &undone, currency));
        };
        let draft = draft(args, (event, date), project.in_feet)?;
        let entry = draft.check(known, None, false).map_err(|wrong| {
            let option = option(args, wrong.column);
            Failure::input(format!("error: {option}: {}", wrong.what))
        })?;
        let (line, added) = append(&path, &entry, known, args.again)?;
        Ok::<_, Failure>(build::log(&shown, &entry, line, added, currency))
    })?;
    print::view(&view, &show, terminal::log, |view| vec![view.row.clone()])
}

/// The row as it was given; an amount without a unit is in the units of the project file.
fn draft(args: &Args, (event, date): (&str, NaiveDate), in_feet: bool) -> Result<Draft, Failure> {
    let said = Event::said(event);
    let bought = said == Some(Event::Bought);
    if args.food.is_some() && !bought {
        return Err(Failure::input(
            "error: --food: it goes with `bought`; what grows here is named by --crop",
        ));
    }
    if bought && !args.crop.is_empty() {
        return Err(Failure::input(
            "error: --crop: seed or plants for the garden are told of in --note, food from a shop by --food",
        ));
    }
    let bare = args.amount.trim().parse::<f64>().is_ok();
    let unit = match said {
        Some(Event::Harvested) if bare && in_feet => "lb",
        None | Some(Event::Bought | Event::Note) => "",
        Some(_) if bare && in_feet => "ft2",
        Some(_) => "",
    };
    Ok(Draft {
        date: date.to_string(),
        event: event.to_owned(),
        bed: args.bed.clone(),
        crop: args.food.clone().unwrap_or_else(|| args.crop.clone()),
        amount: args.amount.clone(),
        unit: unit.to_owned(),
        note: args.note.clone(),
    })
}

/// Takes the last row of a journal back; what it held is kept beside it.
fn take_back(path: &Path, known: &Known<'_>) -> Result<Undone, Failure> {
    let text = read_text(path)?;
    let undone = undone(&text, known)
        .map_err(|why| Failure::input(format!("error: {}:{why}", printable(path))))?;
    print::keep_former(path, undone.text.as_bytes())?;
    print::file_unsaid(path, undone.text.as_bytes())?;
    Ok(undone)
}

/// How a column is given on the command line.
fn option(args: &Args, column: &str) -> String {
    match column {
        "crop" if args.food.is_some() => "--food".to_owned(),
        "event" => "event".to_owned(),
        "unit" => "--amount".to_owned(),
        column => format!("--{column}"),
    }
}

/// The line of the row, and whether it was added.
fn append(
    path: &Path,
    entry: &Entry,
    known: &Known<'_>,
    again: bool,
) -> Result<(usize, bool), Failure> {
    let shown = printable(path);
    let mut placed = (0, false);
    let decide = |held: &[u8]| {
        let wrong = |what: String| Failure::input(of_file(path, what));
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
    let is_no_file = path.exists() && !path.is_file();
    let what = match path.is_dir() {
        true => "a folder, not a file",
        false => "a device or a pipe, not a file that can be read again",
    };
    if is_no_file {
        return Err(Failure::input(format!("error: {shown} is {what}")));
    }
    write::append(path, WRITTEN_MAX, decide).map_err(|error| match error.kind() {
        ErrorKind::FileTooLarge => {
            let wrong = "is too large for a journal; begin a new one";
            Failure::input(of_file(path, wrong))
        }
        _ => print::not_written(path, &error),
    })??;
    Ok(placed)
}
