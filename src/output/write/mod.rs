//! Files that are either whole or not there.

mod append;
mod stale;

pub use append::append;
pub use stale::STALE_AFTER;

use std::fs::{File, Metadata, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// How the name of a temporary file begins.
const PREFIX: &str = ".bedyear-";

/// Writes a file in one step: into a temporary file of the same folder, then renamed over the old one.
///
/// A crash or a full disk leaves the old file as it was. A link is followed, so that it stays a link; what is no
/// file but a device or a pipe (`/dev/stdout`) is written to as it is. A run that is killed at the wrong moment leaves
/// its temporary file (`.bedyear-` and six letters) behind; the next run that writes into the folder takes it away, once
/// it is older than [`STALE_AFTER`] and nobody holds it.
///
/// # Errors
/// What the file system reports, such as a missing folder, no permission or a loop of links; a folder or a file that
/// is protected against writing in its place.
pub fn atomic(path: &Path, bytes: &[u8]) -> io::Result<()> {
    atomic_set(&[(path, bytes)]).map_err(|(_, error)| error)
}

/// Writes files that belong together, as [`atomic`] does one: all of them are whole beside the old ones before the first
/// is renamed, so that a full disk or a kill before that leaves every old file as it was.
///
/// # Errors
/// As [`atomic`], with the place in the list of the file at fault.
pub fn atomic_set<P: AsRef<Path>, B: AsRef<[u8]>>(
    files: &[(P, B)],
) -> Result<(), (usize, io::Error)> {
    let made: Vec<Made> = files
        .iter()
        .enumerate()
        .map(|(at, (path, bytes))| made(path.as_ref(), bytes.as_ref()).map_err(|error| (at, error)))
        .collect::<Result<_, _>>()?;
    for (at, (made, (_, bytes))) in made.into_iter().zip(files).enumerate() {
        let written = match made {
            Made::Device(path) => {
                let device = OpenOptions::new().write(true).open(path);
                device.and_then(|mut device| device.write_all(bytes.as_ref()))
            }
            Made::File(file, path) => file.persist(&path).map(drop).map_err(|error| error.error),
        };
        written.map_err(|error| (at, error))?;
    }
    Ok(())
}

/// What is ready to take its place.
enum Made {
    /// Nothing yet: a device or a pipe is written to at the end.
    Device(PathBuf),
    /// A whole file, and where it goes.
    File(tempfile::NamedTempFile, PathBuf),
}

fn made(path: &Path, bytes: &[u8]) -> io::Result<Made> {
    let (path, old) = target(path)?;
    if is_device(old.as_ref()) {
        return Ok(Made::Device(path));
    }
    let folder = folder_of(&path);
    stale::clear(folder);
    let mut file = temporary(folder)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    readable_like_any_file(old.as_ref(), file.as_file())?;
    Ok(Made::File(file, path))
}

/// Finds out, before work that takes long, whether [`atomic`] could write this file now; nothing is left behind.
///
/// # Errors
/// As [`atomic`], a full disk apart.
pub fn try_file(path: &Path) -> io::Result<()> {
    let (path, old) = target(path)?;
    match is_device(old.as_ref()) {
        true => OpenOptions::new().write(true).open(path).map(drop),
        false => temporary(folder_of(&path)).map(drop),
    }
}

/// Finds out, before work that takes long, whether files could be written into a folder, made first where it is not
/// there; nothing is left behind.
///
/// # Errors
/// What the file system reports of the folder, or of the nearest one above it that is there.
pub fn try_folder(path: &Path) -> io::Result<()> {
    let there = path.ancestors().find(|above| above.exists());
    let folder = match there {
        Some(above) if !above.as_os_str().is_empty() => above,
        _ => Path::new("."),
    };
    if !folder.is_dir() {
        return Err(io::Error::other("it is a file, not a folder"));
    }
    temporary(folder).map(drop)
}

fn temporary(folder: &Path) -> io::Result<tempfile::NamedTempFile> {
    let file = tempfile::Builder::new()
        .prefix(PREFIX)
        .rand_bytes(stale::LETTERS)
        .tempfile_in(folder)?;
    // Held while we live, so that no other run takes it for a dead one's; where a disk knows no locks its age must do.
    let _ = file.as_file().try_lock();
    Ok(file)
}

/// A device or a pipe is no file, and no folder, which is refused before.
fn is_device(old: Option<&Metadata>) -> bool {
    old.is_some_and(|old| !old.is_file())
}

/// Where a file is to be written, links followed, and what is there now.
fn target(path: &Path) -> io::Result<(PathBuf, Option<Metadata>)> {
    let path = end_of_links(path)?;
    let old = match std::fs::metadata(&path) {
        Ok(old) => Some(old),
        Err(error) if error.kind() == io::ErrorKind::NotFound => None,
        Err(error) => return Err(error),
    };
    match &old {
        Some(old) if old.is_dir() => Err(io::Error::other("it is a folder, not a file")),
        Some(old) if old.is_file() && old.permissions().readonly() => {
            Err(io::Error::other("it is protected against writing"))
        }
        _ => Ok((path, old)),
    }
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}

/// Most links behind each other that are followed (what Linux does).
const LINKS_MAX: usize = 40;

/// Where a link leads, also if nothing is there yet; a path that is no link is taken as it is.
fn end_of_links(path: &Path) -> io::Result<PathBuf> {
    let mut path = path.to_owned();
    for _ in 0..LINKS_MAX {
        let is_link = std::fs::symlink_metadata(&path).is_ok_and(|there| there.is_symlink());
        match std::fs::canonicalize(&path) {
            // A pipe that the shell handed over is a link whose end has no name.
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                if !is_link || std::fs::metadata(&path).is_ok() {
                    return Ok(path);
                }
                path = folder_of(&path).join(std::fs::read_link(&path)?);
            }
            Err(error) if is_link => return Err(error),
            Ok(end) if is_link => return Ok(end),
            _ => return Ok(path),
        }
    }
    Err(io::Error::other("it is a loop of links"))
}

