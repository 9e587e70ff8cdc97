//! The journal's file: where it lies, what is in it, what its words are checked against.

use std::path::{Path, PathBuf};

use crate::crops::Table;
use crate::file::Project;
use crate::journal::{self, Journal, Known};

use super::failure::{Failure, say};
use super::load::{printable, read_text};
use super::project::EXAMPLE_WORD;

/// Ending of a journal's file name, after the project's.
pub const ENDING: &str = "journal.csv";

/// Where the journal lies: as named, or beside the project file.
///
/// # Errors
/// [`Failure::Input`] for the built-in example, which lies nowhere.
pub fn path(named: Option<&Path>, project: &Path) -> Result<PathBuf, Failure> {
    match named {
        Some(path) => Ok(path.to_owned()),
        None if project.as_os_str() == EXAMPLE_WORD && !project.exists() => Err(Failure::input(
            "error: the built-in example has no journal; name one with --journal FILE.csv",
        )),
        None => Ok(project.with_extension(ENDING)),
    }
}

/// Gives `then` what the words of a journal are checked against.
pub fn with_known<T>(project: &Project, table: &Table, then: impl FnOnce(&Known<'_>) -> T) -> T {
    let beds: Vec<&str> = project.beds.iter().map(|bed| bed.name.as_str()).collect();
    then(&Known {
        beds: &beds,
        table,
        currency: project.shopping.currency.code(),
    })
}

/// Reads a journal; every row that cannot be used is named on standard error, and counted.
pub fn read(path: &Path, project: &Project, table: &Table) -> Result<Journal, Failure> {
    let text =
        read_text(path).map_err(|failure| failure.with_hint("`bedyear log` begins a journal"))?;
    let journal = with_known(project, table, |known| {
        journal::read(&printable(path), &text, known)
    });
    for row in &journal.bad {
        say(&format!("warning: {}", printable(row.to_string().as_ref())));
    }
    let (used, left_out) = (journal.entries.len(), journal.bad.len());
    if left_out > 0 {
        let path = printable(path);
        say(&format!("{path}: {used} rows used, {left_out} left out"));
    }
    Ok(journal)
}
