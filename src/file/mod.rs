//! The project file: quantities as people write them, keys, defaults, clear messages.
//!
//! [`parse`] reads the text of a project file into a [`Project`]: the inputs of the stages, typed, in SI units.
//! Every default that was put in a person's name is listed in [`Project::assumed`]. A broken file gives a
//! [`FileError`] with every independent problem, each with line, column, what is wrong and what would be right.
//!
//! One table of keys (`keys`) drives the reading, the defaults, the range checks and the printed schema.

pub mod check;
mod edit;
mod gardening;
mod keys;
mod mixed;
mod parse;
mod project;
pub mod quantity;
mod read;
mod season;
mod section;
mod shape;
mod starter;
mod translate;
mod validate;

pub use crate::document::{FileError, PROBLEMS_MAX, Problem};
pub use edit::{Edit, EditError, choices};
pub use gardening::{Away, FixedSowing, Gardening, Rotation, Simple};
pub use keys::{KeyRow, about, general, number_in, range_of, schema};
pub use mixed::Doubt;
pub use parse::{Written, parse, text_of};
pub use project::{
    Assumed, Bed, Built, Cellar, Chosen, Folders, Household, Planning, Project, SiteChoice,
    SiteOverride, Standing, Winter,
};
pub use shape::{CrossSection, Face, Part, Shape};
pub use starter::{StarterOptions, StarterShape, Units, starter};
