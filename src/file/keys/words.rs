//! Words that a key may hold, each with what it means: one list for reading, checking and the schema.

use crate::crops::growth::Pollinator;
use crate::file::StarterShape;
use crate::file::gardening::{Rotation, Simple};
use crate::file::project::Winter;
use crate::house::{InnerFilm, OuterFilm, SnowOnGlazing};
use crate::value::{Country, Fuel, SaladBought};
use crate::words::Word;

/// The words of a list, in its order.
pub const fn words<T, const N: usize>(list: &[(&'static str, T); N]) -> [&'static str; N] {
    let mut words = [""; N];
    let mut at = 0;
    while at < N {
        words[at] = list[at].0;
        at += 1;
    }
    words
}

/// The words of a type of the stages, as a list for the key table.
macro_rules! words_of {
    ($list:ident: $type:ident) => {
        pub const $list: [(&str, $type); $type::WORDS.len()] = listed($type::WORDS);
    };
}

const fn listed<T: Copy, const N: usize>(words: &[(&'static str, T)]) -> [(&'static str, T); N] {
    let mut list = [words[0]; N];
    let mut at = 0;
    while at < N {
        list[at] = words[at];
        at += 1;
    }
    list
}

words_of!(SHAPES: StarterShape);

/// What a face encloses, where a thing stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Of {
    House,
    Room,
    Both,
}

pub const FACES_OF: [(&str, Of); 3] =
    [("house", Of::House), ("room", Of::Room), ("both", Of::Both)];
pub const THINGS_OF: [(&str, Of); 2] = [("house", Of::House), ("room", Of::Room)];

/// What lies behind a face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BehindWord {
    Outdoor,
    ShelteredAir,
    Ground,
    Room,
    Nothing,
}

pub const BEHIND: [(&str, BehindWord); 5] = [
    ("outdoor", BehindWord::Outdoor),
    ("sheltered air", BehindWord::ShelteredAir),
    ("ground", BehindWord::Ground),
    ("room", BehindWord::Room),
    ("nothing", BehindWord::Nothing),
];

/// Does a face let light through?
pub const LETS_LIGHT: [(&str, bool); 2] = [("opaque", false), ("glazed", true)];

words_of!(INNER_FILMS: InnerFilm);
words_of!(OUTER_FILMS: OuterFilm);

/// What the fan of a room warms.
pub const FAN_WARMS: [(&str, Of); 3] = FACES_OF;

/// Where the energy of a heater or a gain comes from; nothing for what is free.
pub const ENERGIES: [(&str, Option<Fuel>); 9] = [
    ("electricity", Some(Fuel::Electricity)),
    ("heat pump", Some(Fuel::HeatPump)),
    ("natural gas", Some(Fuel::NaturalGas)),
    ("propane", Some(Fuel::Propane)),
    ("oil", Some(Fuel::HeatingOil)),
    ("kerosene", Some(Fuel::Kerosene)),
    ("wood", Some(Fuel::Firewood)),
    ("pellets", Some(Fuel::Pellets)),
    ("free", None),
];

words_of!(SNOW: SnowOnGlazing);

words_of!(WINTERS: Winter);

/// Does a bed lie along an outer wall?
pub const AT_EDGE: [(&str, bool); 2] = [("middle", false), ("edge", true)];

words_of!(SIMPLE: Simple);

words_of!(ROTATIONS: Rotation);

words_of!(SALADS: SaladBought);

words_of!(POLLINATORS: Pollinator);

/// Whose statistics are on file.
pub const COUNTRIES: [(&str, Country); 3] = [
    ("United States", Country::UnitedStates),
    ("Canada", Country::Canada),
    ("United Kingdom", Country::UnitedKingdom),
];
