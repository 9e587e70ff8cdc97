//! Names that a shell's completion offers; any other word is taken too, and refused later where it means nothing.

use std::ffi::OsStr;

use clap::builder::{PossibleValue, StringValueParser, TypedValueParser};
use clap::{Arg, Command, Error};

use crate::crops;
use crate::journal::Event;
use crate::site::climates;
use crate::words::Word;

/// A word for which names are offered.
#[derive(Clone)]
pub struct Offered(fn() -> Vec<&'static str>);

/// Places on the shelf.
pub fn places() -> Offered {
    Offered(climates::names)
}

/// Crops on file.
pub fn crops() -> Offered {
    Offered(crops::builtin_ids)
}

/// Kinds of journal rows.
pub fn events() -> Offered {
    Offered(|| Event::WORDS.iter().map(|(word, _)| *word).collect())
}

impl TypedValueParser for Offered {
    type Value = String;

    fn parse_ref(
        &self,
        command: &Command,
        arg: Option<&Arg>,
        value: &OsStr,
    ) -> Result<String, Error> {
        StringValueParser::new().parse_ref(command, arg, value)
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        Some(Box::new((self.0)().into_iter().map(PossibleValue::new)))
    }
}
