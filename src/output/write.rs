//! Files that are either whole or not there.

use std::io::{self, Write};
use std::path::Path;

/// Writes a file in one step: into a temporary file of the same folder, then renamed over the old one.
///
/// A crash or a full disk leaves the old file as it was.
///
/// # Errors
/// What the file system reports, such as a missing folder or no permission.
pub fn atomic(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let mut file = tempfile::Builder::new()
        .prefix(".bedyear-")
        .tempfile_in(folder)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    readable_like_any_file(path, file.as_file())?;
    file.persist(path).map_err(|error| error.error)?;
    Ok(())
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
