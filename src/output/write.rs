//! Files that are either whole or not there.

use std::fs::{self, File, Metadata, OpenOptions};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// Writes a file in one step: into a temporary file of the same folder, then renamed over the old one.
///
/// A crash or a full disk leaves the old file as it was. A link is followed, so that it stays a link; what is no
/// file but a device or a pipe (`/dev/stdout`) is written to as it is.
///
/// # Errors
/// What the file system reports, such as a missing folder, no permission or a loop of links; a folder or a file that
/// is protected against writing in its place.
pub fn atomic(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let path = &end_of_links(path)?;
    let old = match std::fs::metadata(path) {
        Ok(old) => Some(old),
        Err(error) if error.kind() == io::ErrorKind::NotFound => None,
        Err(error) => return Err(error),
    };
    if let Some(old) = &old {
        if old.is_dir() {
            return Err(io::Error::other("it is a folder, not a file"));
        }
        if !old.is_file() {
            return OpenOptions::new().write(true).open(path)?.write_all(bytes);
        }
        if old.permissions().readonly() {
            return Err(io::Error::other("it is protected against writing"));
        }
    }
    let mut file = tempfile::Builder::new()
        .prefix(".bedyear-")
        .tempfile_in(folder_of(path))?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    readable_like_any_file(old.as_ref(), file.as_file())?;
    file.persist(path).map_err(|error| error.error)?;
    Ok(())
}

/// Adds bytes to the end of a file, which is made where there is none: `decide` is told what the file holds and gives
/// what to add, nothing for nothing. Others who append this way wait meanwhile; what stands in the file is never
/// written again.
///
/// The bytes go out in one write and are on the disk when this returns. A write that fails is taken back.
///
/// # Errors
/// What the file system reports; or, inside, why `decide` gives nothing.
pub fn append<E>(
    path: &Path,
    decide: impl FnOnce(&[u8]) -> Result<Vec<u8>, E>,
) -> io::Result<Result<(), E>> {
    let mut file = fs::OpenOptions::new()
        .read(true)
        .append(true)
        .create(true)
        .open(path)?;
    match file.lock() {
        // Some network file systems know no locks; an appended line is then still one write.
        Err(error) if error.kind() == io::ErrorKind::Unsupported => {}
        locked => locked?,
    }
    let mut held = Vec::new();
    file.read_to_end(&mut held)?;
    let bytes = match decide(&held) {
        Ok(bytes) if bytes.is_empty() => return Ok(Ok(())),
        Ok(bytes) => bytes,
        Err(error) => return Ok(Err(error)),
    };
    if let Err(error) = file.write_all(&bytes).and_then(|()| file.sync_all()) {
        file.set_len(held.len() as u64)?;
        return Err(error);
    }
    if held.is_empty() {
        sync_folder(path)?;
    }
    Ok(Ok(()))
}

/// Makes a new file's name in its folder outlast a power cut.
#[cfg(unix)]
fn sync_folder(path: &Path) -> io::Result<()> {
    fs::File::open(folder_of(path))?.sync_all()
}

/// Other systems write the name with the file.
#[cfg(not(unix))]
fn sync_folder(_path: &Path) -> io::Result<()> {
    Ok(())
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}

/// Where a link leads; a path that is no link, or a link to nothing yet, is taken as it is.
fn end_of_links(path: &Path) -> io::Result<PathBuf> {
    match std::fs::symlink_metadata(path) {
        Ok(there) if there.is_symlink() => match std::fs::canonicalize(path) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => Err(error),
            found => Ok(found.unwrap_or_else(|_| path.to_owned())),
        },
        _ => Ok(path.to_owned()),
    }
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
    fn a_missing_folder_is_an_error() {
        let folder = tempfile::tempdir().unwrap();
        assert!(atomic(&folder.path().join("none/plan.csv"), b"x").is_err());
    }
}
