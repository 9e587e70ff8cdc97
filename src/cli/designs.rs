//! `designs`: the folder of a sweep read back.

use std::fs::File;
use std::path::{Path, PathBuf};

use crate::output::frame::{AskError, Question, ask, columns, gather, usual};
use crate::output::{csv_out, json, parquet_out, terminal};

use super::common::{Format, Show};
use super::failure::{Failure, say};
use super::load::{of_file, printable, read_text};
use super::{print, sweep};
use crate::study::sweep::Parts;

/// The designs of a sweep: which of them, grouped by what, what of them, sorted how
///
/// Columns are those of the sweep's Parquet files: one for each key that varies, and the figures that `bedyear columns` lists as
/// `designs`. Lengths and the like compare in any unit.
///
/// Example: bedyear designs designs --where "air_min_c > 0" --by site.place --show "count, median heater_kwh, p10 air_min_c" --top 10
#[derive(clap::Args)]
pub struct Args {
    /// Folder that `bedyear sweep` has filled
    folder: PathBuf,
    /// Conditions joined by `and`, such as "air.infiltration < 0.5 and heater_kwh < 1000"
    #[arg(long = "where", value_name = "CONDITIONS")]
    conditions: Option<String>,
    /// Columns to group by, parted by commas
    #[arg(long, value_name = "COLUMNS")]
    by: Option<String>,
    /// What to show, parted by commas: columns; or of all or of each group count, mean X, median X, min X, max X, p10 X,
    /// share X > 8; on the terminal without it what varies and a few figures, in CSV and JSON all
    #[arg(long, value_name = "LIST")]
    show: Option<String>,
    /// Column of the answer to sort by, falling with a hyphen before it
    #[arg(long, value_name = "COLUMN", allow_hyphen_values = true)]
    sort: Option<String>,
    /// Rows at most
    #[arg(long, value_name = "N")]
    top: Option<usize>,
    /// Write the answer as a Parquet file too
    #[arg(short, long, value_name = "FILE.parquet")]
    output: Option<PathBuf>,
    /// How far the sweep has come, and nothing else
    #[arg(long, conflicts_with_all = ["conditions", "by", "show", "sort", "top", "output"])]
    progress: bool,
    #[command(flatten)]
    format: Show,
}

/// # Errors
/// [`Failure`] for a folder without parts, a question that is not understood, or output that cannot be written.
pub fn run(args: &Args) -> Result<(), Failure> {
    let parts = parts_of(&args.folder)?;
    if args.progress {
        return progress(&args.folder, parts.len());
    }
    let Some(first) = parts.first() else {
        let folder = printable(&args.folder);
        let wrong = format!("error: {folder} holds no parts of a sweep");
        return Err(Failure::input(wrong));
    };
    let known = open(first).and_then(|file| Ok(columns(file)?))?;
    let seen = matches!(args.format.format, Format::Table) && args.output.is_none();
    let usual = (seen && args.by.is_none()).then(|| usual(&known, args.sort.as_deref()));
    let question = Question::parse(
        args.conditions.as_deref(),
        args.by.as_deref(),
        args.show.as_deref().or(usual.as_deref()),
        args.sort.as_deref(),
        args.top,
    )?;
    let needed = question.needs(&known)?;
    let frame =
        gather(parts.len(), &needed, |part| open(&parts[part])).and_then(|frame| Ok(frame?))?;
    let answer = ask(&question, &frame)?;
    if let Some(path) = &args.output {
        let bytes = parquet_out::table_bytes(&answer, None).map_err(Failure::work)?;
        print::file(path, &bytes)?;
    }
    let look = print::look(&args.format);
    let text = match args.format.format {
        Format::Table if args.show.is_none() && args.by.is_none() => {
            terminal::designs(&answer, &look)
        }
        Format::Table => terminal::draw(&answer, &look),
        Format::Csv => csv_out::table_text(&answer).map_err(Failure::work)?,
        Format::Json => json::table_text(&answer).map_err(Failure::work)?,
    };
    print::text(text)
}

impl From<AskError> for Failure {
    fn from(error: AskError) -> Self {
        let message = format!("error: {error}");
        match error {
            AskError::Unknown { .. }
            | AskError::Words(_)
            | AskError::Open(_)
            | AskError::Parquet(_) => Failure::input(message),
            AskError::Engine(_) => Failure::work(message),
        }
    }
}

fn open(path: &Path) -> Result<File, AskError> {
    File::open(path).map_err(|error| AskError::Open(format!("{}: {error}", printable(path))))
}

/// The parts of a folder, in order.
fn parts_of(folder: &Path) -> Result<Vec<PathBuf>, Failure> {
    let wrong = |error: std::io::Error| Failure::input(of_file(folder, error));
    let mut parts = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(wrong)? {
        let path = entry.map_err(wrong)?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        if name.starts_with("part-") && name.ends_with(".parquet") {
            parts.push(path);
        }
    }
    parts.sort();
    Ok(parts)
}

fn progress(folder: &Path, done: usize) -> Result<(), Failure> {
    let path = folder.join(sweep::MANIFEST);
    let text = read_text(&path)?;
    let parts = Parts::listed(&text)
        .map_err(|problem| Failure::input(format!("error: {}:{problem}", printable(&path))))?;
    let (files, of) = (parts.count(), parts.designs);
    let designs = (done * parts.size).min(of);
    print::text(format!(
        "{done} of {files} files, {designs} of {of} designs\n"
    ))?;
    if done < parts.count() {
        say("the sweep goes on where it stopped when its command is given again");
    }
    Ok(())
}
