//! A logger's CSV: any column names, separators, dates, clocks; gaps and doubtful rows reported.

mod cells;
mod clock;
mod columns;
mod read;

pub use clock::Clock;
pub use columns::{Columns, Wanted};
pub use read::{Gap, LoggerError, Options, Reading, Record, read};
