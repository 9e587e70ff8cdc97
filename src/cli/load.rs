//! Reads files into text, with messages that say which file and why, and gathers what a job needs.

use std::fmt::Display;
use std::fs::{File, Metadata};
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use crate::file;
use crate::plain::escaped;

use super::failure::Failure;

const MB: u64 = 1024 * 1024;
/// Largest file that is read of those that people and this program write, bytes: ten years of a journal with ten rows
/// a day take 3 MB, every other of them far less.
pub const WRITTEN_MAX: u64 = 4 * MB;
/// Largest file that is read of those that instruments fill, bytes: an hourly year of weather takes 2 MB, a year of a
/// logger with a reading a minute 20 to 30 MB.
const MEASURED_MAX: u64 = 32 * MB;

/// What a file that was read is, for whoever wants to write over it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum InputKind {
    /// A person's own: never written over.
    Input,
    /// A saved plan: a new one may take its place.
    Plan,
    /// A calendar: the one that replaces it may take its place.
    Calendar,
}

/// Files that this run has read.
static READ: Mutex<Vec<(PathBuf, InputKind)>> = Mutex::new(Vec::new());

/// What a path is that this run has read; none for any other.
pub fn was_read(path: &Path) -> Option<InputKind> {
    let real = path.canonicalize().ok()?;
    let known = READ.lock().ok()?;
    let found = known.iter().find(|(path, _)| *path == real);
    found.map(|(_, read)| *read)
}

/// Takes down that a file was read, as what it was.
fn note(path: &Path, read: InputKind) {
    if let (Ok(real), Ok(mut known)) = (path.canonicalize(), READ.lock()) {
        known.push((real, read));
    }
}

/// Text of a saved plan or a calendar, in whose place a new one may be written.
pub fn read_earlier(path: &Path, read: InputKind) -> Result<String, Failure> {
    let bytes = read_bytes(path, WRITTEN_MAX)?;
    let text = file::text_of(&printable(path), &bytes)
        .map_err(|error| Failure::input(format!("error: {error}")))?;
    note(path, read);
    Ok(text.to_owned())
}

/// Text of a file, in UTF-8.
///
/// # Errors
/// [`Failure::Input`] for a file that is missing, a folder, too large, not readable or not UTF-8.
pub fn read_text(path: &Path) -> Result<String, Failure> {
    read_earlier(path, InputKind::Input)
}

/// Text of a weather file or a logger's: its figures are plain ASCII, only the names in its header come in old
/// encodings, and a letter of a name that cannot be told is no reason to refuse a year of weather.
///
/// # Errors
/// [`Failure::Input`] for a file that is missing, a folder, too large or not readable.
pub fn read_weather(path: &Path) -> Result<String, Failure> {
    let bytes = read_bytes(path, MEASURED_MAX)?;
    note(path, InputKind::Input);
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn read_bytes(path: &Path, max_bytes: u64) -> Result<Vec<u8>, Failure> {
    let wrong = |what: &str| Failure::input(of_file(path, what));
    let before = std::fs::metadata(path).map_err(|error| wrong(&reason(&error)))?;
    if before.is_dir() {
        return Err(wrong("is a folder, not a file; name the file in it"));
    }
    if !(before.is_file() || is_handed_over(path)) {
        return Err(wrong(
            "is a device or a pipe, not a file; what another program prints is read from /dev/stdin",
        ));
    }
    let too_large = || {
        wrong(&format!(
            "has more than the {} MB that are read; is it the right file?",
            max_bytes / MB
        ))
    };
    if before.len() > max_bytes {
        return Err(too_large());
    }
    let read = || -> std::io::Result<(Vec<u8>, Metadata)> {
        let file = File::open(path)?;
        let mut bytes = Vec::new();
        // One byte more than allowed shows that there is more; a device without an end has one here.
        (&file).take(max_bytes + 1).read_to_end(&mut bytes)?;
        Ok((bytes, file.metadata()?))
    };
    let (bytes, after) = read().map_err(|error| wrong(&reason(&error)))?;
    if bytes.len() as u64 > max_bytes {
        return Err(too_large());
    }
    if before.is_file() && changed(&before, &after, bytes.len()) {
        return Err(wrong("was changed while it was read; run again"));
    }
    Ok(bytes)
}

/// Another program may still be writing the file.
fn changed(before: &Metadata, after: &Metadata, read: usize) -> bool {
    before.len() != after.len()
        || after.len() != read as u64
        || before.modified().ok() != after.modified().ok()
}

/// What the shell opened for us (`/dev/stdin`, `<(...)`), as against a device or a pipe with a name, which may have
/// no end or no writer.
#[cfg(unix)]
fn is_handed_over(path: &Path) -> bool {
    use std::os::unix::fs::FileTypeExt;
    let opened = path == Path::new("/dev/stdin")
        || path.starts_with("/dev/fd")
        || path.starts_with("/proc/self/fd");
    opened && std::fs::metadata(path).is_ok_and(|meta| meta.file_type().is_fifo())
}

#[cfg(not(unix))]
fn is_handed_over(_path: &Path) -> bool {
    false
}

/// Files of a folder with an ending, by name: pairs of path and text.
///
/// # Errors
/// [`Failure::Input`] as [`read_text`], or when the folder cannot be listed.
pub fn read_folder(folder: &Path, ending: &str) -> Result<Vec<(String, String)>, Failure> {
    let entries = std::fs::read_dir(folder).map_err(|error| {
        let why = match error.kind() {
            std::io::ErrorKind::NotFound => "there is no such folder".to_owned(),
            std::io::ErrorKind::NotADirectory => "is a file, not a folder".to_owned(),
            _ => reason(&error),
        };
        Failure::input(of_file(folder, why))
    })?;
    let paths = entries.filter_map(|entry| entry.ok().map(|entry| entry.path()));
    let has_ending = |path: &PathBuf| path.extension().is_some_and(|found| found == ending);
    let mut paths: Vec<PathBuf> = paths.filter(has_ending).collect();
    paths.sort();
    let read = |path: PathBuf| Ok((printable(&path), read_text(&path)?));
    paths.into_iter().map(read).collect()
}

/// Folder that the names in a file start from; for a text that the shell hands over it is the one we are in.
pub fn folder_of(path: &Path) -> PathBuf {
    if is_handed_over(path) {
        return PathBuf::new();
    }
    path.parent().unwrap_or(Path::new("")).to_owned()
}

/// A path as it may be shown: what could steer a terminal stands as its code.
pub fn printable(path: &Path) -> String {
    escaped(&path.to_string_lossy()).replace('\n', "\\n")
}

/// What is wrong with a file, or with what stands in it.
pub fn of_file(path: &Path, wrong: impl Display) -> String {
    format!("error: {}: {wrong}", printable(path))
}

fn reason(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
        std::io::ErrorKind::PermissionDenied => "may not be read; check its permissions".to_owned(),
        _ => error.to_string(),
    }
}
