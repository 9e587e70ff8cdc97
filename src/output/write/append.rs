//! Files that only grow.

use std::fs;
use std::io::{self, Read, Write};
use std::path::Path;

use super::folder_of;

/// Adds bytes to the end of a file, which is made where there is none: `decide` is told what the file holds, which is
/// at most `held_max` bytes, and gives what to add, nothing for nothing. Others who append this way wait meanwhile; what stands in the file is never
/// written again.
///
/// The bytes go out in one write and are on the disk when this returns. A write that fails is taken back.
///
/// # Errors
/// What the file system reports; [`io::ErrorKind::FileTooLarge`] for a file that holds more; or, inside, why `decide` gives nothing.
pub fn append<E>(
    path: &Path,
    held_max: u64,
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
    (&file).take(held_max + 1).read_to_end(&mut held)?;
    if held.len() as u64 > held_max {
        return Err(io::ErrorKind::FileTooLarge.into());
    }
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
        sync_folder(folder_of(path))?;
    }
    Ok(Ok(()))
}

/// Makes a new file's name in its folder outlast a power cut.
#[cfg(unix)]
fn sync_folder(folder: &Path) -> io::Result<()> {
    fs::File::open(folder)?.sync_all()
}

/// Other systems write the name with the file.
#[cfg(not(unix))]
fn sync_folder(_folder: &Path) -> io::Result<()> {
    Ok(())
}
