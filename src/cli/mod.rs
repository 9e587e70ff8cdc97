//! The command line: reads the files, calls the stages, prints. It computes nothing.

mod calendar;
mod check;
mod climate;
mod common;
mod compare;
mod failure;
mod journal;
mod load;
mod log;
mod new;
mod outage;
mod overview;
mod plan;
mod prices;
mod print;
mod project;
mod report;
mod review;
mod season;
mod shelf;
mod shell;
mod sweep;
mod tables;
mod tune;
mod value;
mod variant;
mod whole;

use std::io::Write;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

use failure::Failure;

/// What a greenhouse will do through the year, what its beds can grow, and what that is worth.
///
/// Start with `bedyear new`, look at what was understood with `bedyear check`, then `bedyear overview`.
#[derive(Parser)]
#[command(name = "bedyear", version, max_term_width = 100)]
struct Cli {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Subcommand)]
enum Verb {
    New(new::Args),
    Check(check::Args),
    Climate(climate::Args),
    Season(season::Args),
    Outage(outage::Args),
    Compare(compare::Args),
    Plan(plan::Args),
    Value(value::Args),
    Prices(prices::Args),
    Calendar(calendar::Args),
    Report(report::Args),
    Tables(tables::Args),
    Sweep(sweep::Args),
    Log(log::Args),
    Review(review::Args),
    Tune(Box<tune::Args>),
    Overview(overview::Args),
    Schema(shelf::SchemaArgs),
    Crops(shelf::CropsArgs),
    Climates(shelf::ClimatesArgs),
    Columns(shelf::ColumnsArgs),
    Completions(shell::CompletionsArgs),
    /// The manual page, for `man -l`
    Manual,
}

/// Runs the program on the words of the command line and prints; the exit code says how it went.
pub fn main() -> ExitCode {
    let cli = Cli::parse();
    let stdout = std::io::stdout();
    let mut out = std::io::BufWriter::new(stdout.lock());
    let result = run(&cli.verb, &mut out).and_then(|()| out.flush().map_err(Failure::from));
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => failure.report(),
    }
}

fn run(verb: &Verb, out: &mut impl Write) -> Result<(), Failure> {
    match verb {
        Verb::New(args) => new::run(args, out),
        Verb::Check(args) => check::run(args, out),
        Verb::Climate(args) => climate::run(args, out),
        Verb::Season(args) => season::run(args, out),
        Verb::Outage(args) => outage::run(args, out),
        Verb::Compare(args) => compare::run(args, out),
        Verb::Plan(args) => plan::run(args, out),
        Verb::Value(args) => value::run(args, out),
        Verb::Prices(args) => prices::run(args, out),
        Verb::Calendar(args) => calendar::run(args, out),
        Verb::Report(args) => report::run(args, out),
        Verb::Tables(args) => tables::run(args),
        Verb::Sweep(args) => sweep::run(args),
        Verb::Log(args) => log::run(args, out),
        Verb::Review(args) => review::run(args, out),
        Verb::Tune(args) => tune::run(args, out),
        Verb::Overview(args) => overview::run(args, out),
        Verb::Schema(args) => shelf::schema(args, out),
        Verb::Crops(args) => shelf::crops(args, out),
        Verb::Climates(args) => shelf::climates(args, out),
        Verb::Columns(args) => shelf::columns(args, out),
        Verb::Completions(args) => shell::completions(args, out),
        Verb::Manual => shell::manual(out),
    }
}
