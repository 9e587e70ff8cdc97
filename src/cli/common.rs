//! Options that most verbs share.

use std::io::IsTerminal;
use std::ops::RangeInclusive;
use std::path::PathBuf;

use chrono::Datelike;
use clap::{Args, ValueEnum};

use super::failure::Failure;
use crate::file::{Project, Units};

/// Which file, which weather, how many years.
#[derive(Args, Clone, Debug, Default)]
pub struct Source {
    /// Project file (TOML); `bedyear new` writes one, `example` is the built-in one
    pub file: PathBuf,
    /// Hourly weather file (EPW) to use in place of the project's weather
    #[arg(long, value_name = "FILE.epw")]
    pub weather: Option<PathBuf>,
    /// Weather years to try, in place of the project's number
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1000))]
    pub weather_years: Option<u16>,
    /// Seed of the weather years, in place of the project's
    #[arg(long, value_name = "SEED")]
    pub seed: Option<u64>,
}

/// How much of the result to show.
#[derive(Args, Clone, Debug)]
pub struct More {
    /// Show every table, not the answer alone
    #[arg(long)]
    pub all: bool,
    /// Show this table alone; the answer names those there are
    #[arg(long, value_name = "NAME", alias = "part")]
    pub list: Option<String>,
}

/// How to show the result.
#[derive(Args, Clone, Debug)]
pub struct Show {
    /// Table for people, or CSV or JSON (always SI) for machines
    #[arg(long, value_enum, default_value_t = Format::Table)]
    pub format: Format,
    /// Units in tables: SI or US customary; those of the project file where none are named
    #[arg(long, value_enum)]
    pub units: Option<Units>,
    /// Colour in tables
    #[arg(long, value_enum, default_value_t = ColorChoice::Auto)]
    pub color: ColorChoice,
    /// Width of tables in characters, in place of the terminal's
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(60..=400))]
    pub width: Option<u16>,
}

/// What a verb is asked whose answer has tables behind it: of which file, how shown, how much.
#[derive(Args, Clone, Debug)]
pub struct Asked {
    #[command(flatten)]
    pub source: Source,
    #[command(flatten)]
    pub show: Show,
    #[command(flatten)]
    pub more: More,
}

/// Reads a number of a range; `what` is said to belong there where it is none.
pub fn within(
    range: RangeInclusive<f64>,
    what: &'static str,
) -> impl Fn(&str) -> Result<f64, String> + Clone + Send + Sync {
    move |text| {
        let number = text.parse().ok().filter(|number| range.contains(number));
        number.ok_or_else(|| format!("{what} belongs there"))
    }
}

/// A day, or the word `today`, which asks this machine's clock.
pub fn day_or_today(text: &str) -> Result<chrono::NaiveDate, String> {
    if text.eq_ignore_ascii_case("today") {
        return Ok(chrono::Local::now().date_naive());
    }
    day(text).map_err(|why| format!("{why}, or `today`"))
}

/// A day that a plan, a sowing or a journal can have.
pub fn day(text: &str) -> Result<chrono::NaiveDate, String> {
    /// Years of which the calendar and the weather are made: those of `year.plan`.
    const YEARS: RangeInclusive<i32> = 1900..=2110;
    let wrong = |_| "a date such as 2027-03-31 belongs there".to_owned();
    let day: chrono::NaiveDate = text.parse().map_err(wrong)?;
    let (first, last) = (YEARS.start(), YEARS.end());
    let possible = Some(day).filter(|day| YEARS.contains(&day.year()));
    possible.ok_or_else(|| format!("a day in {first} to {last} belongs there"))
}

/// Output format.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people.
    Table,
    /// Comma-separated values, RFC 4180.
    Csv,
    /// One JSON object.
    Json,
}

/// When to colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ColorChoice {
    /// On a terminal that does not ask for none (`NO_COLOR`).
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

impl ColorChoice {
    /// Should output to a stream be coloured?
    pub fn wanted(self, stream_is_terminal: bool) -> bool {
        match self {
            ColorChoice::Always => true,
            ColorChoice::Never => false,
            ColorChoice::Auto => {
                let refused = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
                stream_is_terminal && !refused
            }
        }
    }
}

impl Show {
    /// The same, in the units of the project file where none are asked for.
    pub fn as_in(&self, project: &Project) -> Show {
        let own = match project.in_feet {
            true => Units::Us,
            false => Units::Si,
        };
        Show {
            units: self.units.or(Some(own)),
            ..self.clone()
        }
    }

    /// Refuses a format for machines where a verb has none.
    ///
    /// # Errors
    /// [`Failure::Input`] that says where machines find the same.
    pub fn people_only(&self, verb: &str) -> Result<(), Failure> {
        if self.format == Format::Table {
            return Ok(());
        }
        Err(Failure::input(format!(
            "error: `{verb}` is for people; machines read `--format json` or `csv` of `climate`, `season`, `plan` and `value`, or all at once from `bedyear tables`"
        )))
    }

    /// Colour on standard output?
    pub fn color_stdout(&self) -> bool {
        self.color.wanted(std::io::stdout().is_terminal())
    }

    /// Colour on standard error?
    pub fn color_stderr(&self) -> bool {
        self.color.wanted(std::io::stderr().is_terminal())
    }

    /// Width of tables: asked for, or the terminal's, or 80 when piped.
    pub fn table_width(&self) -> usize {
        const PIPED_WIDTH: u16 = 80;
        let of_terminal = || comfy_table::Table::new().width().unwrap_or_default();
        let width = self.width.unwrap_or_else(|| of_terminal().max(PIPED_WIDTH));
        usize::from(width)
    }
}
