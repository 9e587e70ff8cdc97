//! `climate`: the year inside.

use std::path::{Path, PathBuf};

use crate::file::{Edit, EditError};
use crate::output::terminal;
use crate::output::view::{ClimateHour, YearKind};
use crate::output::{build, csv_out, parquet_out, tables};
use crate::study::measures::without_heater;
use crate::study::{self, Job, WhyStudy};

use super::common::{Asked, Source};
use super::failure::{Failure, say};
use super::load::printable;
use super::{print, project, whole};

/// The year inside, month by month: air, root zone, store, light, heater and fan
///
/// Example: bedyear climate greenhouse.toml --units us
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    asked: Asked,
    /// Show the first year on cold ground in place of the settled year
    #[arg(long)]
    first: bool,
    /// Write every hour of the year shown to a file (.csv or .parquet)
    #[arg(long, value_name = "FILE", value_parser = hourly_file)]
    hourly: Option<PathBuf>,
    /// Which measures would raise the coldest hour most, each simulated; --all adds where the heat comes from and goes
    #[arg(long, conflicts_with_all = ["first", "hourly"])]
    why: bool,
    /// Write the project file behind each measure shown by --why into a folder, to be run again with `bedyear climate`
    #[arg(long, value_name = "FOLDER", requires = "why")]
    save_variant: Option<PathBuf>,
}

/// A file whose ending says how it is written.
fn hourly_file(name: &str) -> Result<PathBuf, String> {
    let path = Some(PathBuf::from(name));
    let path = path.filter(|path| has_ending(path, "parquet") || has_ending(path, "csv"));
    path.ok_or_else(|| "a name that ends in .csv or .parquet belongs there".to_owned())
}

fn has_ending(path: &Path, ending: &str) -> bool {
    path.extension()
        .is_some_and(|found| found.eq_ignore_ascii_case(ending))
}

fn hourly_bytes(path: &Path, rows: &[ClimateHour]) -> Result<Vec<u8>, Failure> {
    if has_ending(path, "parquet") {
        return parquet_out::to_bytes(rows).map_err(Failure::work);
    }
    let text = csv_out::to_string(rows).map_err(Failure::work)?;
    Ok(text.into_bytes())
}

pub fn run(args: &Args) -> Result<(), Failure> {
    let names = match args.why {
        true => tables::names::WHY,
        false => tables::names::CLIMATE,
    };
    let (job, screen) = project::asked(&args.asked, names)?;
    print::try_files(&args.hourly)?;
    if let Some(folder) = &args.save_variant {
        print::try_folder(folder)?;
    }
    if args.why {
        let (studied, weathers) = whole::climate(&job)?;
        let found = study::why(&job, &studied, &weathers)?;
        if let Some(folder) = &args.save_variant {
            save_variants(&args.asked.source, &job, &found, folder)?;
        }
        let view = build::why(&job, &studied, &found);
        let words = (terminal::why, terminal::why_notes);
        return screen.answer(&view, words, &tables::why(&view));
    }
    let kind = match args.first {
        true => YearKind::First,
        false => YearKind::Settled,
    };
    let (view, studied) = whole::climate_shown(&job, kind)?;
    if let Some(path) = &args.hourly {
        let rows = build::hours(&job, &studied, kind);
        print::file(path, &hourly_bytes(path, &rows)?)?;
        let (name, of) = (printable(path), &view.year_shown);
        let beside = match kind {
            YearKind::First => ", on the cold ground of the first year",
            YearKind::Settled if view.weather_years > 0 => "; the months shown are medians of all",
            YearKind::Settled => "",
        };
        say(&format!("{name}: every hour of {of}{beside}"));
    }
    let words = (terminal::climate, terminal::climate_course);
    screen.answer(&view, words, &tables::climate(&view))
}

/// Keys that name a file or folder relative to the project file's folder.
const PATHS: [&str; 4] = [
    "site.weather",
    "folders.crops",
    "folders.climates",
    "money.receipts",
];

/// Writes `as-is.toml` and one file for each measure into a folder, each once more without heater where there is one.
///
/// # Errors
/// [`Failure`] where a file cannot be written. A measure that the file's keys cannot say is named and left out.
fn save_variants(
    source: &Source,
    job: &Job,
    found: &WhyStudy,
    folder: &Path,
) -> Result<(), Failure> {
    print::folder(folder)?;
    let read = project::read(&source.file)?;
    let text = rooted(source, &read)
        .map_err(|error| Failure::work(format!("error: {}: {error}", read.name)))?;
    let own = &job.project.house;
    let measures = found.measures.iter();
    let measures = measures.map(|tried| (tried.name.as_str(), &tried.house));
    let houses = std::iter::once(("as is", own)).chain(measures);
    for (name, house) in houses {
        let unheated = without_heater(house);
        let files = [("", Some(house)), (" unheated", unheated.as_ref())];
        for (ending, house) in files {
            let Some(house) = house else { continue };
            let file = format!("{name}{ending}.toml").replace(' ', "-");
            match study::variant_text(job, &text, house) {
                Ok(text) => print::file(&folder.join(file), text.as_bytes())?,
                Err(error) => say(&format!("not written: {file}: {error}")),
            }
        }
    }
    Ok(())
}

/// The project's text with the paths in it made absolute, and with the weather file of the command line.
fn rooted(source: &Source, read: &project::ProjectText) -> Result<String, EditError> {
    let absolute = |path: &Path| {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        path.to_string_lossy().into_owned()
    };
    let mut edit = Edit::new(&read.text)?;
    for key in PATHS {
        if let Some(named) = edit.said_at(key) {
            edit.set(key, absolute(&read.folder.join(named)))?;
        }
    }
    if let Some(path) = &source.weather {
        edit.take("site.months");
        edit.set("site.weather", absolute(path))?;
    }
    Ok(edit.text())
}
