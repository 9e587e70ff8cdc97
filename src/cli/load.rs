//! Reads files into text, with messages that say which file and why, and gathers what a job needs.

use std::path::{Path, PathBuf};

use bedyear::file;

use super::failure::Failure;

/// Largest file that is read, bytes: an hourly year takes 2 MB, so this leaves room for anything sensible.
pub const MAX_BYTES: u64 = 64 * 1024 * 1024;

/// Text of a file, in UTF-8.
///
/// # Errors
/// [`Failure::Input`] for a file that is missing, a folder, too large, not readable or not UTF-8.
pub fn read_text(path: &Path) -> Result<String, Failure> {
    let bytes = read_bytes(path)?;
    match file::text_of(&printable(path), &bytes) {
        Ok(text) => Ok(text.to_owned()),
        Err(error) => Err(Failure::input(format!("error: {error}"))),
    }
}

/// Text of a weather file: its figures are plain ASCII, only the names in its header come in old encodings, and a
/// letter of a name that cannot be told is no reason to refuse a year of weather.
///
/// # Errors
/// [`Failure::Input`] for a file that is missing, a folder, too large or not readable.
pub fn read_weather(path: &Path) -> Result<String, Failure> {
    let bytes = read_bytes(path)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn read_bytes(path: &Path) -> Result<Vec<u8>, Failure> {
    let shown = printable(path);
    let wrong = |what: &str| Failure::input(format!("error: {shown}: {what}"));
    let meta = std::fs::metadata(path).map_err(|error| wrong(&reason(&error)))?;
    if meta.is_dir() {
        return Err(wrong("is a folder, not a file; name the file in it"));
    }
    if meta.len() > MAX_BYTES {
        return Err(wrong(&format!(
            "has {} MB, more than the {} MB that are read; is it the right file?",
            meta.len() / (1024 * 1024),
            MAX_BYTES / (1024 * 1024)
        )));
    }
    std::fs::read(path).map_err(|error| wrong(&reason(&error)))
}

/// Files of a folder with an ending, by name: pairs of path and text.
///
/// # Errors
/// [`Failure::Input`] as [`read_text`], or when the folder cannot be listed.
pub fn read_folder(folder: &Path, ending: &str) -> Result<Vec<(String, String)>, Failure> {
    let shown = printable(folder);
    let entries = std::fs::read_dir(folder).map_err(|error| {
        let why = match error.kind() {
            std::io::ErrorKind::NotFound => "there is no such folder".to_owned(),
            std::io::ErrorKind::NotADirectory => "is a file, not a folder".to_owned(),
            _ => reason(&error),
        };
        Failure::input(format!("error: {shown}: {why}"))
    })?;
    let mut paths: Vec<PathBuf> = entries
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .filter(|path| path.extension().is_some_and(|found| found == ending))
        .collect();
    paths.sort();
    paths
        .into_iter()
        .map(|path| Ok((printable(&path), read_text(&path)?)))
        .collect()
}

/// A path as it may be shown: control characters never reach the terminal.
pub fn printable(path: &Path) -> String {
    path.to_string_lossy()
        .chars()
        .map(|c| if c.is_control() { '\u{fffd}' } else { c })
        .collect()
}

fn reason(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
        std::io::ErrorKind::PermissionDenied => "may not be read; check its permissions".to_owned(),
        _ => error.to_string(),
    }
}
