//! The page on the person's own machine: the same questions and answers, for those who use no terminal.
//!
//! [`serve`] opens a door on the loopback address only. What the page shows it asks of [`crate::study`], by way of
//! [`ask`]; what it changes goes into the text of the project file, by way of the file's own editor; and whatever is
//! read or written goes through the [`Disk`] that it is handed. It computes nothing and opens no file itself.

mod answers;
mod ask;
#[cfg(test)]
mod checks;
mod desk;
mod disk;
mod draft;
mod edit;
mod journal;
mod plan;
mod server;
mod views;
mod words;
mod work;

pub use desk::Desk;
pub use disk::{Beside, Disk};
pub use server::{Door, serve};
