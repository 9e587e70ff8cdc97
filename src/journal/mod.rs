//! The journal: what was sown, set out, picked, lost and paid, row by row in a plain CSV beside the project file.
//!
//! Columns, named in the first line, in any order: `date`, `event`, `bed`, `crop`, `amount`, `unit`, `note`, `id`.
//! Columns of the person's own are left alone. [`read()`] takes what it can and names every row that it cannot;
//! [`addition`] makes the bytes that add one row and never touches those before. The `id` stands last and marks a row
//! as whole: it is made from the row itself, so that a row cut short, or written twice, is known for what it is. Rows
//! by hand need none.

mod add;
mod entry;
mod read;
mod stand;

pub use add::{Addition, Undone, addition, undone};
pub use entry::{Amount, Draft, Entry, Event, Wrong};
pub use read::{BadRow, Journal, Known, read};
pub use stand::{Stand, picked, stands};

/// Columns of a new journal.
pub const COLUMNS: [&str; 8] = [
    "date", "event", "bed", "crop", "amount", "unit", "note", "id",
];
