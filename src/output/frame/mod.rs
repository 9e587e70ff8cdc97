//! Tables as data frames, for programs that go on computing with them.

mod ask;
mod read;

pub use ask::{Answer, AskError, Question, ask};
pub use read::{PartColumn, columns, gather};
