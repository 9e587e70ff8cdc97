//! Tables as data frames, for programs that go on computing with them.

mod ask;
mod question;
mod read;

pub use ask::ask;
pub use question::{AskError, Question, usual};
pub use read::{PartColumn, columns, gather};