/// Temporary files are private; the finished file gets the old file's rights, or those of a plain new file.
#[cfg(unix)]
fn readable_like_any_file(old: Option<&Metadata>, file: &File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    /// Owner writes, all read: what a new file has under the common mask 022.
    const PLAIN_FILE: u32 = 0o644;
    let rights = old.map_or_else(
        || std::fs::Permissions::from_mode(PLAIN_FILE),
        Metadata::permissions,
    );
    file.set_permissions(rights)
}

/// Other systems give a new file the rights of its folder.
#[cfg(not(unix))]
fn readable_like_any_file(_old: Option<&Metadata>, _file: &File) -> io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_old_file_is_replaced_and_nothing_is_left_over() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("plan.csv");
        atomic(&path, b"one").unwrap();
        atomic(&path, b"two").unwrap();
        assert_eq!(std::fs::read(&path).unwrap(), b"two");
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn of_a_set_no_file_is_written_where_one_cannot_be() {
        let folder = tempfile::tempdir().unwrap();
        let (good, bad) = (
            folder.path().join("a.csv"),
            folder.path().join("none/b.ics"),
        );
        atomic(&good, b"old").unwrap();
        let (at, _) = atomic_set(&[(&good, b"new"), (&bad, b"new")]).unwrap_err();
        assert_eq!(at, 1);
        assert_eq!(std::fs::read(&good).unwrap(), b"old");
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_missing_folder_is_an_error() {
        let folder = tempfile::tempdir().unwrap();
        assert!(atomic(&folder.path().join("none/plan.csv"), b"x").is_err());
        assert!(try_file(&folder.path().join("none/plan.csv")).is_err());
    }

    #[test]
    fn a_trial_leaves_nothing_behind() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("plan.csv");
        try_file(&path).unwrap();
        try_folder(&folder.path().join("new/newer")).unwrap();
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
        std::fs::write(&path, b"x").unwrap();
        assert!(try_file(&path.join("below")).is_err());
        assert!(try_folder(&path).is_err());
        assert!(try_folder(&path.join("below")).is_err());
        assert!(try_file(folder.path()).is_err());
    }
}
