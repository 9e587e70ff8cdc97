//! `compare`: buildings and variants side by side.

use std::path::{Path, PathBuf};

use crate::file::quantity::{self, Dimension};
use crate::output::build::ComparedVariant;
use crate::output::{build, tables, terminal};
use crate::study::{self, Job, Variant};

use super::common::{More, Show, Source};
use super::failure::Failure;
use super::load::printable;
use super::print::Screen;
use super::whole::{self, Search};
use super::{print, project};

/// Two or more buildings, or one and what it could be, side by side: cold, light, energy, months in for warm crops
///
/// Example: bedyear compare greenhouse.toml --vary
#[derive(clap::Args)]
pub struct Args {
    /// Project files (TOML); the first is the one the others are held against
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// Compare the first file with built-in variants: no store, night curtain, heated, plain tunnel
    /// free-running and heated, outdoors
    #[arg(long)]
    vary: bool,
    /// Air temperature that the heated built-in variants hold, such as "8 C" or "46 F"
    #[arg(long, value_name = "TEMPERATURE", value_parser = temperature, requires = "vary", allow_hyphen_values = true)]
    set_point: Option<f64>,
    /// Make a plan for each and set it against the budget too; takes as long as so many plans
    #[arg(long)]
    money: bool,
    /// Hourly weather file (EPW) to use in place of every project's weather
    #[arg(long, value_name = "FILE.epw")]
    weather: Option<PathBuf>,
    /// Weather years to try, in place of each project's number
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1000))]
    weather_years: Option<u16>,
    /// Seed of the weather years, in place of each project's
    #[arg(long, value_name = "SEED")]
    seed: Option<u64>,
    #[command(flatten)]
    show: Show,
    #[command(flatten)]
    more: More,
    #[command(flatten)]
    search: Search,
}

/// A set point for a heater, °C.
fn temperature(text: &str) -> Result<f64, String> {
    const HEATED_C: std::ops::RangeInclusive<f64> = -10.0..=30.0;
    match quantity::parse(text, Dimension::Temperature) {
        Ok(found) if HEATED_C.contains(&found) => Ok(found),
        Ok(found) => Err(format!(
            "{found:.1} C is outside -10 C to 30 C that a heater in a greenhouse is set to"
        )),
        Err(error) => Err(error.to_string()),
    }
}

pub fn run(args: &Args) -> Result<(), Failure> {
    print::known(&args.more, tables::names::COMPARE)?;
    if args.files.len() < 2 && !args.vary {
        return Err(Failure::input(
            "error: one building is nothing to compare; name a second file, or add --vary",
        ));
    }
    let mut found = Vec::new();
    let variants = variants(args)?;
    let show = match variants.first() {
        Some(first) => args.show.as_in(&first.job.project),
        None => args.show.clone(),
    };
    for variant in variants {
        found.push(compared(variant, args)?);
    }
    let mut view = build::compare(&found);
    if args.vary {
        let set_point_c = args.set_point.unwrap_or(study::variants::HELD_AT_C);
        view.notes.extend(build::built_in_notes(set_point_c));
    }
    let screen = Screen {
        show,
        more: args.more.clone(),
        names: tables::names::COMPARE,
    };
    let words = (terminal::compare, terminal::compare_notes);
    screen.answer(&view, words, &tables::compare(&view))
}

fn variants(args: &Args) -> Result<Vec<Variant>, Failure> {
    let mut variants: Vec<Variant> = Vec::new();
    for file in &args.files {
        let job = open(file, args)?;
        if args.vary && variants.is_empty() {
            let set_point_c = args.set_point.unwrap_or(study::variants::HELD_AT_C);
            variants.extend(study::built_in(&job, set_point_c)?);
            continue;
        }
        let stem = printable(file.file_stem().map_or(file, Path::new));
        let again = variants.iter().any(|other| other.name == stem);
        variants.push(Variant {
            name: if again { printable(file) } else { stem },
            job,
            cost_known: true,
        });
    }
    Ok(variants)
}

fn open(file: &Path, args: &Args) -> Result<Job, Failure> {
    let source = Source {
        file: file.to_owned(),
        weather: args.weather.clone(),
        weather_years: args.weather_years,
        seed: args.seed,
    };
    let mut job = project::open(&source, args.show.color_stderr())?;
    args.search.set_over(&mut job)?;
    Ok(job)
}

fn compared(variant: Variant, args: &Args) -> Result<ComparedVariant, Failure> {
    let weathers = study::weather_years(&variant.job);
    let climate = study::climate(&variant.job, &variant.job.project.house, &weathers)?;
    let compared = study::compare(&variant, &climate)?;
    let planned = if args.money {
        let plan = whole::plan(&variant.job, &climate, &args.search)?;
        let value = study::value(&variant.job, &climate, &plan)?;
        Some((plan, value))
    } else {
        None
    };
    Ok(ComparedVariant {
        compared,
        planned,
        cost_known: variant.cost_known,
        place: variant.job.site.place.name.clone(),
        southern: variant.job.site.place.latitude_deg < 0.0,
    })
}
