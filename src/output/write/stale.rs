//! Temporary files that a killed run left behind.

use std::ffi::OsStr;
use std::fs;
use std::path::Path;
use std::time::{Duration, SystemTime};

use super::PREFIX;

/// Age from which a temporary file that nobody holds is taken for left behind: longer than a run takes from making the file
/// to holding it (own choice).
pub const STALE_AFTER: Duration = Duration::from_secs(60);
/// Age from which it is even where it cannot be told whether somebody holds it: no write takes a day (own choice).
const SURELY_STALE_AFTER: Duration = Duration::from_secs(24 * 3600);

/// Letters after the beginning of the name.
pub(super) const LETTERS: usize = 6;

/// Takes away the temporary files of runs that are long gone. What cannot be listed or removed is left: the write
/// that follows says what is wrong with the folder.
pub(super) fn clear(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else {
        return;
    };
    for entry in entries.flatten() {
        if is_ours(&entry.file_name()) && is_old(&entry) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

fn is_ours(name: &OsStr) -> bool {
    name.to_str()
        .and_then(|name| name.strip_prefix(PREFIX))
        .is_some_and(|rest| {
            rest.len() == LETTERS && rest.bytes().all(|letter| letter.is_ascii_alphanumeric())
        })
}

/// Links and folders are nobody's temporary file; nor is what a clock set wrong dates into the future.
fn is_old(entry: &fs::DirEntry) -> bool {
    let Ok(meta) = entry.metadata() else {
        return false;
    };
    let age = meta
        .modified()
        .ok()
        .and_then(|at| SystemTime::now().duration_since(at).ok());
    let stale = |age| age > SURELY_STALE_AFTER || age > STALE_AFTER && is_let_go(entry);
    meta.is_file() && age.is_some_and(stale)
}

/// Whoever writes a file holds it; a killed run holds nothing.
fn is_let_go(entry: &fs::DirEntry) -> bool {
    let opened = fs::OpenOptions::new().write(true).open(entry.path());
    opened.is_ok_and(|file| file.try_lock().is_ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_old_files_of_our_own_go() {
        let folder = tempfile::tempdir().unwrap();
        let make = |name: &str, old: bool| {
            let file = fs::File::create(folder.path().join(name)).unwrap();
            if old {
                let long_ago = SystemTime::now() - 2 * STALE_AFTER;
                file.set_modified(long_ago).unwrap();
            }
            file
        };
        // Somebody is still at this one.
        let held = make(".bedyear-heldby", true);
        held.lock().unwrap();
        for (name, old) in [
            (".bedyear-aB3xYz", true),
            (".bedyear-fresh1", false),
            (".bedyear-notes.txt", true),
            (".bedyear-123456x", true),
            ("plan.csv", true),
        ] {
            make(name, old);
        }
        fs::create_dir(folder.path().join(".bedyear-folder")).unwrap();
        super::super::atomic(&folder.path().join("new.csv"), b"x").unwrap();
        let mut left: Vec<String> = fs::read_dir(folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        left.sort();
        assert_eq!(
            left,
            [
                ".bedyear-123456x",
                ".bedyear-folder",
                ".bedyear-fresh1",
                ".bedyear-heldby",
                ".bedyear-notes.txt",
                "new.csv",
                "plan.csv"
            ]
        );
    }
}
