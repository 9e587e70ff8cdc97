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
mod whole;

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

/// Declares the verbs: each with its arguments and what runs it.
macro_rules! verbs {
    ($( $(#[$meta:meta])* $verb:ident($args:ty) => $run:path, )+) => {
        #[derive(Subcommand)]
        enum Verb {
            $( $(#[$meta])* $verb($args), )+
            /// The manual page, for `man -l`
            Manual,
        }

        fn run(verb: &Verb) -> Result<(), Failure> {
            match verb {
                $( $(#[$meta])* Verb::$verb(args) => $run(args), )+
                Verb::Manual => shell::manual(),
            }
        }
    };
}

verbs! {
    New(new::Args) => new::run,
    Check(check::Args) => check::run,
    Climate(climate::Args) => climate::run,
    Season(season::Args) => season::run,
    Outage(outage::Args) => outage::run,
    Compare(compare::Args) => compare::run,
    Plan(plan::Args) => plan::run,
    Value(value::Args) => value::run,
    Prices(prices::Args) => prices::run,
    Calendar(calendar::Args) => calendar::run,
    Report(report::Args) => report::run,
    Tables(tables::Args) => tables::run,
    Sweep(sweep::Args) => sweep::run,
    #[cfg(feature = "frames")]
    Designs(designs::Args) => designs::run,
    Log(log::Args) => log::run,
    Review(review::Args) => review::run,
    Tune(Box<tune::Args>) => tune::run,
    Overview(overview::Args) => overview::run,
    #[cfg(feature = "page")]
    Open(open::Args) => open::run,
    Schema(shelf::SchemaArgs) => shelf::schema,
    Crops(shelf::CropsArgs) => shelf::crops,
    Climates(shelf::ClimatesArgs) => shelf::climates,
    Columns(shelf::ColumnsArgs) => shelf::columns,
    Completions(shell::CompletionsArgs) => shell::completions,
}

/// Runs the program on the words of the command line and prints; the exit code says how it went.
pub fn main() -> ExitCode {
    ended(match Cli::try_parse() {
        Ok(cli) => run(&cli.verb),
        Err(error) if error.use_stderr() => return words_wrong(&error),
        Err(help) => {
            let help = help.render();
            match std::io::IsTerminal::is_terminal(&std::io::stdout()) {
                true => print::text(help.ansi().to_string()),
                false => print::text(help.to_string()),
            }
        }
    })
}

fn ended(result: Result<(), Failure>) -> ExitCode {
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => failure.report(),
    }
}

/// Says what is wrong with the words of the command line.
fn words_wrong(error: &clap::Error) -> ExitCode {
    let plain = error.render().to_string();
    let steers = |c: char| c != '\n' && crate::plain::is_control_or_bidi(c);
    if plain.contains(steers) {
        return Failure::input(plain).report();
    }
    // A closed stderr leaves nobody to tell.
    let _ = error.print();
    ExitCode::from(2)
}
