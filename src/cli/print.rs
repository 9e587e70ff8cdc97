//! Prints a view in the format asked for, and writes files whole or not at all.

use std::io::Write;
use std::path::{Path, PathBuf};

use crate::output::tables::{self, DataTable};
use crate::output::terminal::{self, Look};
use crate::output::{Row, csv_out, json, write};
use serde::Serialize;

use super::common::{Format, More, Show};
use super::failure::{Failure, say};
use super::load::{InputKind, printable, was_read};

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
    out: &mut impl Write,
) -> Result<(), Failure> {
    let text = match show.format {
        Format::Table => table(view, &look(show)),
        Format::Csv => csv_out::to_string(&rows(view)).map_err(Failure::work)?,
        Format::Json => json::to_string(view).map_err(Failure::work)?,
    };
    Ok(out.write_all(text.as_bytes())?)
}

/// No notes.
pub fn no_notes<V>(_: &V, _: &Look) -> String {
    String::new()
}

/// Prints a view that has tables: its answer, which names them, all of them after the answer and its notes, or the one asked
/// for by name. CSV is that one, or the first of `names`; JSON is the whole view.
///
/// # Errors
/// [`Failure`] for a name that no table has, or when the output cannot be written.
pub fn answer<V: Serialize>(
    view: &V,
    (show, more): (&Show, &More),
    (answer, notes): (
        impl FnOnce(&V, &Look) -> String,
        impl FnOnce(&V, &Look) -> String,
    ),
    tables: &[DataTable],
    names: &str,
    out: &mut impl Write,
) -> Result<(), Failure> {
    let is_known = |table: &DataTable| names.split(' ').any(|name| name == table.short_name());
    debug_assert!(tables.iter().all(is_known), "{names}");
    let named = more.list.as_deref();
    let text = match show.format {
        Format::Json => json::to_string(view).map_err(Failure::work)?,
        Format::Csv => csv_out::table_text(table_named(
            tables,
            named.unwrap_or(names.split(' ').next().unwrap_or(names)),
        )?)
        .map_err(Failure::work)?,
        Format::Table => {
            let look = look(show);
            match named {
                Some(name) => match terminal::draw(table_named(tables, name)?, &look) {
                    empty if empty.is_empty() => {
                        format!("Nothing to show in the table `{name}` here.\n")
                    }
                    drawn => drawn,
                },
                None if more.all => {
                    let shown = tables.iter().filter(|table| !table.by_name);
                    let drawn: Vec<String> = shown
                        .map(|table| terminal::draw(table, &look))
                        .filter(|text| !text.is_empty())
                        .collect();
                    format!(
                        "{}{}\n{}",
                        answer(view, &look),
                        notes(view, &look),
                        drawn.join("\n")
                    )
                }
                None => format!("{}{}", answer(view, &look), terminal::more(tables, &look)),
            }
        }
    };
    Ok(out.write_all(text.as_bytes())?)
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

/// Likewise, also over a file of that kind which this run has read.
pub fn file_over(path: &Path, bytes: &[u8], over: InputKind) -> Result<(), Failure> {
    refuse_input(path, Some(over))?;
    if over == InputKind::Plan && was_read(path) == Some(over) {
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
    let held = std::fs::read(path)
        .map_err(|error| Failure::work(format!("error: {}: {error}", printable(path))))?;
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

fn not_written(path: &Path, error: &std::io::Error) -> Failure {
    Failure::work(format!(
        "error: {} was not written: {}",
        printable(path),
        reason(error)
    ))
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
            Failure::work(format!(
                "error: {} cannot be written: {}",
                printable(path),
                reason(&error)
            ))
        })
    })
}

/// Finds out, before work that takes long, whether files can be written into a folder, which need not be there yet.
pub fn try_folder(path: &Path) -> Result<(), Failure> {
    write::try_folder(path).map_err(|error| {
        Failure::work(format!(
            "error: folder {} cannot be written to: {}",
            printable(path),
            reason(&error)
        ))
    })
}

/// Makes a folder, with those above it, where there is none.
pub fn folder(path: &Path) -> Result<(), Failure> {
    std::fs::create_dir_all(path).map_err(|error| {
        Failure::work(format!(
            "error: folder {} was not made: {}",
            printable(path),
            reason(&error)
        ))
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
