//! `value`: produce against the grocery budget.

use crate::output::{build, tables, terminal};
use crate::study;
use crate::value::Whole;

use super::common::Asked;
use super::failure::Failure;
use super::project;
use super::whole::{self, Passes};

/// What the plan's food saves against the grocery budget, month by month, after costs
///
/// Example: bedyear value greenhouse.toml --share 30%
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    asked: Asked,
    #[command(flatten)]
    passes: Passes,
    /// Ask what it would take to cover this share: `30%` of all groceries, or `"80% of produce"`
    #[arg(long, value_name = "SHARE", alias = "cover", value_parser = share, allow_hyphen_values = true)]
    share: Option<(f64, Whole)>,
}

/// `30%`, `30 % of groceries`, `80% of produce`.
fn share(text: &str) -> Result<(f64, Whole), String> {
    let wrong = || "a share such as 30% or \"80% of produce\" belongs there".to_owned();
    let (percent, of) = text.split_once('%').ok_or_else(wrong)?;
    let percent: f64 = percent.trim().parse().map_err(|_| wrong())?;
    if !(0.0..=100.0).contains(&percent) {
        return Err(format!("{percent} % is outside 0 % to 100 %"));
    }
    let whole = match of.trim().trim_start_matches("of ").trim() {
        "" | "groceries" | "all groceries" | "the groceries" => Whole::Groceries,
        "produce" | "the produce" => Whole::Produce,
        _ => return Err(wrong()),
    };
    Ok((percent / 100.0, whole))
}

pub fn run(args: &Args) -> Result<(), Failure> {
    if args.asked.more.list.as_deref() == Some("cover") && args.share.is_none() {
        return Err(Failure::input(
            "error: `--list cover` shows the answer to `--share`; name a share, such as --share 30%",
        ));
    }
    let (mut job, screen) = project::asked(&args.asked, tables::names::VALUE)?;
    args.passes.search.set_over(&mut job)?;
    let (climate, weathers) = whole::climate(&job)?;
    let (climate, plan) = whole::passes(&job, &weathers, climate, &args.passes)?;
    let value = study::value(&job, &climate, &plan)?;
    let mut view = build::value(&job, &plan, &value);
    if let Some((share, of)) = args.share {
        let answer = study::what_it_takes(&job, &plan, &value, share, of)?;
        view.cover = Some(build::cover(&answer, value.year.currency));
    }
    let words = (terminal::value, terminal::value_notes);
    screen.answer(&view, words, &tables::value(&view))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_are_read() {
        assert_eq!(share("30%"), Ok((0.3, Whole::Groceries)));
        assert_eq!(share(" 12.5 % of groceries"), Ok((0.125, Whole::Groceries)));
        assert_eq!(share("80% of produce"), Ok((0.8, Whole::Produce)));
        for text in [
            "30",
            "0.3",
            "%",
            "-3%",
            "101%",
            "NaN%",
            "30% of fuel",
            "30%%",
        ] {
            assert!(share(text).is_err(), "{text}");
        }
    }
}
