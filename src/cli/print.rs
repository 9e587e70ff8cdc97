//! Prints a view in the format asked for, and writes files whole or not at all.

use std::io::Write;
use std::path::{Path, PathBuf};

use crate::output::tables::{self, DataTable};
use crate::output::terminal::{self, Look};
use crate::output::{Row, csv_out, json, write};
use serde::Serialize;

use super::common::{Format, More, Show};
use super::failure::{Failure, say};
use super::load::{InputKind, of_file, printable, was_read};

/// Prints to standard output.
pub fn text(text: impl AsRef<[u8]>) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    out.write_all(text.as_ref())?;
    Ok(out.flush()?)
}

/// How text for people is to look.
pub fn look(show: &Show) -> Look {
    Look {
        width: u16::try_from(show.table_width()).unwrap_or(u16::MAX),
        colour: show.color_stdout(),
        units: show.units.unwrap_or_default(),
    }
}

/// Prints a view: as a table for people, or its rows as CSV, or the whole as JSON.
pub fn view<V: Serialize, R: Row>(
    view: &V,
    show: &Show,
    table: impl FnOnce(&V, &Look) -> String,
    rows: impl FnOnce(&V) -> Vec<R>,
) -> Result<(), Failure> {
    let text = match show.format {
        Format::Table => table(view, &look(show)),
        Format::Csv => csv_out::to_string(&rows(view)).map_err(Failure::work)?,
        Format::Json => json::to_string(view).map_err(Failure::work)?,
    };
    self::text(text)
}

pub fn no_notes<V>(_: &V, _: &Look) -> String {
    String::new()
}

/// What an answer with tables behind it comes on: how it is shown, how much of it, and the names that its tables may have.
pub struct Screen {
    pub show: Show,
    pub more: More,
    pub names: &'static str,
}

impl Screen {
    /// Prints a view that has tables: its answer, which names them, all of them after the answer and its notes, or the one
    /// asked for by name. CSV is that one, or the first of the names; JSON is the whole view.
    ///
    /// # Errors
    /// [`Failure`] for a name that no table has, or when the output cannot be written.
    pub fn answer<V: Serialize>(
        &self,
        view: &V,
        (answer, notes): (
            impl FnOnce(&V, &Look) -> String,
            impl FnOnce(&V, &Look) -> String,
        ),
        tables: &[DataTable],
    ) -> Result<(), Failure> {
        let mut names = self.names.split(' ');
        let is_known = |table: &DataTable| names.clone().any(|name| name == table.short_name());
        debug_assert!(tables.iter().all(is_known), "{}", self.names);
        let look = look(&self.show);
        let text = match (self.show.format, self.more.list.as_deref()) {
            (Format::Json, _) => json::to_string(view).map_err(Failure::work)?,
            (Format::Csv, named) => {
                let first = names.next().unwrap_or_default();
                let table = table_named(tables, named.unwrap_or(first))?;
                csv_out::table_text(table).map_err(Failure::work)?
            }
            (Format::Table, Some(name)) => {
                let table = table_named(tables, name)?;
                match terminal::draw(table, &look) {
                    none if none.is_empty() => terminal::nothing(table, &look),
                    drawn => drawn,
                }
            }
            (Format::Table, None) if self.more.all => {
                let shown = tables.iter().filter(|table| !table.by_name);
                let mut drawn: Vec<String> =
                    shown.map(|table| terminal::draw(table, &look)).collect();
                drawn.retain(|text| !text.is_empty());
                let (answer, notes) = (answer(view, &look), notes(view, &look));
                format!("{answer}{notes}\n{}", drawn.join("\n"))
            }
            (Format::Table, None) => {
                format!("{}{}", answer(view, &look), terminal::more(tables, &look))
            }
        };
        self::text(text)
    }
}

/// The table of a name; the part of it behind the verb's own is enough.
fn table_named<'t>(tables: &'t [DataTable], name: &str) -> Result<&'t DataTable, Failure> {
    let is = |table: &&DataTable| is_called(table.short_name(), name);
    tables.iter().find(is).ok_or_else(|| {
        let names: Vec<&str> = tables.iter().map(DataTable::short_name).collect();
        no_table(name, &names.join(", "))
    })
}

fn is_called(short: &str, name: &str) -> bool {
    tables::names::short(&name.replace('-', "_")) == short
}

fn no_table(name: &str, names: &str) -> Failure {
    let name = printable(name.as_ref());
    Failure::input(format!(
        "error: there is no table `{name}` here; there are {names}"
    ))
}

/// Refuses, before any work, a name that none of a verb's tables has.
pub fn known(more: &More, names: &str) -> Result<(), Failure> {
    match &more.list {
        Some(name) if !names.split(' ').any(|known| is_called(known, name)) => {
            Err(no_table(name, &names.replace(' ', ", ")))
        }
        _ => Ok(()),
    }
}

