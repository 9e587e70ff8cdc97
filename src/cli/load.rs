//! Reads files into text, with messages that say which file and why, and gathers what a job needs.

use std::path::{Path, PathBuf};

use super::failure::Failure;

/// Largest file that is read, bytes: an hourly year takes 2 MB, so this leaves room for anything sensible.
const MAX_BYTES: u64 = 64 * 1024 * 1024;

/// Text of a file, in UTF-8.
///
/// # Errors
/// [`Failure::Input`] for a file that is missing, a folder, too large, not readable or not UTF-8.
pub fn read_text(path: &Path) -> Result<String, Failure> {
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
    let bytes = std::fs::read(path).map_err(|error| wrong(&reason(&error)))?;
    String::from_utf8(bytes).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let before = &error.as_bytes()[..good];
        let line = before.iter().filter(|&&byte| byte == b'\n').count() + 1;
        let line_start = before
            .iter()
            .rposition(|&byte| byte == b'\n')
            .map_or(0, |at| at + 1);
        let column = String::from_utf8_lossy(&before[line_start..])
            .chars()
            .count()
            + 1;
        Failure::input(format!(
            "error: {shown}:{line}:{column}: not UTF-8 text; save the file as UTF-8"
        ))
    })
}

/// Files of a folder with an ending, by name: pairs of path and text.
///
/// # Errors
/// [`Failure::Input`] as [`read_text`], or when the folder cannot be listed.
pub fn read_folder(folder: &Path, ending: &str) -> Result<Vec<(String, String)>, Failure> {
    let entries = std::fs::read_dir(folder).map_err(|error| {
        Failure::input(format!("error: {}: {}", printable(folder), reason(&error)))
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
