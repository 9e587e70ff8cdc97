//! Files that are either whole or not there.

use std::fs;
use std::io::{self, Read, Write};
use std::path::Path;

/// Writes a file in one step: into a temporary file of the same folder, then renamed over the old one.
///
/// A crash or a full disk leaves the old file as it was.
///
/// # Errors
/// What the file system reports, such as a missing folder or no permission.
pub fn atomic(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = tempfile::Builder::new()
        .prefix(".bedyear-")
        .tempfile_in(folder_of(path))?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    readable_like_any_file(path, file.as_file())?;
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

/// Temporary files are private; the finished file gets the old file's rights, or those of a plain new file.
#[cfg(unix)]
fn readable_like_any_file(path: &Path, file: &std::fs::File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    /// Owner writes, all read: what a new file has under the common mask 022.
    const PLAIN_FILE: u32 = 0o644;
    let rights = match std::fs::metadata(path) {
        Ok(old) => old.permissions(),
        Err(_) => std::fs::Permissions::from_mode(PLAIN_FILE),
    };
    file.set_permissions(rights)
}

/// Other systems give a new file the rights of its folder.
#[cfg(not(unix))]
fn readable_like_any_file(_path: &Path, _file: &std::fs::File) -> io::Result<()> {
    Ok(())
}

/// Writes to a pipe or a terminal; a reader that has gone away (`| head`) is no failure.
///
/// # Errors
/// What the writer reports, a broken pipe excepted.
pub fn quietly(mut out: impl Write, text: &str) -> io::Result<()> {
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        result => result,
    }
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

    #[test]
    fn a_closed_pipe_is_no_failure() {
        struct Closed;
        impl Write for Closed {
            fn write(&mut self, _: &[u8]) -> io::Result<usize> {
                Err(io::ErrorKind::BrokenPipe.into())
            }
            fn flush(&mut self) -> io::Result<()> {
                Ok(())
            }
        }
        assert!(quietly(Closed, "text").is_ok());
    }
}
