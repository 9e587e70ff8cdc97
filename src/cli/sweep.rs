//! `sweep`: many designs at once, in parts that can be spread over machines.

use std::fmt::Display;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::time::Instant;

use crate::crops::Table;
use crate::output::{build, parquet_out};
use crate::study;
use crate::study::sweep::{Axis, Grounds, Manifest, Parts, Shard, Sweep, SweepError, SweepFiles};

use super::failure::{Failure, say};
use super::load::{of_file, printable, read_text, read_weather};
use super::project::ProjectText;
use super::{print, project, whole};

/// Every combination of some keys' values, each simulated: coldest hour, light, heater and fan of thousands of designs
///
/// Writes a folder of Parquet files, `part-00000.parquet` and so on, which data engines read as one table. A sweep that
/// was broken off goes on where it stopped; shards that run apart, on one machine or many, may share the folder.
///
/// `bedyear designs` reads the folder back: filters, groups, quantiles.
///
/// Example: bedyear sweep greenhouse.toml --vary building.length=6..12/4m --vary site.place=helena,boston -o designs
#[derive(clap::Args)]
pub struct Args {
    /// Project file (TOML) that the designs start from; `example` is the built-in one
    file: PathBuf,
    /// A key of the file and its values: KEY=VALUE,VALUE or KEY=FROM..TO/COUNT with a unit, or KEY=@FILE with one value a
    /// line; may be given many times
    #[arg(long, value_name = "KEY=VALUES", required = true)]
    vary: Vec<String>,
    /// Take only this share of the designs, such as 2/4; `auto` asks the scheduler's variables (Slurm arrays, Kubernetes
    /// indexed jobs), `auto/4` for the number alone
    #[arg(long, value_name = "I/N", default_value = "1/1")]
    shard: String,
    /// Crops whose growth is told too, parted by commas: months that warm ones stay in, last sowing of winter ones
    #[arg(long, value_name = "CROPS", value_delimiter = ',')]
    crops: Vec<String>,
    /// Plan the beds of each design too: plantings, kg, months, what the food replaces, what is left
    #[arg(long)]
    plan: bool,
    /// Say how many designs, years, minutes and bytes it would be, from one design tried; write nothing
    #[arg(long)]
    dry_run: bool,
    /// Folder of the Parquet files; made if it is not there
    #[arg(
        short,
        long,
        value_name = "FOLDER",
        required_unless_present = "dry_run"
    )]
    output: Option<PathBuf>,
    /// Designs in one file
    #[arg(long, value_name = "N", default_value_t = 500, value_parser = clap::value_parser!(u32).range(1..=1_000_000))]
    part: u32,
    /// Weather years for each design, in place of the project's number; 0 for the usual year alone
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(0..=1000))]
    weather_years: Option<u16>,
}

/// Name of the file that says what a folder was made from; data engines pass over names that begin so.
pub const MANIFEST: &str = "_sweep.toml";

/// # Errors
/// [`Failure`] for files or keys that cannot be used, a folder of another sweep, or output that cannot be written.
pub fn run(args: &Args) -> Result<(), Failure> {
    let text = project::read(&args.file)?;
    let sweep = sweep_of(args, &text)?;
    let files = side_files(&sweep, &text)?;
    let parts = Parts {
        designs: sweep.count,
        size: usize::try_from(args.part).unwrap_or(usize::MAX),
    };
    let shard = Shard::told(&args.shard, |name| std::env::var(name).ok())
        .map_err(|error| Failure::input(format!("error: --shard: {error}")))?;
    match &args.output {
        Some(folder) if !args.dry_run => {
            claim(folder, &Manifest::of(&sweep, parts, &files))?;
            write_parts(folder, &sweep, &files, parts, shard)
        }
        _ => dry_run(&sweep, &files, parts, shard),
    }
}

fn sweep_of(args: &Args, text: &ProjectText) -> Result<Sweep, Failure> {
    let wrong = |error: SweepError| Failure::input(format!("error: {}: {error}", text.name));
    let axes: Result<Vec<Axis>, Failure> = args.vary.iter().map(|text| axis(text)).collect();
    let axes = axes?;
    let table = Table::builtin().map_err(failed)?;
    let asked = args.crops.iter().map(|name| printable(name.as_ref()));
    let crops = study::crops_named(&table, &asked.collect::<Vec<_>>())?;
    let mut sweep = Sweep::new(&text.text, axes).map_err(wrong)?;
    sweep.weather_years = args.weather_years.map(usize::from);
    sweep.crops = crops;
    sweep.plans = args.plan;
    Ok(sweep)
}

fn failed(error: impl Display) -> Failure {
    Failure::work(format!("error: {error}"))
}

/// An axis; its values may stand in a file, one a line, since names of places have commas in them.
fn axis(text: &str) -> Result<Axis, Failure> {
    let Some((key, file)) = text.split_once("=@") else {
        return Axis::parse(text).map_err(|error| Failure::input(format!("error: --vary {error}")));
    };
    let lines = read_text(Path::new(file))?;
    let mut values: Vec<String> = lines.lines().map(|line| line.trim().to_owned()).collect();
    values.retain(|line| !line.is_empty() && !line.starts_with('#'));
    if values.is_empty() {
        let wrong = format!("error: --vary {key}: {file} has no values");
        return Err(Failure::input(wrong));
    }
    Ok(Axis {
        key: key.trim().to_owned(),
        values,
    })
}