/// Writes a file whole or not at all, and says so on standard error.
///
/// # Errors
/// [`Failure::Work`] that names the file and the reason; the old file is then as it was.
pub fn file(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    refuse_input(path, None)?;
    file_unsaid(path, bytes)?;
    say(&format!("written: {}", printable(path)));
    Ok(())
}

/// Likewise, also over a plan that this run has read, which is kept.
pub fn plan_file(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    refuse_input(path, Some(InputKind::Plan))?;
    if was_read(path) == Some(InputKind::Plan) {
        keep_former(path, bytes)?;
    }
    file_unsaid(path, bytes)?;
    say(&format!("written: {}", printable(path)));
    Ok(())
}

/// Writes files that belong together, all of them or none, and says so on standard error; the kind of those that a file may
/// take the place of stands beside it.
pub fn files(files: &[(PathBuf, Vec<u8>, Option<InputKind>)]) -> Result<(), Failure> {
    for (path, _, over) in files {
        refuse_input(path, *over)?;
    }
    let set: Vec<(&PathBuf, &Vec<u8>)> =
        files.iter().map(|(path, bytes, _)| (path, bytes)).collect();
    write::atomic_set(&set).map_err(|(at, error)| not_written(set[at].0, &error))?;
    for (path, _) in set {
        say(&format!("written: {}", printable(path)));
    }
    Ok(())
}

/// Keeps what a file held beside it, as NAME.former.EXT, before other bytes take its place.
pub fn keep_former(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let held = std::fs::read(path).map_err(|error| Failure::work(of_file(path, error)))?;
    if held == bytes {
        return Ok(());
    }
    let ending = path.extension().unwrap_or_default().to_string_lossy();
    let former = path.with_extension(format!("former.{ending}"));
    file_unsaid(&former, &held)?;
    say(&format!("what it held is kept as {}", printable(&former)));
    Ok(())
}

/// Keeps a file that this run has read from being written over, but for one of the kind `over`.
fn refuse_input(path: &Path, over: Option<InputKind>) -> Result<(), Failure> {
    match was_read(path) {
        Some(read) if Some(read) != over => Err(Failure::input(format!(
            "error: {} is read by this command and was left as it is; name another file to write",
            printable(path)
        ))),
        _ => Ok(()),
    }
}

/// Writes one of many files whole or not at all, without a word.
pub fn file_unsaid(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    write::atomic(path, bytes).map_err(|error| not_written(path, &error))
}

pub fn not_written(path: &Path, error: &std::io::Error) -> Failure {
    let (path, why) = (printable(path), reason(error));
    Failure::work(format!("error: {path} was not written: {why}"))
}

/// Finds out, before work that takes long, whether these files can be written.
pub fn try_files<'p>(paths: impl IntoIterator<Item = &'p PathBuf>) -> Result<(), Failure> {
    let mut named: Vec<&PathBuf> = Vec::new();
    paths.into_iter().try_for_each(|path| {
        if named.contains(&path) {
            return Err(Failure::input(format!(
                "error: {} is to hold two things at once; name two files",
                printable(path)
            )));
        }
        named.push(path);
        if was_read(path) == Some(InputKind::Input) {
            refuse_input(path, None)?;
        }
        write::try_file(path).map_err(|error| {
            let (path, why) = (printable(path), reason(&error));
            Failure::work(format!("error: {path} cannot be written: {why}"))
        })
    })
}

/// Finds out, before work that takes long, whether files can be written into a folder, which need not be there yet.
pub fn try_folder(path: &Path) -> Result<(), Failure> {
    write::try_folder(path).map_err(|error| {
        let (path, why) = (printable(path), reason(&error));
        Failure::work(format!("error: folder {path} cannot be written to: {why}"))
    })
}

/// Makes a folder, with those above it, where there is none.
pub fn folder(path: &Path) -> Result<(), Failure> {
    std::fs::create_dir_all(path).map_err(|error| {
        let (path, why) = (printable(path), reason(&error));
        Failure::work(format!("error: folder {path} was not made: {why}"))
    })
}

/// Why a file or folder cannot be written, in words that do not name what is only there for a moment.
pub fn reason(error: &std::io::Error) -> String {
    use std::io::ErrorKind;
    match error.kind() {
        ErrorKind::PermissionDenied => "no permission to write there".to_owned(),
        ErrorKind::NotFound => "there is no such folder".to_owned(),
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "the disk is full".to_owned(),
        ErrorKind::ReadOnlyFilesystem => "that disk can only be read".to_owned(),
        _ => error.to_string(),
    }
}
