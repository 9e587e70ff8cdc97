//! The command line: reads the files, calls the stages, prints. It computes nothing.

mod calendar;
mod check;
mod climate;
mod common;
mod compare;
#[cfg(feature = "frames")]
mod designs;
mod failure;
mod journal;
mod load;
mod log;
mod new;
mod offer;
#[cfg(feature = "page")]
mod open;
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
    #[cfg(feature = "frames")]
    Designs(designs::Args),
    Log(log::Args),
    Review(review::Args),
    Tune(Box<tune::Args>),
    Overview(overview::Args),
    #[cfg(feature = "page")]
    Open(open::Args),
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
    let stdout = std::io::stdout();
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => return words_wrong(&error, &mut stdout.lock()),
    };
    let mut out = std::io::BufWriter::new(stdout.lock());
    let result = run(&cli.verb, &mut out).and_then(|()| out.flush().map_err(Failure::from));
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => failure.report(),
    }
}

/// Shows help or version, or says what is wrong with the words of the command line.
fn words_wrong(error: &clap::Error, out: &mut impl Write) -> ExitCode {
    let said = error.render();
    if error.use_stderr() {
        let plain = said.to_string();
        if plain
            .chars()
            .any(|c| c != '\n' && crate::plain::is_control_or_bidi(c))
        {
            return Failure::input(plain).report();
        }
        // A closed stderr leaves nobody to tell.
        let _ = error.print();
        return ExitCode::from(2);
    }
    let coloured = std::io::IsTerminal::is_terminal(&std::io::stdout());
    let text = if coloured {
        said.ansi().to_string()
    } else {
        said.to_string()
    };
    let written = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    match written.map_err(Failure::from) {
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
        #[cfg(feature = "frames")]
        Verb::Designs(args) => designs::run(args, out),
        Verb::Log(args) => log::run(args, out),
        Verb::Review(args) => review::run(args, out),
        Verb::Tune(args) => tune::run(args, out),
        Verb::Overview(args) => overview::run(args, out),
        #[cfg(feature = "page")]
        Verb::Open(args) => open::run(args),
        Verb::Schema(args) => shelf::schema(args, out),
        Verb::Crops(args) => shelf::crops(args, out),
        Verb::Climates(args) => shelf::climates(args, out),
        Verb::Columns(args) => shelf::columns(args, out),
        Verb::Completions(args) => shell::completions(args, out),
        Verb::Manual => shell::manual(out),
    }
}