/// What a sweep would take, from its first design that can be built.
fn dry_run(sweep: &Sweep, files: &SweepFiles, parts: Parts, shard: Shard) -> Result<(), Failure> {
    let own = parts.of_shard(shard);
    let mine: usize = own.map(|part| parts.designs_of(part).len()).sum();
    // A sweep keeps all cores busy; one design alone does not, so it is timed on one.
    let one_core = rayon::ThreadPoolBuilder::new().num_threads(1).build();
    let one_core = one_core.map_err(failed)?;
    let mut grounds = Grounds::default();
    let tried = (0..sweep.count.min(parts.size)).find_map(|design| {
        let started = Instant::now();
        let rows = one_core.install(|| grounds.run(sweep, design..design + 1, files));
        let row = rows.into_iter().next()?;
        let years = row.found.as_ref().ok()?.years_simulated;
        Some((row, years, started.elapsed().as_secs_f64()))
    });
    let (row, years, seconds) =
        tried.ok_or_else(|| failed("none of the first designs can be built"))?;
    let part = vec![row; parts.size.min(parts.designs)];
    let table = build::sweep(sweep, &part);
    let bytes = parquet_out::table_bytes(&table, None).map_err(Failure::work)?;
    let cores = rayon::current_num_threads();
    let seconds = (mine as f64 * seconds / cores as f64).ceil();
    let time = match seconds {
        ..120.0 => format!("{seconds:.0} seconds"),
        ..7200.0 => format!("{:.0} minutes", seconds / 60.0),
        _ => format!("{:.1} hours", seconds / 3600.0),
    };
    let count = parts.of_shard(shard).count();
    let kb = (count * bytes.len()) as f64 / 1e3;
    let size = match kb {
        ..1000.0 => format!("{kb:.0} kB"),
        _ => format!("{:.1} MB", kb / 1e3),
    };
    let (of, years) = (parts.designs, mine * years);
    say(&format!(
        "{mine} designs of {of} in {count} files, {years} years to simulate, about {time} on {cores} cores, {size}"
    ));
    Ok(())
}

fn side_files(sweep: &Sweep, text: &ProjectText) -> Result<SweepFiles, Failure> {
    let wrong = |error| Failure::input(format!("error: {}: {error}", text.name));
    let any = sweep.any_project().map_err(wrong)?;
    let mut files = SweepFiles {
        side: project::side_files(None, &any, &text.folder)?,
        ..SweepFiles::default()
    };
    for name in sweep.weather_files(&any) {
        let weather = read_weather(&text.folder.join(&name))?;
        files.weather.insert(name, weather);
    }
    Ok(files)
}

/// Makes the folder this sweep's, or finds that it is.
fn claim(folder: &Path, manifest: &Manifest) -> Result<(), Failure> {
    print::folder(folder)?;
    let path = folder.join(MANIFEST);
    let text = manifest.text().map_err(Failure::work)?;
    match std::fs::read_to_string(&path) {
        Ok(found) if found == text => Ok(()),
        Ok(_) => Err(Failure::input(format!(
            "error: {} holds parts of another sweep; name another folder, or clear this one",
            printable(folder)
        ))),
        Err(error) if error.kind() == ErrorKind::NotFound => print::file(&path, text.as_bytes()),
        Err(error) => Err(Failure::work(of_file(&path, error))),
    }
}

/// Is a part there, with the mark that ends a Parquet file? One of no bytes, or cut short, is made anew.
fn is_whole(path: &Path) -> bool {
    std::fs::read(path).is_ok_and(|bytes| bytes.starts_with(b"PAR1") && bytes.ends_with(b"PAR1"))
}

fn write_parts(
    folder: &Path,
    sweep: &Sweep,
    files: &SweepFiles,
    parts: Parts,
    shard: Shard,
) -> Result<(), Failure> {
    let started = Instant::now();
    let bar = whole::bar("sweeping {bar:30} {pos} of {len} files");
    let mut grounds = Grounds::default();
    let (mut designs, mut broken, mut years) = (0, 0, 0);
    let mut first_problem = None;
    let mine: Vec<usize> = parts.of_shard(shard).collect();
    bar.set_length(mine.len() as u64);
    for part in mine {
        let path = folder.join(format!("part-{part:05}.parquet"));
        if !is_whole(&path) {
            let rows = grounds.run(sweep, parts.designs_of(part), files);
            let table = build::sweep(sweep, &rows);
            let bytes = parquet_out::table_bytes(&table, None).map_err(Failure::work)?;
            print::file_unsaid(&path, &bytes)?;
            designs += rows.len();
            for row in rows {
                match row.found {
                    Ok(year) => years += year.years_simulated,
                    Err(problem) => {
                        broken += 1;
                        first_problem.get_or_insert(problem);
                    }
                }
            }
        }
        bar.inc(1);
    }
    bar.finish_and_clear();
    let (of, seconds) = (parts.designs, started.elapsed().as_secs_f64());
    say(&format!(
        "{designs} designs of {of}, {years} years simulated, {seconds:.1} s"
    ));
    if let Some(problem) = first_problem {
        say(&format!(
            "warning: {broken} of them cannot be built (column `problem` says why); the first: {problem}"
        ));
    }
    Ok(())
}
