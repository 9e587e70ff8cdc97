//! `climate`: the year inside.

use std::io::Write;
use std::path::{Path, PathBuf};

use crate::output::terminal;
use crate::output::view::{ClimateHour, YearKind};
use crate::output::{build, csv_out, parquet_out, tables};
use crate::study;

use super::common::Asked;
use super::failure::Failure;
use super::{print, project, variant, whole};

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
    let path = PathBuf::from(name);
    if is_parquet(&path) || has_ending(&path, "csv") {
        Ok(path)
    } else {
        Err("a name that ends in .csv or .parquet belongs there".to_owned())
    }
}

fn is_parquet(path: &Path) -> bool {
    has_ending(path, "parquet")
}

fn has_ending(path: &Path, ending: &str) -> bool {
    path.extension()
        .is_some_and(|found| found.eq_ignore_ascii_case(ending))
}

fn hourly_bytes(path: &Path, rows: &[ClimateHour]) -> Result<Vec<u8>, Failure> {
    if !is_parquet(path) {
        return Ok(csv_out::to_string(rows)
            .map_err(Failure::work)?
            .into_bytes());
    }
    parquet_out::to_bytes(rows).map_err(Failure::work)
}

/// Runs the verb.
pub fn run(args: &Args, out: &mut impl Write) -> Result<(), Failure> {
    let names = if args.why {
        tables::names::WHY
    } else {
        tables::names::CLIMATE
    };
    let (job, show) = project::asked(&args.asked, names)?;
    print::try_files(&args.hourly)?;
    if let Some(folder) = &args.save_variant {
        print::try_folder(folder)?;
    }
    if args.why {
        let (studied, weathers) = whole::climate(&job)?;
        let found = study::why(&job, &studied, &weathers)?;
        if let Some(folder) = &args.save_variant {
            variant::save(&args.asked.source, &job, &found, folder)?;
        }
        let view = build::why(&job, &studied, &found);
        return print::answer(
            &view,
            (&show, &args.asked.more),
            (terminal::why, terminal::why_notes),
            &tables::why(&view),
            names,
            out,
        );
    }
    let kind = if args.first {
        YearKind::First
    } else {
        YearKind::Settled
    };
    let (view, studied) = whole::climate_shown(&job, kind)?;
    if let Some(path) = &args.hourly {
        let rows = build::hours(&job, &studied, kind);
        print::file(path, &hourly_bytes(path, &rows)?)?;
    }
    print::answer(
        &view,
        (&show, &args.asked.more),
        (terminal::climate, terminal::climate_course),
        &tables::climate(&view),
        names,
        out,
    )
}
