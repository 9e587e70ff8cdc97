//! `new`: a commented starter file.

use std::path::PathBuf;

use crate::file::{StarterOptions, StarterShape, Units, starter};
use crate::site::places::{self, Chosen};

use super::failure::Failure;
use super::load::printable;
use super::{offer, print};

/// Write a commented starter project file
///
/// Example: bedyear new --shape hoop --place fairbanks --units us
#[derive(clap::Args)]
pub struct Args {
    /// File to write; `-` prints it
    #[arg(default_value = "greenhouse.toml")]
    file: PathBuf,
    /// Shape of the building
    #[arg(long, value_enum, default_value_t = StarterShape::SingleSlope)]
    shape: StarterShape,
    /// A town, such as "Bozeman, Montana", or a place on the shelf (see `bedyear climates`)
    #[arg(long, default_value = "helena", value_parser = offer::places(), hide_possible_values = true)]
    place: String,
    /// Units to write in
    #[arg(long, value_enum, default_value_t = Units::Si)]
    units: Units,
    /// Replace the file if there is one
    #[arg(long)]
    replace: bool,
}

/// # Errors
/// [`Failure::Input`] for an unknown place, one that several towns share or a file that is there already.
pub fn run(args: &Args) -> Result<(), Failure> {
    let place = match places::choose(&printable(args.place.as_ref())) {
        Chosen::Shelf(name) => name.to_owned(),
        Chosen::Town(town, _) => town.in_words(),
        Chosen::Unclear { wrong, right } => {
            return Err(Failure::input(format!("error: {wrong}; {right}")));
        }
    };
    let text = starter(&StarterOptions {
        place,
        shape: args.shape,
        units: args.units,
    });
    if args.file.as_os_str() == "-" {
        return print::text(text);
    }
    if args.file.exists() && !args.replace {
        return Err(Failure::input(format!(
            "error: {} is there already; add --replace to write over it",
            printable(&args.file)
        )));
    }
    print::file(&args.file, text.as_bytes())
}
